"""Pages of a PDF as pictures, where words stand on them, the list of contents; PDFium is used here alone."""

from __future__ import annotations

import math
import re
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from types import TracebackType
from typing import Any, Final, Self

POINTS_PER_INCH: Final = 72.0

# PDFium may be used by one thread at a time, whatever documents it has open.
_ONE_AT_A_TIME: Final = threading.RLock()


class NoPages(Exception):
    """Bytes that are no PDF, or one without pages; the sentence says so."""

    def __init__(self, sentence: str) -> None:
        super().__init__(sentence)
        self.sentence = sentence


@dataclass(frozen=True, slots=True)
class Picture:
    """A page or a band of one, `channels` bytes a pixel: 1 grey, 4 blue, green, red and one unused."""

    width: int
    height: int
    stride: int
    channels: int
    pixels: bytes


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle on a page in points from its upper left corner."""

    left: float
    top: float
    right: float
    bottom: float


@dataclass(frozen=True, slots=True)
class Hit:
    """A place where words were found: the page counted from 0, a box for each line that they stand on."""

    page: int
    boxes: tuple[Box, ...]


@dataclass(frozen=True, slots=True)
class Entry:
    """A line of the list of contents; `level` 0 is the outermost."""

    title: str
    page: int
    level: int


class PagedFile:
    """A PDF in memory, read from any thread. Close it, or use it in a `with` block."""

    def __init__(self, data: bytes) -> None:
        import pypdfium2

        with _ONE_AT_A_TIME:
            try:
                self._document: Any = pypdfium2.PdfDocument(data)
                # Signatures are drawn as fields of a form.
                self._document.init_forms()
                self._sizes: list[tuple[float, float]] = [
                    self._document.get_page_size(number) for number in range(len(self._document))
                ]
            except pypdfium2.PdfiumError as problem:
                raise NoPages("These bytes are no PDF that can be shown.") from problem
        if not self._sizes:
            self.close()
            raise NoPages("This PDF has no pages.")

    @property
    def page_count(self) -> int:
        """How many pages there are."""
        return len(self._sizes)

    def size_pt(self, page: int) -> tuple[float, float]:
        """Width and height of a page in points."""
        return self._sizes[page]

    def size_px(self, page: int, dpi: float) -> tuple[int, int]:
        """Width and height of the picture of a page."""
        with self._page(page) as shown:
            return _pixels(shown, dpi)

    def picture(self, page: int, dpi: float, *, grey: bool = False) -> Picture:
        """A whole page."""
        return self.band(page, dpi, 0, self.size_px(page, dpi)[1], grey=grey)

    def band(self, page: int, dpi: float, top_px: int, rows: int, *, grey: bool = False) -> Picture:
        """Some rows of the picture of a page, the same pixels as in the whole of it."""
        scale = dpi / POINTS_PER_INCH
        with self._page(page) as shown:
            _, high = _pixels(shown, dpi)
            rows = min(rows, high - top_px)
            # Format: the library rounds what is cut off upwards to whole pixels; half a pixel less is exact.
            cut = [max(0.0, pixels - 0.5) / scale for pixels in (0, high - top_px - rows, 0, top_px)]
            bitmap = shown.render(scale=scale, crop=tuple(cut), grayscale=grey, prefer_bgrx=True)
            try:
                return Picture(
                    bitmap.width, bitmap.height, bitmap.stride, bitmap.n_channels, bytes(bitmap.buffer)
                )
            finally:
                bitmap.close()

    def words(self, page: int) -> str:
        """What stands on a page as text."""
        with self._text(page) as told:
            return str(told.get_text_range())

    def find(self, page: int, wanted: str) -> tuple[Hit, ...]:
        """Where words stand on a page, in any case of letters and with any kind of gap between them."""
        parts = [re.escape(part) for part in wanted.split()]
        if not parts:
            return ()
        with self._page(page) as shown, self._text(page) as told:
            high = shown.get_height()
            return tuple(
                Hit(page, tuple(_boxes(told, found.start(), found.end() - found.start(), high)))
                for found in re.finditer(r"\s+".join(parts), told.get_text_range(), re.IGNORECASE)
            )

    def entries(self) -> tuple[Entry, ...]:
        """The list of contents; empty where the PDF has none."""
        with _ONE_AT_A_TIME:
            found = []
            for mark in self._document.get_toc():
                aim = mark.get_dest()
                page = None if aim is None else aim.get_index()
                if page is not None:
                    found.append(Entry(mark.get_title(), page, mark.level))
            return tuple(found)

    def close(self) -> None:
        """Let go of it."""
        with _ONE_AT_A_TIME:
            self._document.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, value: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    @contextmanager
    def _page(self, page: int) -> Iterator[Any]:
        with _ONE_AT_A_TIME:
            shown = self._document[page]
            try:
                yield shown
            finally:
                shown.close()

    @contextmanager
    def _text(self, page: int) -> Iterator[Any]:
        with self._page(page) as shown:
            told = shown.get_textpage()
            try:
                yield told
            finally:
                told.close()


def _pixels(shown: Any, dpi: float) -> tuple[int, int]:
    """The pixels of a page, rounded as the library rounds them."""
    scale = dpi / POINTS_PER_INCH
    return math.ceil(shown.get_width() * scale), math.ceil(shown.get_height() * scale)


def _boxes(told: Any, start: int, count: int, high: float) -> Iterator[Box]:
    for number in range(told.count_rects(start, count)):
        left, bottom, right, top = told.get_rect(number)
        yield Box(left, high - top, right, high - bottom)


__all__ = ["Box", "Entry", "Hit", "NoPages", "PagedFile", "Picture"]
