"""What the blocks of the sheet draw with: text and lines in one ink, measured from the top of the page."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from io import BytesIO
from typing import Any, Final

from reportlab import rl_config
from reportlab.pdfgen.canvas import Canvas

from app.report.fonts import BODY, face, printable

# Format: compressed streams as they are; writing them in printable letters makes the file a quarter larger.
rl_config.useA85 = 0

RULE: Final = 1.0
HAIR: Final = 0.4
DASHES: Final = {"solid": (), "dash": (5.5, 2.5), "dots": (0.01, 2.4), "fine": (2.0, 1.5)}


@dataclass(frozen=True, slots=True)
class Spot:
    """A named place on a page counted from 0; corners in points from the lower left of the page."""

    name: str
    page: int
    left: float
    lower: float
    right: float
    upper: float


class Pen:
    """One document under the pen. `y` is counted downwards from the top edge, in points."""

    def __init__(self, width: float, height: float) -> None:
        face(BODY)
        self.width = width
        self.height = height
        self._buffer = BytesIO()
        # invariant: no clock and no random identifier; the date of issue is set by `finish`.
        self._canvas: Any = Canvas(
            self._buffer,
            pagesize=(width, height),
            pageCompression=1,
            invariant=1,
            initialFontName=BODY,
            initialFontSize=8,
            lang="en-GB",
        )
        self._stroke: tuple[float, float, str] | None = None
        self._pages = 0
        self.spots: list[Spot] = []
        _leave_out_transitions(self._canvas._doc)

    def text(
        self,
        x: float,
        y: float,
        words: str,
        *,
        font: str = BODY,
        size: float = 8.0,
        align: str = "left",
        light: bool = False,
    ) -> None:
        """One line with its baseline at `y`; `x` is the left end, the right end or the middle."""
        words = printable(words)
        if align != "left":
            width = face(font).width(words, size)
            x -= width if align == "right" else width / 2.0
        face(font)
        canvas = self._canvas
        if light:
            canvas.setFillGray(1.0)
        canvas.setFont(font, size)
        canvas.drawString(x, self.height - y, words)
        if light:
            canvas.setFillGray(0.0)

    def line(
        self, x1: float, y1: float, x2: float, y2: float, *, width: float = HAIR, white: float = 0.0
    ) -> None:
        """A straight line; `white` lightens it from ink (0) to paper (1)."""
        self.path([(x1, y1), (x2, y2)], width=width, white=white)

    def path(
        self,
        points: Sequence[tuple[float, float]],
        *,
        width: float = HAIR,
        white: float = 0.0,
        dashes: str = "solid",
        closed: bool = False,
        fill: float | None = None,
        stroke: bool = True,
    ) -> None:
        """A chain of straight lines, closed and filled (0 ink, 1 paper) where asked for."""
        canvas = self._canvas
        self._set_stroke(width, white, dashes)
        if fill is not None:
            canvas.setFillGray(fill)
        path = canvas.beginPath()
        path.moveTo(points[0][0], self.height - points[0][1])
        for x, y in points[1:]:
            path.lineTo(x, self.height - y)
        if closed:
            path.close()
        canvas.drawPath(path, stroke=int(stroke), fill=int(fill is not None))
        if fill is not None:
            canvas.setFillGray(0.0)

    def box(
        self,
        x: float,
        y: float,
        w: float,
        h: float,
        *,
        width: float = RULE,
        fill: float | None = None,
        stroke: bool = True,
    ) -> None:
        """A rectangle with its upper left corner at (x, y)."""
        corners = [(x, y), (x + w, y), (x + w, y + h), (x, y + h)]
        self.path(corners, width=width, closed=True, fill=fill, stroke=stroke)

    def fill_boxes(self, boxes: Sequence[tuple[float, float, float, float]]) -> None:
        """Rectangles of ink as (x, y, width, height), as one shape, so that no hair of white parts them."""
        path = self._canvas.beginPath()
        for x, y, w, h in boxes:
            path.rect(x, self.height - y - h, w, h)
        self._canvas.drawPath(path, stroke=0, fill=1)

    def disc(
        self,
        x: float,
        y: float,
        radius: float,
        *,
        width: float = HAIR,
        fill: float | None = None,
        white: float = 0.0,
    ) -> None:
        """A circle about (x, y)."""
        canvas = self._canvas
        self._set_stroke(width, white, "solid")
        if fill is not None:
            canvas.setFillGray(fill)
        canvas.circle(x, self.height - y, radius, stroke=1, fill=int(fill is not None))
        if fill is not None:
            canvas.setFillGray(0.0)

    def _set_stroke(self, width: float, white: float, dashes: str) -> None:
        """The state of the pen, written only where it changes."""
        if self._stroke == (width, white, dashes):
            return
        self._stroke = (width, white, dashes)
        canvas = self._canvas
        canvas.setLineWidth(width)
        canvas.setStrokeGray(white)
        canvas.setLineCap(1 if dashes == "dots" else 0)
        canvas.setLineJoin(1)
        canvas.setDash(*([list(DASHES[dashes])] if DASHES[dashes] else []))

    def grey_picture(
        self, x: float, y: float, w: float, h: float, *, pixels: bytes, size: tuple[int, int]
    ) -> None:
        """A picture of one byte of grey per pixel, its upper left corner at (x, y)."""
        from PIL import Image
        from reportlab.lib.utils import ImageReader

        shown = ImageReader(Image.frombytes("L", size, pixels))
        self._canvas.drawImage(shown, x, self.height - y - h, width=w, height=h)

    def keep(self, name: str, draw: Callable[[], None]) -> None:
        """Draw something once for every page that `put` places it on; before the first page."""
        self._canvas.beginForm(name, 0, 0, self.width, self.height)
        self._stroke = None
        draw()
        self._canvas.endForm()
        self._stroke = None

    def put(self, name: str) -> None:
        """What was kept under that name, in its place on this page."""
        self._canvas.doForm(name)

    def clip(self, x: float, y: float, w: float, h: float) -> None:
        """Draw only inside this rectangle until `unclip`."""
        self._canvas.saveState()
        path = self._canvas.beginPath()
        path.rect(x, self.height - y - h, w, h)
        self._canvas.clipPath(path, stroke=0, fill=0)

    def unclip(self) -> None:
        """End of the last `clip`."""
        self._canvas.restoreState()
        self._stroke = None

    def bookmark(self, key: str, title: str, *, level: int = 0, top: float = 0.0) -> None:
        """An entry of the reader's outline that leads to this height of this page."""
        self._canvas.bookmarkHorizontal(key, 0, self.height - top)
        self._canvas.addOutlineEntry(printable(title), key, level=level)

    def link(self, key: str, x: float, y: float, w: float, h: float) -> None:
        """A place that leads to the bookmark of that key."""
        lower = self.height - y - h
        self._canvas.linkAbsolute("", key, Rect=(x, lower, x + w, lower + h), thickness=0)

    def next_page(self) -> None:
        """End of this page."""
        self._canvas.showPage()
        self._stroke = None
        self._pages += 1

    def spot(self, name: str, x: float, y: float, w: float, h: float) -> None:
        """Remember a place that is filled in after the sheet is drawn; nothing is drawn there."""
        lower = self.height - y - h
        self.spots.append(Spot(name, self._pages, x, lower, x + w, lower + h))

    def finish(self, *, title: str, author: str, producer: str, issued_epoch_s: float) -> bytes:
        """The bytes of the document, dated at its issue."""
        canvas = self._canvas
        canvas.setTitle(printable(title))
        canvas.setAuthor(printable(author))
        canvas.setSubject("Current transformer commissioning sheet")
        canvas.setCreator(producer)
        canvas.setProducer(producer)
        canvas.setDateFormatter(_date_formatter(issued_epoch_s))
        canvas.save()
        return self._buffer.getvalue()


def _leave_out_transitions(document: Any) -> None:
    """Each page would carry an empty /Trans, which an archive format refuses."""
    add_page = document.addPage

    def add_plain_page(page: Any) -> None:
        page.Trans = None
        add_page(page)

    document.addPage = add_plain_page


def _date_formatter(epoch_s: float) -> Any:
    from datetime import UTC, datetime

    at = datetime.fromtimestamp(epoch_s, UTC)

    def formatted(*_parts: object) -> str:
        return at.strftime("D:%Y%m%d%H%M%S+00'00'")

    return formatted
