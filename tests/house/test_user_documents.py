"""What the documents for users say is so: keys, pages, verbs, preferences, figures, pictures, examples."""

from __future__ import annotations

import doctest
import re
from pathlib import Path
from typing import Any

import pytest

from app import commands
from app.desk.archive.founding import PASSPHRASE_FILE
from app.jobstore.archive.keeping import RETENTIONS
from app.jobstore.archive.roles import ROLES
from app.record.envelope import SHORTEST_PASSPHRASE
from app.settings import ROWS
from app.ui.shell.verbs import VERBS
from app.ui.worksheet.page_keys import ACTS
from app.words import text
from ctcore.findings import VERDICTS
from ctcore.nameplate import parse_class
from tests.app.record.signed_scene import revision_of
from tests.documents import method

ROOT = Path(__file__).resolve().parents[2]
FOLDER = ROOT / "resources" / "documents"
DOCUMENTS = {path.name: path.read_text(encoding="utf-8") for path in sorted(FOLDER.glob("*.md"))}
README = (ROOT / "README.md").read_text(encoding="utf-8")
SOURCES = "\n".join(
    path.read_text(encoding="utf-8")
    for path in [*(ROOT / "app").rglob("*.py"), *(ROOT / "ctcore").rglob("*.py")]
)
WRITTEN = {name: words for name, words in {**DOCUMENTS, "README.md": README}.items() if name != "method.md"}
KEY = r"(?:(?:Ctrl|Alt|Shift)\+)+(?:F\d+|Left|Right|PgUp|PgDown|[A-Z0-9,+-])|\bF\d{1,2}\b"
# Keys that the window has from its toolkit, or that choose a test by its number.
ELSEWHERE = {*(f"Alt+{number}" for number in range(1, 10)), "Alt+Left", "Alt+Right"}


def test_the_documents_are_there_and_readme_leads_to_each() -> None:
    assert len(DOCUMENTS) > 5
    assert [name for name in DOCUMENTS if f"resources/documents/{name}" not in README] == []


@pytest.mark.parametrize("name", WRITTEN)
def test_every_key_named_does_something(name: str) -> None:
    known = {verb.key for verb in VERBS} | {act.key for act in ACTS} | ELSEWHERE

    assert set(re.findall(KEY, WRITTEN[name])) - known == set()


@pytest.mark.parametrize("name", WRITTEN)
def test_a_page_named_with_its_key_is_called_so_in_the_menu(name: str) -> None:
    words_of = {verb.key: text(f"verb.{verb.verb_id}") for verb in VERBS}
    named = re.findall(rf"\*\*([^*]+)\*\*\s\(({KEY})\)", WRITTEN[name])
    named += [(words, key) for key, words in re.findall(rf"\*\*({KEY}), ([^*]+)\*\*", WRITTEN[name])]

    assert [(words, key) for words, key in named if words_of.get(key) != words] == []


@pytest.mark.parametrize("name", WRITTEN)
def test_every_verb_of_the_command_line_takes_what_is_named(
    name: str, capsys: pytest.CaptureFixture[str]
) -> None:
    asked = re.findall(r"coreleaf ((?:archive )?[a-z]+)((?: [^`\n]*)?)", _code(WRITTEN[name]))
    helps = {verb: _help(verb, capsys) for verb, _ in asked}
    unknown = [
        (verb, flag)
        for verb, rest in asked
        for flag in re.findall(r"--[a-z]+", rest)
        if flag not in helps[verb]
    ]

    assert unknown == []


def _code(words: str) -> str:
    """What stands between marks of code, where a command is meant."""
    return "\n".join([*re.findall(r"```[a-z]*\n(.*?)```", words, re.S), *re.findall(r"`([^`\n]+)`", words)])


def _help(verb: str, capsys: pytest.CaptureFixture[str]) -> str:
    assert commands.run([*verb.split(), "--help"]) == 0, verb
    return capsys.readouterr().out


@pytest.mark.parametrize("name", WRITTEN)
def test_preferences_and_variables_named_are_there(name: str) -> None:
    labels = {row.label for row in ROWS}
    named = set(re.findall(r'preference\s"([^"]+)"', WRITTEN[name]))
    variables = set(re.findall(r"CORELEAF_[A-Z_]+", WRITTEN[name]))

    assert named - labels == set()
    assert [one for one in variables if f'"{one}"' not in SOURCES] == []


@pytest.mark.parametrize("name", DOCUMENTS)
def test_pictures_and_documents_named_are_there(name: str) -> None:
    linked = re.findall(r"\]\(([^)]+)\)", DOCUMENTS[name])
    documents = [one for one in re.findall(r"`(\w+\.md)`", DOCUMENTS[name]) if one != "DEVELOPERS.md"]

    assert [one for one in linked if not (FOLDER / one).exists()] == []
    assert [one for one in documents if not (FOLDER / one).exists()] == []


def test_pictures_of_the_guide_are_small_and_all_are_shown() -> None:
    pictures = list((ROOT / "resources" / "pictures" / "guide").glob("*.png"))

    assert sum(path.stat().st_size for path in pictures) < 3_000_000
    assert [path.name for path in pictures if path.name not in DOCUMENTS["guide.md"]] == []


def test_figures_and_words_of_the_guide_are_those_of_the_program() -> None:
    guide, pages = DOCUMENTS["guide.md"], DOCUMENTS["administrator.md"]

    assert f"at least {SHORTEST_PASSPHRASE} characters" in guide
    assert [word for word in VERDICTS if f"| {word} |" not in guide] == []
    assert [name for name in (*ROLES, *RETENTIONS, PASSPHRASE_FILE) if f"`{name}`" not in pages] == []


@pytest.mark.parametrize(
    "class_text", re.findall(r"`((?:\d|PX|C4)[^`/]*(?:VA|ohm|C400))`", DOCUMENTS["guide.md"])
)
def test_class_texts_of_the_guide_are_understood(class_text: str) -> None:
    assert parse_class(class_text).designation


def test_the_page_of_method_is_the_one_that_the_rows_make() -> None:
    assert DOCUMENTS["method.md"] == method.page(), "make it anew: python -m tests.documents.method"


def test_examples_of_the_library_give_what_is_printed_beside_them() -> None:
    source = "\n".join(re.findall(r"```pycon\n(.*?)```", DOCUMENTS["library.md"], re.S))
    test = doctest.DocTestParser().get_doctest(source, {}, "library.md", "library.md", 0)

    result = doctest.DocTestRunner(verbose=False).run(test)

    assert (result.failed, result.attempted > 20) == (0, True)


def test_every_format_named_is_written_by_the_program() -> None:
    named = set(re.findall(r"`(coreleaf-[a-z-]+)`", DOCUMENTS["formats.md"]))

    assert len(named) == 9
    assert [name for name in named if f'"{name}"' not in SOURCES] == []


def test_the_check_of_events_tells_whole_from_altered() -> None:
    space: dict[str, Any] = {}
    (source,) = re.findall(r"```python\n(.*?)```", DOCUMENTS["formats.md"], re.S)
    exec(source, space)
    events = revision_of().papers.events
    assert events is not None

    assert space["check_events"](events)
    assert not space["check_events"](events.replace(b'"n":3', b'"n":5', 1))


def test_files_of_a_pack_are_those_that_are_named() -> None:
    names = set(revision_of().papers.files())

    assert [name for name in names if f"`{name}`" not in DOCUMENTS["formats.md"]] == []
