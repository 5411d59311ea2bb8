"""The few pieces of DER (X.690) that a signature is put together from, and the strict way back."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from ctcore.errors import BadInput

INTEGER: Final = 0x02
OCTETS: Final = 0x04
NULL: Final = b"\x05\x00"
OID: Final = 0x06
UTC_TIME: Final = 0x17
SEQUENCE: Final = 0x30
SET: Final = 0x31
TAGGED_0: Final = 0xA0
TAGGED_4: Final = 0xA4

_SHORT: Final = 0x80
_MOST_LENGTH_BYTES: Final = 4


def element(tag: int, *contents: bytes) -> bytes:
    """One element: tag, shortest length, content.

    >>> element(SEQUENCE, whole(5), NULL).hex()
    '30050201050500'
    """
    content = b"".join(contents)
    if len(content) < _SHORT:
        return bytes((tag, len(content))) + content
    length = len(content).to_bytes((len(content).bit_length() + 7) // 8, "big")
    return bytes((tag, _SHORT | len(length))) + length + content


def set_of(elements: Iterable[bytes], tag: int = SET) -> bytes:
    """A SET OF: the elements in ascending order of their bytes."""
    return element(tag, *sorted(elements))


def whole(number: int) -> bytes:
    """A whole number of zero or more."""
    return element(INTEGER, number.to_bytes(number.bit_length() // 8 + 1, "big"))


def oid(dotted: str) -> bytes:
    """An object identifier.

    >>> oid("1.2.840.113549.1.7.2").hex()
    '06092a864886f70d010702'
    """
    first, second, *rest = (int(arc) for arc in dotted.split("."))
    return element(OID, b"".join(_base_128(arc) for arc in (40 * first + second, *rest)))


def children(data: bytes, tag: int) -> list[bytes]:
    """The elements inside the one element of that tag that `data` is; BadInput where it is not."""
    found, content, rest = _split(data)
    if found != tag or rest:
        raise BadInput("signature", f"tag {found:02x}", "is not built as this program builds it")
    inner = []
    while content:
        _, _, after = _split(content)
        inner.append(content[: len(content) - len(after)])
        content = after
    return inner


def content(data: bytes, tag: int) -> bytes:
    """The content of the one element of that tag that `data` is; BadInput where it is not."""
    found, inner, rest = _split(data)
    if found != tag or rest:
        raise BadInput("signature", f"tag {found:02x}", "is not built as this program builds it")
    return inner


def first_length(data: bytes) -> int:
    """How many bytes the first element takes; BadInput where there is no whole one."""
    return len(data) - len(_split(data)[2])


def _split(data: bytes) -> tuple[int, bytes, bytes]:
    """Tag and content of the first element, and what follows it."""
    if len(data) < 2:
        raise BadInput("signature", f"{len(data)} bytes", "ends too early")
    tag, length, start = data[0], data[1], 2
    if length >= _SHORT:
        count = length - _SHORT
        if not 0 < count <= _MOST_LENGTH_BYTES:
            raise BadInput("signature", f"{length:02x}", "has a length that DER does not know")
        start += count
        length = int.from_bytes(data[2:start], "big")
    if start + length > len(data):
        raise BadInput("signature", f"{len(data)} bytes", "ends too early")
    return tag, data[start : start + length], data[start + length :]


def _base_128(arc: int) -> bytes:
    groups = [arc & 0x7F]
    while arc := arc >> 7:
        groups.append(0x80 | arc & 0x7F)
    return bytes(reversed(groups))
