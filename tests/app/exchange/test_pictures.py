"""What an attached file is, told by its first bytes before anything decodes it."""

from __future__ import annotations

import contextlib
import struct
import zlib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.exchange.pictures import kind_of
from ctcore.errors import BadInput


def png(width: int, height: int) -> bytes:
    """A PNG of that size in its header; the chunk layout is that of ISO/IEC 15948:2004, 11.2.2."""
    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    chunk = b"IHDR" + head
    return b"\x89PNG\r\n\x1a\n" + struct.pack(">I", 13) + chunk + struct.pack(">I", zlib.crc32(chunk))


def jpeg(width: int, height: int, frame: int = 0xC0) -> bytes:
    """A JPEG head with one application segment; the segments are those of ITU-T T.81, annex B."""
    app = b"\xff\xe0" + struct.pack(">H", 16) + b"JFIF\0" + b"\0" * 9
    size = b"\xff" + bytes([frame]) + struct.pack(">HBHH", 11, 8, height, width) + b"\x01\x01\x11\0"
    return b"\xff\xd8" + app + size


@pytest.mark.parametrize("make", [png, jpeg])
def test_the_size_of_a_picture_is_read_from_its_head(make) -> None:  # type: ignore[no-untyped-def]
    found = kind_of(make(4032, 3024))
    assert (found.width_px, found.height_px) == (4032, 3024)


def test_a_progressive_jpeg_has_its_size_too() -> None:
    assert kind_of(jpeg(800, 600, frame=0xC2)).width_px == 800


@pytest.mark.parametrize("make", [png, jpeg])
def test_forty_megapixels_are_the_most(make) -> None:  # type: ignore[no-untyped-def]
    assert kind_of(make(8000, 5000)).height_px == 5000
    with pytest.raises(BadInput, match="megapixels"):
        kind_of(make(8000, 5001))


def test_a_small_png_that_decodes_to_gigabytes_is_refused_by_its_head() -> None:
    with pytest.raises(BadInput, match="megapixels"):
        kind_of(png(4_294_967_295, 4_294_967_295))


@pytest.mark.parametrize(
    "data", [b"", b"text", b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n", png(4, 4)[:20], b"GIF89a"]
)
def test_what_is_none_of_the_kinds_is_refused(data: bytes) -> None:
    with pytest.raises(BadInput, match="no PNG, JPEG or PDF"):
        kind_of(data, "photo.jpg")


def test_a_picture_without_a_size_is_refused() -> None:
    with pytest.raises(BadInput, match="no size"):
        kind_of(jpeg(0, 600))


@given(st.binary(max_size=200))
def test_no_bytes_break_the_look(tail: bytes) -> None:
    found = None
    with contextlib.suppress(BadInput):
        found = kind_of(b"\xff\xd8\xff" + tail)
    assert found is None or found.width_px * found.height_px <= 40_000_000
