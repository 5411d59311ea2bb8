"""The PDF behind the preview: drawn and searched on a thread of its own; pictures are kept while they fit."""

from __future__ import annotations

from collections import OrderedDict
from typing import Final

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QImage

from app.report.page_pictures import Entry, Hit, PagedFile, Picture
from app.ui.writer import Writer

MOST_BYTES: Final = 64_000_000
MOST_DPI: Final = 400.0

Key = tuple[int, int]


def image_of(picture: Picture) -> QImage:
    """The picture as Qt holds one, with pixels of its own."""
    kind = QImage.Format.Format_Grayscale8 if picture.channels == 1 else QImage.Format.Format_RGB32
    # Qt: an image made from foreign bytes reads them later, so it is copied while they are there (6.11).
    return QImage(picture.pixels, picture.width, picture.height, picture.stride, kind).copy()


class PagesBehind(QObject):
    """Opens bytes, draws pages when they are asked for, and finds words.

    What is asked for later makes what was asked for earlier and not begun vain: it is dropped, not drawn.
    """

    opened = Signal()
    drawn = Signal(int)
    found = Signal(object)
    failed = Signal(object)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.thread_behind = Writer(self)
        self.thread_behind.failed.connect(self.failed)
        self.file: PagedFile | None = None
        self.entries: tuple[Entry, ...] = ()
        self._kept: OrderedDict[Key, QImage] = OrderedDict()
        self._wanted: Key | None = None
        self._sought = 0
        self._opening = 0
        self._closed = False

    @property
    def page_count(self) -> int:
        """How many pages there are; 0 where nothing is open."""
        return self.file.page_count if self.file is not None else 0

    def open(self, data: bytes) -> None:
        """Show these bytes instead of the ones before; `opened` tells when they can be asked for."""
        if self._closed:
            # The window closes while the sheet was still being drawn for it.
            return
        self._opening += 1
        asked = self._opening

        def read() -> tuple[PagedFile, tuple[Entry, ...]]:
            file = PagedFile(data)
            return file, file.entries()

        def take(made: tuple[PagedFile, tuple[Entry, ...]]) -> None:
            if asked != self._opening:
                made[0].close()
                return
            self._let_go()
            self.file, self.entries = made
            self.opened.emit()

        self.thread_behind.submit(read, done=take)

    def picture(self, page: int, dpi: float) -> QImage | None:
        """The page at that fineness if it is drawn already; else it is asked for and `drawn` tells of it."""
        key = (page, round(min(dpi, MOST_DPI) * 100))
        kept = self._kept.get(key)
        if kept is not None:
            self._kept.move_to_end(key)
            self._wanted = None
            return kept
        if self._wanted != key:
            self._wanted = key
            self._draw(key)
        return None

    def any_picture(self, page: int) -> QImage | None:
        """The page at whatever fineness it was drawn last, to be shown until the right one is there."""
        return next((image for (number, _), image in reversed(self._kept.items()) if number == page), None)

    def find(self, words: str) -> None:
        """Look for words on every page; `found` brings all places in the order of the pages."""
        self._sought += 1
        asked, file = self._sought, self.file
        if file is None:
            return

        def look() -> tuple[Hit, ...] | None:
            hits: list[Hit] = []
            for page in range(file.page_count):
                if asked != self._sought:
                    return None
                hits += file.find(page, words)
            return tuple(hits)

        def tell(hits: tuple[Hit, ...] | None) -> None:
            if hits is not None and asked == self._sought and file is self.file:
                self.found.emit(hits)

        self.thread_behind.submit(look, done=tell)

    def close(self) -> None:
        """End the thread and let go of the PDF; that pages were printed is told before."""
        self._closed = True
        self._sought += 1
        self._opening += 1
        self._let_go()
        self.thread_behind.close(told=True)

    def _draw(self, key: Key) -> None:
        file = self.file
        if file is None:
            return

        def draw() -> QImage | None:
            return image_of(file.picture(key[0], key[1] / 100.0)) if self._wanted == key else None

        def take(image: QImage | None) -> None:
            if image is None or file is not self.file:
                return
            if self._wanted == key:
                self._wanted = None
            self._keep(key, image)
            self.drawn.emit(key[0])

        self.thread_behind.submit(draw, done=take)

    def _keep(self, key: Key, image: QImage) -> None:
        self._kept[key] = image
        while len(self._kept) > 1 and sum(one.sizeInBytes() for one in self._kept.values()) > MOST_BYTES:
            self._kept.popitem(last=False)

    def _let_go(self) -> None:
        self._kept.clear()
        self._wanted = None
        self.entries = ()
        if self.file is not None:
            # On its own thread the file closes after whatever is being drawn of it.
            self.thread_behind.submit(self.file.close)
            self.file = None
