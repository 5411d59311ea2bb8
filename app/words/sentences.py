"""Sentences that were made in English, told in the language that is spoken.

Core, record and desk speak plain English, and a record keeps it so. Here a sentence is taken apart again by
the table of templates, its parts are told each by itself, and the figures stay as they are. What no template
fits stays as it was said: nothing is guessed.
"""

from __future__ import annotations

import functools
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from app.words.figures import FIGURE, marked, marked_with_units
from app.words.language import Spoken
from app.words.spoken import missed, said
from app.words.tables import ONE, table

# A point ends a sentence, unless it is that of "e.m.f." with a figure behind it, or of an initial.
_BOUNDARY: Final = re.compile(
    r"(?:(?<=[?!])|(?<=[?!.]”)|(?<=\.)(?<!\b[a-z]\.[a-z]\.)(?<!^[A-Z]\.)(?<![^\d]\s[A-Z]\.)"
    r"|(?<=[a-z]\.[a-z]\.)(?=\s[A-Z][a-z]))\s(?=[^a-z(])"
)
_LONGEST_RUN: Final = 3
_PLACE: Final = re.compile(r"\{(\w+)(?::(\w+))?\}")
_WORD: Final = re.compile(r"[^\W\d_]{3,}")
_LETTERS: Final = re.compile(r"[^\W\d_]{2,}")
# What a place may hold: figures, a sum of them, a name that is kept as it is; else words, told by themselves.
_KINDS: Final[Mapping[str, str]] = {
    "figure": FIGURE,
    "measured": rf"{FIGURE}(?: ± {FIGURE} \(k = 2\))?",
    "name": r".*?",
    "sum": r".*?",
    "": r".*?",
}
_LISTS: Final = ("; ", ": ", ", ", " and ")
_DATE: Final = re.compile(r"(\d{1,2}) (Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec) (\d{4})")
_ANY: Final = ""


@dataclass(frozen=True, slots=True)
class Template:
    """A sentence with its places, and how it is told."""

    english: str
    told: str
    pattern: re.Pattern[str]
    kinds: Mapping[str, str]

    @property
    def literal_count(self) -> int:
        """How many signs are fixed: of two that fit, the one with more says more."""
        return len(_PLACE.sub("", self.english))

    def taken_from(self, sentence: str) -> dict[str, str] | None:
        """What stands in the places of this sentence; None where it is another."""
        found = self.pattern.fullmatch(sentence)
        return None if found is None else found.groupdict()


@dataclass(frozen=True, slots=True)
class Told:
    """Words, and how many of their letters no table told."""

    words: str
    left_count: int


def parted(english: str) -> list[str]:
    """A text as its sentences.

    >>> parted("Peak at 3 V. Read again. The e.m.f. 4 V is known.")
    ['Peak at 3 V.', 'Read again.', 'The e.m.f. 4 V is known.']
    """
    return _BOUNDARY.split(english)


@functools.lru_cache(maxsize=16384)
def retold_in(english: str, spoken: str, comma: bool) -> str:
    """A sentence or several, made in English, in that language; figures with the decimal mark in force."""
    told = _told(english, (spoken, comma))
    if told.left_count and told.words == english:
        missed["sentences", spoken, english] += 1
    return told.words


def _told(english: str, spoken: Spoken) -> Told:
    """Text, sentence or part: sentence by sentence, as a whole, as a list or as it is."""
    sentences = parted(english)
    if len(sentences) > 1:
        runs = _told_runs(sentences, spoken)
        return Told(" ".join(run.words for run in runs), sum(run.left_count for run in runs))
    return _told_as_one(english, spoken) or _as_it_is(english)


def _told_runs(sentences: list[str], spoken: Spoken) -> list[Told]:
    """The runs of sentences that leave the fewest words untold, the short ones first."""
    best: list[list[Told]] = [[]]
    for end in range(1, len(sentences) + 1):
        ways = []
        for start in range(max(0, end - _LONGEST_RUN), end):
            run = " ".join(sentences[start:end])
            told = _told_as_one(run, spoken)
            if told is None and end - start == 1:
                told = _as_it_is(run)
            if told is not None:
                ways.append([*best[start], told])
        best.append(min(reversed(ways), key=lambda runs: sum(one.left_count for one in runs)))
    return best[-1]


@functools.lru_cache(maxsize=16384)
def _told_as_one(sentence: str, spoken: Spoken) -> Told | None:
    """By the template or list that leaves the fewest words untold; of two alike the one that says more."""
    if not _LETTERS.search(sentence):
        return Told(marked_with_units(sentence), 0)
    name = _names(spoken[0]).get(sentence)
    if name is not None:
        return Told(name, 0)
    ways = [*_by_templates(sentence, spoken), *_by_lists(sentence, spoken), *_without_end(sentence, spoken)]
    return min(ways, key=lambda way: way.left_count, default=None)


def _by_templates(sentence: str, spoken: Spoken) -> Iterator[Told]:
    for template, parts in _fitting(sentence, spoken):
        told = {name: _told_part(part, template.kinds[name], spoken) for name, part in parts.items()}
        one = table("sentences", spoken[0]).get(template.english + ONE) if parts.get("count") == "1" else None
        words = (one or template.told).format(**{name: part.words for name, part in told.items()})
        yield Told(words, sum(part.left_count for part in told.values()))


def _told_part(part: str, kind: str, spoken: Spoken) -> Told:
    if kind == "name":
        return Told(part, _letters(part))
    return Told(marked(part), 0) if kind else _told(part, spoken)


def _by_lists(english: str, spoken: Spoken) -> Iterator[Told]:
    """Parts that are told each by itself; only where one of them is known."""
    for separator in _LISTS:
        parts = english.split(separator, 1)
        if len(parts) == 2 and all(parts):
            told = [_told(part, spoken) for part in parts]
            left_count = sum(part.left_count for part in told)
            if left_count < _letters(english):
                joined = table("sentences", spoken[0]).get(separator, separator)
                yield Told(joined.join(part.words for part in told), left_count)


def _without_end(english: str, spoken: Spoken) -> Iterator[Told]:
    """A part that stands at the end of its sentence."""
    found = _told_as_one(english[:-1], spoken) if english.endswith(".") else None
    if found is not None:
        yield Told(f"{found.words}.", found.left_count)


def _as_it_is(english: str) -> Told:
    """What was typed, and names: only its figures with units and its dates are those of the language."""
    return Told(marked_with_units(_DATE.sub(_dated, english)), _letters(_DATE.sub("", english)))


def _dated(found: re.Match[str]) -> str:
    day, month, year = found.groups()
    return said("{day} {month} {year}", day=day, month=said(month), year=year)


def _letters(words: str) -> int:
    return sum(len(word) for word in _WORD.findall(words))


def _fitting(sentence: str, spoken: Spoken) -> Iterator[tuple[Template, dict[str, str]]]:
    """The templates that a sentence fits, the one with most words of its own first."""
    by_word = _templates(spoken[0])
    words = dict.fromkeys((*_LETTERS.findall(sentence), sentence, _ANY))
    known = (template for word in words for template in by_word.get(word, ()))
    for template in sorted(known, key=lambda one: -one.literal_count):
        parts = template.taken_from(sentence)
        if parts is not None:
            yield template, parts


@functools.cache
def _templates(spoken: str) -> dict[str, list[Template]]:
    """Every template by one word that its sentences hold, so that few have to be tried."""
    by_word: dict[str, list[Template]] = {}
    for english, told in table("sentences", spoken).items():
        if not english.endswith(ONE):
            template = template_of(english, told)
            by_word.setdefault(_anchor(english), []).append(template)
    return by_word


def template_of(english: str, told: str) -> Template:
    """A row of the table as a template."""
    kinds = {name: kind or "" for name, kind in _PLACE.findall(english)}
    pattern, at = "", 0
    for found in _PLACE.finditer(english):
        pattern += re.escape(english[at : found.start()]) + f"(?P<{found[1]}>{_KINDS[found[2] or '']})"
        at = found.end()
    return Template(english, told, re.compile(pattern + re.escape(english[at:]), re.DOTALL), kinds)


def _anchor(english: str) -> str:
    """The longest whole word of a template; the template itself where it has no places."""
    if not _PLACE.search(english):
        return english
    # A word that touches a place may be the half of one.
    fixed = re.sub(r"\w*\{[^{}]*\}\w*", "\0", english)
    return max(_LETTERS.findall(fixed), key=len, default=_ANY)


@functools.cache
def _names(_spoken: str) -> Mapping[str, str]:
    """Names of quantities, tests, rows and answers, as they stand in sentences."""
    from app.words.rows import english_names

    return {name: told for english, told in english_names() for name, told in _both(english, told)}


def _both(english: str, told: str) -> Iterator[tuple[str, str]]:
    yield english, told
    yield english[:1].upper() + english[1:], told[:1].upper() + told[1:]
    yield english[:1].lower() + english[1:], told
    yield english.lower(), told
