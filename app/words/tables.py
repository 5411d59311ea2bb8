"""The tables of every language, as they lie in the folder of resources."""

from __future__ import annotations

import functools
import json
import re
import string
from collections.abc import Mapping
from importlib.resources import files
from typing import Final, Literal

ENGLISH: Final = "en"
# The language of the test: every text that went through the tables is marked and two fifths longer.
PSEUDO: Final = "pseudo"
LANGUAGES: Final[tuple[tuple[str, str], ...]] = ((ENGLISH, "English"), ("de", "Deutsch"))

# texts: the screen; cautions: read at a step; rows: what stands in rows of the code; sheet: its wording;
# sentences: what core, record and desk say, by their English with its places.
Subject = Literal["texts", "cautions", "rows", "sheet", "sentences"]
SUBJECTS: Final[tuple[Subject, ...]] = ("texts", "cautions", "rows", "sheet", "sentences")
# One of a thing is spoken in another form: that text stands under the same id with this behind it.
ONE: Final = "#one"
# What a native of the trade should look at before it is relied on; no text, and never shown.
TO_CHECK: Final = "#check"

_FALLS_BACK: Final = {"rows", "sheet"}
_KIND: Final = re.compile(r":\w+\}")
_LONGER: Final = 0.4
_ACCENTS: Final = str.maketrans("aeiouncsAEIOUNCS", "áéíóúñçšÁÉÍÓÚÑÇŠ")


@functools.cache
def table(subject: Subject, language: str) -> Mapping[str, str]:
    """Every text of a subject in a language by its id; the English of rows and sheet stands in the code."""
    if language == ENGLISH and subject in _FALLS_BACK:
        return {}
    if language == ENGLISH and subject == "sentences":
        return {english: _KIND.sub("}", english) for english in _sentences()}
    if language == PSEUDO:
        return {text_id: marked(words) for text_id, words in table(subject, ENGLISH).items()}
    found = json.loads((files("resources") / subject / f"{language}.json").read_text("utf-8"))
    found.pop(TO_CHECK, None)
    return _flat(found)


def _sentences() -> list[str]:
    """Every sentence that some language tells; in English it tells itself."""
    others = [table("sentences", name) for name, _ in LANGUAGES if name != ENGLISH]
    return list(dict.fromkeys(one for told in others for one in told if not one.endswith(ONE)))


def _flat(found: Mapping[str, str | Mapping[str, str]]) -> dict[str, str]:
    """A caution of several parts as several texts: "insulation.charge.hazard"."""
    flat: dict[str, str] = {}
    for text_id, words in found.items():
        if isinstance(words, str):
            flat[text_id] = words
        else:
            flat.update({f"{text_id}.{part}": said for part, said in words.items()})
    return flat


def marked(words: str) -> str:
    """A text of the language of the test: in angles, accented, two fifths longer; its places stay.

    >>> marked("Keep {count} rows")
    '‹Kéép {count} rówš~~~›'
    """
    if not words.strip():
        return words
    parts = []
    for literal, field, spec, conversion in string.Formatter().parse(words):
        parts.append(literal.translate(_ACCENTS).replace("{", "{{").replace("}", "}}"))
        if field is not None:
            parts.append(
                "{" + field + (f"!{conversion}" if conversion else "") + (f":{spec}" if spec else "") + "}"
            )
    letters = sum(character.isalpha() for part, *_ in string.Formatter().parse(words) for character in part)
    return f"‹{''.join(parts)}{'~' * round(letters * _LONGER)}›"


def is_marked(shown: str) -> bool:
    """Whether a text on screen or sheet went through the tables, in whole or in part."""
    return "‹" in shown or "›" in shown or "~" in shown
