"""Every sentence made in English below the window is told in every language, with the same figures."""

from __future__ import annotations

import json
import re
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Final

import pytest

from app.desk.trail import WHAT
from app.words import retold, speaking
from app.words.sentences import _names, template_of
from app.words.tables import ENGLISH, LANGUAGES, ONE, PSEUDO, table
from ctcore.findings import conformance_text
from ctcore.job import Job, from_plain
from ctcore.judge import judge
from ctcore.notices import notices
from ctcore.takes import takes_of
from samples import SAMPLES, Sample
from tests.app.words.leftover import outside_marks, words_in
from tests.app.words.written import PLACE, shape_of, written

ROOT: Final = Path(__file__).parents[3]
OTHERS: Final = [language for language, _ in LANGUAGES if language != ENGLISH]
# Folders whose sentences reach a screen or a sheet; what lies apart is told by its id, or is not told.
TOLD: Final = (
    "ctcore",
    "app/desk",
    "app/exchange",
    "app/jobstore",
    "app/record",
    "app/place.py",
    "app/progress.py",
)
APART: Final = (
    "ctcore/quantities/", "ctcore/procedures/", "ctcore/hookup/", "ctcore/plan.py", "ctcore/job.py",
    "ctcore/standards/proof.py", "ctcore/figures.py", "app/record/pack.py",
    "app/record/sheet_files.py", "app/desk/together.py", "app/jobstore/migrations/",
    "app/jobstore/archive/migrations/",
)  # fmt: skip
# What is said to a database is for no person.
_SQL: Final = re.compile(
    r"\b(SELECT|INSERT|UPDATE|DELETE|CREATE|PRAGMA|REVOKE|GRANT|BEGIN|EXPLAIN|VACUUM|MATCH|NULL)\b"
    r"|\bIN \(|SET LOCAL"
    r"|^-c | text[,;]|> 0$"
)
# Names of standards, formulas, times, words that are only looked for, and what only a programmer reads.
STAYS: Final = {
    "earth fault", "IEEE C57.13.6-2005 (R2010)", "K If/n (Rct + Rl + Rr)", "If/n (Rct + Rl)",
    "a Job is wanted; ctcore.job.from_plain makes one of plain data", "a number of many digits",
    "{} d {} h {} min", "{} h {} min", "{} min {} s", "Signed as {}, {}\n{}, key {}",
    "serial no", "serial no.", "year of manufacture", "core number", "ct ratio", "rct 75",
    "A Coreleaf job file, version {}.", "Extra data", "Unterminated string", "Plan Rows", "rows of {}",
    "links between rows", "sheet digest", "work in hand", "The data of Coreleaf was moved to this folder.",
    "Without this file it is not looked for here.", "record digest",
    *(f"{{}}, Table {number}" for number in (201, 202, 203, 205, 206)),
}  # fmt: skip
# What was added in English since the language was gone through last.
MOST_MISSING: Final = 15
_FIGURE: Final = re.compile(r"\d+")
_UNTOLD: Final = "Qxz"


def sources() -> Iterator[Path]:
    for folder in TOLD:
        for path in sorted((ROOT / folder).rglob("*.py")) or [ROOT / folder]:
            if not path.relative_to(ROOT).as_posix().startswith(APART) and path.name != "__main__.py":
                yield path


def every_written() -> dict[str, str]:
    """Every sentence in the code with its places, and where it stands first."""
    found: dict[str, str] = {}
    for path in sources():
        for line, sentence in written(path):
            if not _SQL.search(sentence):
                found.setdefault(sentence, f"{path.relative_to(ROOT)}:{line}")
    return found


def is_told(sentence: str, forms: list[str], names: set[str]) -> bool:
    """Whether the table tells it, in one form or in several, by itself or within another sentence."""
    if sentence in names or sentence in STAYS:
        return True
    fixed = re.escape(sentence).replace(re.escape(PLACE), ".*?")
    bare = sentence.strip(" {},;:.()")
    return any(re.fullmatch(fixed, form) or (bare and bare in form) for form in forms)


def job_of(sample: Sample) -> Job:
    return from_plain(json.loads(sample.file.read_text("utf-8")))


def spoken_at_samples() -> set[str]:
    """All that is said of the samples: findings with reason and source, and notices with offers."""
    said: set[str] = set()
    for sample in SAMPLES:
        job = job_of(sample)
        for one in judge(job):
            said |= {one.text, one.reason, one.source, conformance_text(one)}
        for notice in notices(job, takes_of(job.readings)):
            said |= {notice.sentence, notice.offer.words if notice.offer else ""}
    return said - {""}


@pytest.fixture(scope="module")
def said() -> set[str]:
    return spoken_at_samples()


@pytest.mark.parametrize("language", OTHERS)
def test_every_sentence_of_the_code_is_told(language: str) -> None:
    forms = [shape_of(one) for one in table("sentences", language)]
    with speaking(language):
        names = {shape_of(name) for name in _names(language)} | set(WHAT.values())
    missing = [f"{where}: {one}" for one, where in every_written().items() if not is_told(one, forms, names)]

    assert len(missing) <= MOST_MISSING, missing


@pytest.mark.parametrize("language", OTHERS)
def test_no_sentence_is_told_that_the_code_does_not_say(language: str) -> None:
    # The name of a field is told as words: "drawings_text".
    code = {word for path in sources() for word in words_in(path.read_text("utf-8").replace("_", " "))}
    unknown = {
        one: left
        for one in table("sentences", language)
        if (left := words_in(re.sub(r"\{[^{}]*\}", "", one.removesuffix(ONE))) - code)
    }

    assert unknown == {}


@pytest.mark.parametrize("language", [*OTHERS, PSEUDO])
def test_a_sentence_has_its_places_in_every_language(language: str) -> None:
    for english, told in table("sentences", language).items():
        template = template_of(english.removesuffix(ONE), told)
        assert set(re.findall(r"\{(\w+)\}", told)) == set(template.kinds), english


@pytest.mark.parametrize("language", OTHERS)
def test_no_template_takes_the_sentence_of_another(language: str) -> None:
    """Filled with names that nothing tells, each comes back in its own words: none is ambiguous."""
    wrong = {}
    with speaking(language):
        for english, told in table("sentences", language).items():
            template = template_of(english.removesuffix(ONE), told)
            if not template.kinds or english.endswith(ONE):
                continue
            parts = {
                name: _UNTOLD + str(number) if kind in ("", "name") else f"{number + 2}"
                for number, (name, kind) in enumerate(template.kinds.items())
            }
            sentence = re.sub(r":\w+\}", "}", english).format(**parts)
            if retold(sentence) != told.format(**parts):
                wrong[sentence] = retold(sentence)

    assert wrong == {}


@pytest.mark.parametrize("language", OTHERS)
@pytest.mark.parametrize("comma", [False, True])
def test_what_is_said_of_the_samples_keeps_every_figure(said: set[str], language: str, comma: bool) -> None:
    with speaking(language, comma=comma):
        unlike = {
            one: retold(one)
            for one in said
            if Counter(_FIGURE.findall(one)) != Counter(_FIGURE.findall(retold(one)))
        }

    assert unlike == {}


def test_what_is_said_of_the_samples_is_told_in_full(said: set[str]) -> None:
    kept = kept_names()
    with speaking(PSEUDO):
        left = {
            one: words_in(outside_marks(retold(one))) - kept
            for one in said
            if words_in(outside_marks(retold(one))) - kept
        }

    assert left == {}


def kept_names() -> set[str]:
    """Words that a person keyed, and names of standards."""
    found = words_in("IEEE NETA ANSI IEC")
    for sample in SAMPLES:
        job = job_of(sample)
        found |= words_in(" ".join(one.name_text for one in (*job.instruments, *job.people)))
        found |= words_in(" ".join(one.as_typed_text + " " + one.reason_text for one in job.readings))
        found |= words_in(" ".join(entry.source_text for entry in job.references.values))
        found |= words_in(" ".join(entry.source_text for entry in job.references.curves))
    return found


def test_english_with_a_point_is_left_as_it_is() -> None:
    assert retold("Limit 0.5 V, whatever it says.") == "Limit 0.5 V, whatever it says."


def test_english_with_a_comma_changes_marks_of_figures_alone() -> None:
    with speaking(ENGLISH, comma=True):
        told = retold("Class 0.5, at 1.000\u00a0A. The limit holds by IEC 61869-2:2012, 5.6.201.")

    assert told == "Class 0.5, at 1,000\u00a0A. The limit holds by IEC 61869-2:2012, 5.6.201."


def test_a_comma_that_was_shown_is_not_shown_where_a_point_is_wanted() -> None:
    with speaking("de", comma=True):
        first = retold("Exciting current 2.5\u00a0mA.")
    with speaking("de"):
        second = retold("Exciting current 2.5\u00a0mA.")

    assert (first, second) == ("Magnetisierungsstrom 2,5\u00a0mA.", "Magnetisierungsstrom 2.5\u00a0mA.")


def test_what_was_typed_is_never_told_otherwise() -> None:
    with speaking("de", comma=True):
        told = retold("“0.5 of closed” is kept as polarity, but it is no number.")

    assert told == "„0.5 of closed“ ist als Polarität aufbewahrt, aber keine Zahl."
