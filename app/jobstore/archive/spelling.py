"""How words and serial numbers are spelled for search, the same on every database.

Practice: each database cuts `TX-401/A` in its own way, as a path or a word with a hyphen. So text is cut
here, and a word with signs in it is kept both in parts and joined.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from typing import Final

_PART: Final = re.compile(r"[^\W_]+")
_BLANK: Final = re.compile(r"\s+")
# Letters that have no decomposition; the rest loses its marks by decomposing.
_PLAIN: Final = str.maketrans({"ß": "ss", "ø": "o", "đ": "d", "ł": "l", "æ": "ae", "œ": "oe", "ı": "i"})


def folded(text: str) -> str:
    """Small letters without marks.

    >>> folded("Gäßchen Øst")
    'gasschen ost'
    """
    small = unicodedata.normalize("NFKD", text.casefold()).translate(_PLAIN)
    return "".join(sign for sign in small if not unicodedata.combining(sign))


def look_up(text: str) -> str:
    """A serial number, class or name as it is looked up: small, without marks, one space between words.

    >>> look_up(" TX-401/a ")
    'tx-401/a'
    """
    return _BLANK.sub(" ", folded(stored(text)).strip())


def words(texts: Iterable[str]) -> list[str]:
    """Every word of the texts once, in order; one with signs in it in its parts and joined.

    >>> words(["TX-401/A spare"])
    ['tx', '401', 'a', 'tx401a', 'spare']
    """
    found: dict[str, None] = {}
    for text in texts:
        for word in _BLANK.split(folded(stored(text))):
            parts = _PART.findall(word)
            found.update(dict.fromkeys(parts))
            if len(parts) > 1:
                found["".join(parts)] = None
    return list(found)


def asked_words(text: str) -> list[str]:
    """The words that all have to stand in what is found; one with signs in it is asked for joined.

    >>> asked_words("spare TX-401/A")
    ['spare', 'tx401a']
    """
    joined = ("".join(_PART.findall(word)) for word in _BLANK.split(folded(stored(text))))
    return [word for word in dict.fromkeys(joined) if word]


def stored(text: str) -> str:
    """Text that both databases take: control characters and half characters go, a line break is a space."""
    return "".join(
        " " if sign in "\t\n\r" else sign
        for sign in text
        if sign in "\t\n\r" or unicodedata.category(sign) not in ("Cc", "Cs")
    )
