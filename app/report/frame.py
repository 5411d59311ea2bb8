"""The frame of every page: running head, foot block as on a drawing, draft band; and the flow of blocks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Final

from app import progress
from app.report import code
from app.report.blocks import Block, NewPage, Space
from app.report.contents import Mark
from app.report.fonts import BODY, BOLD, TITLE, face, fitted, printable
from app.report.pen import HAIR, Pen, Spot
from app.report.wording import day, instant
from app.words import said

if TYPE_CHECKING:
    from app.report.content import SheetInput

MM: Final = 72.0 / 25.4
PAPERS: Final = {"A4": (210 * MM, 297 * MM), "Letter": (8.5 * 72, 11 * 72)}
LEFT: Final = 20 * MM
RIGHT: Final = 13 * MM
TOP: Final = 12 * MM
FOOT_HEIGHT: Final = 19 * MM
BOTTOM: Final = 10 * MM
RUNNING: Final = 15.0
_GROUPS: Final = 8
# Between what stands on a page already and what would have begun one.
_BETWEEN: Final = 22.0
_FOOT: Final = "foot"
DRAFT_TEXT: Final = "DRAFT, NOT FROZEN"
TRAINING_TEXT: Final = "TRAINING: NOT A RECORD"
NOT_SIGNED_TEXT: Final = "frozen, not cryptographically signed"
SIGNED_TEXT: Final = "signed in this file; a print carries no signature"
AUTHORISES_TEXT: Final = "This sheet authorises no work and no energising."
# 1 January 2000: a draft has no date of issue, and no clock may change its bytes.
_UNDATED_EPOCH_S: Final = 946684800.0


@dataclass(frozen=True, slots=True)
class Foot:
    """What the foot block says on every page."""

    number_text: str
    revision_text: str
    state_text: str
    issued_text: str
    digest_text: str | None
    program_text: str
    title_text: str
    author_text: str
    paper: str
    issued_epoch_s: float
    signed_text: str
    band_text: str

    @classmethod
    def of(cls, sheet: SheetInput) -> Foot:
        """The foot block of a sheet."""
        from app.record.canonical import digest_groups

        header = sheet.job.header
        issued = instant(sheet.issued_at_utc) if sheet.issued_at_utc else None
        replaced = said(", replaces {revision}", revision=sheet.revision - 1) if sheet.revision > 1 else ""
        return cls(
            number_text=header.number_text,
            revision_text=f"{sheet.revision}{replaced}",
            state_text=said(sheet.state_words)
            if sheet.frozen
            else said("draft ({state_words})", state_words=said(sheet.state_words)),
            issued_text=f"{day(issued.date())} UTC" if issued else said("not issued"),
            digest_text=digest_groups(sheet.digest_hex) if sheet.digest_hex else None,
            program_text=f"Coreleaf {sheet.program_version}",
            title_text=header.title_text or header.site_text,
            author_text=header.organisation_text,
            paper=sheet.paper or header.paper,
            issued_epoch_s=issued.timestamp() if issued else _UNDATED_EPOCH_S,
            signed_text=said(SIGNED_TEXT if sheet.signed else NOT_SIGNED_TEXT),
            band_text=said(TRAINING_TEXT if header.training else "" if sheet.frozen else DRAFT_TEXT),
        )


@dataclass(slots=True)
class Page:
    """One page: its blocks with their places, and its running head."""

    running_text: str = ""
    placed: list[tuple[float, Block]] = field(default_factory=list)


def paper_size(paper: str) -> tuple[float, float]:
    """Width and height in points."""
    return PAPERS[paper]


def lay_out(blocks: Sequence[Block], foot: Foot) -> list[Page]:
    """The blocks set on pages, in order, none lost."""
    width, height = paper_size(foot.paper)
    flow = _Flow(
        width=width - LEFT - RIGHT,
        first_top=TOP + (RUNNING if foot.band_text else 0.0),
        top=TOP + RUNNING,
        bottom=height - BOTTOM - FOOT_HEIGHT - 8.0,
    )
    queue = list(blocks)
    for number, block in enumerate(progress.each(queue, "piece")):
        if isinstance(block, NewPage):
            flow.turn(block)
        elif block.keep_next:
            needed = _needed(queue[number:], flow.width, flow.bottom - flow.top)
            flow.place(block, needed)
        else:
            flow.place(block, 0.0)
    for number, page in enumerate(flow.pages, start=1):
        for _, placed in page.placed:
            if isinstance(placed, Mark):
                placed.page = number
    return flow.pages


def _needed(blocks: Sequence[Block], width: float, page: float) -> float:
    """Room for a heading and for the beginning of what it heads."""
    high = 0.0
    for block in blocks:
        if not block.keep_next and not isinstance(block, Space):
            high += block.least(width)
            break
        high += block.height(width)
    return high if high < page else 0.0


class _Flow:
    """The place where the next block goes."""

    def __init__(self, *, width: float, first_top: float, top: float, bottom: float) -> None:
        self.width = width
        self.top = top
        self.bottom = bottom
        self.at = first_top
        self.running_text = ""
        self.pages = [Page()]

    def turn(self, block: NewPage) -> None:
        """Begin a page, or go on under what is there where that is little."""
        self.running_text = block.running_text
        if max(0.0, self.at - self.top) < block.stays_below * (self.bottom - self.top):
            self.place(Space(_BETWEEN), 0.0)
        else:
            self.new_page()

    def new_page(self) -> None:
        self.pages.append(Page(self.running_text))
        self.at = self.top

    def place(self, block: Block, needed: float) -> None:
        page = self.pages[-1]
        if isinstance(block, Space) and not page.placed:
            return
        if needed > self.bottom - self.at and page.placed:
            self.new_page()
        rest: Block | None = block
        while rest is not None:
            rest = self._put(rest)

    def _put(self, block: Block) -> Block | None:
        page = self.pages[-1]
        high = block.height(self.width)
        if self.at + high <= self.bottom + 0.01:
            page.placed.append((self.at, block))
            self.at += high
            return None
        if isinstance(block, Space):
            return None
        parts = block.split(self.width, self.bottom - self.at)
        if parts is not None:
            page.placed.append((self.at, parts[0]))
            self.new_page()
            return parts[1]
        if page.placed:
            self.new_page()
            return block
        # Taller than a page and not to be parted: printed all the same rather than lost.
        page.placed.append((self.at, block))
        self.at = self.bottom
        return None


def print_pages(pages: Sequence[Page], foot: Foot) -> tuple[bytes, tuple[Spot, ...]]:
    """The laid-out pages drawn, each with its frame, and the places left for signatures."""
    width, height = paper_size(foot.paper)
    pen = Pen(width, height)
    # All of the foot but the number of the page is alike: drawn once, placed on every page.
    pen.keep(_FOOT, lambda: _draw_foot(pen, foot))
    for number, page in enumerate(progress.each(pages, "page"), start=1):
        _draw_head(pen, page, foot, number)
        for top, block in page.placed:
            block.draw(pen, LEFT, top, width - LEFT - RIGHT)
        pen.put(_FOOT)
        _number_page(pen, number, len(pages))
        pen.next_page()
    drawn = pen.finish(
        title=f"{foot.number_text} {foot.title_text}".strip(),
        author=foot.author_text,
        producer=foot.program_text,
        issued_epoch_s=foot.issued_epoch_s,
    )
    return drawn, tuple(pen.spots)


def _draw_head(pen: Pen, page: Page, foot: Foot, number: int) -> None:
    right = pen.width - RIGHT
    middle = (right - LEFT) / 2.0
    if foot.band_text:
        length = face(TITLE).width(foot.band_text, 8.5) + 16.0
        left = LEFT + middle - length / 2.0
        pen.box(left, TOP - 9.5, length, 13.0, fill=0.0)
        pen.text(LEFT + middle, TOP, foot.band_text, font=TITLE, size=8.5, align="middle", light=True)
        middle = middle - length / 2.0 - 4.0
    if number == 1:
        return
    _fitted(pen, LEFT, TOP, f"{foot.number_text}  {foot.title_text}", room=middle - 4.0, size=7.5)
    _fitted(pen, right, TOP, page.running_text, room=middle - 4.0, size=7.5, font=BOLD, align="right")
    pen.line(LEFT, TOP + 4.5, right, TOP + 4.5)


def _draw_foot(pen: Pen, foot: Foot) -> None:
    left, right, top, high = _foot_box(pen)
    columns = _foot_columns(left, right)
    half = top + high / 2.0
    pen.box(left, top, right - left, high)
    for x in columns[1:]:
        pen.line(x, top, x, top + high)
    pen.line(left, half, columns[3], half)
    cells = [
        (said("Sheet"), foot.number_text, said("Page"), ""),
        (said("Revision"), foot.revision_text, said("State"), foot.state_text),
        (said("Issued"), foot.issued_text, said("Program"), foot.program_text),
    ]
    edges = [*columns[1:], right]
    for x, edge, (upper, upper_value, lower, lower_value) in zip(columns, edges, cells, strict=False):
        for y, label, value in ((top, upper, upper_value), (half, lower, lower_value)):
            pen.text(x + 4.0, y + 8.5, label, size=6.5)
            _fitted(pen, x + 4.0, y + 19.5, value, room=edge - x - 8.0, size=9.0, font=BOLD)
    _draw_digest(pen, foot, columns[3], right, top, high)
    pen.text(left, top + high + 9.5, said(AUTHORISES_TEXT), size=7.5)


def _number_page(pen: Pen, number: int, total: int) -> None:
    left, right, top, high = _foot_box(pen)
    room = _foot_columns(left, right)[1] - left - 8.0
    _fitted(
        pen,
        left + 4.0,
        top + high / 2.0 + 19.5,
        said("{number} of {total}", number=number, total=total),
        room=room,
        size=9.0,
        font=BOLD,
    )
    ending = (
        said("end of sheet") if number == total else said("continues on page {number}", number=number + 1)
    )
    pen.text(right, top + high + 9.5, ending, size=7.5, align="right")


def _foot_box(pen: Pen) -> tuple[float, float, float, float]:
    """Left, right, top and height of the foot block."""
    return LEFT, pen.width - RIGHT, pen.height - BOTTOM - FOOT_HEIGHT, FOOT_HEIGHT - 6.0


def _foot_columns(left: float, right: float) -> list[float]:
    return [left + (right - left) * share for share in (0.0, 0.2, 0.37, 0.52)]


def _draw_digest(pen: Pen, foot: Foot, left: float, right: float, top: float, high: float) -> None:
    if foot.digest_text is None or foot.band_text:
        pen.box(left, top, right - left, high, fill=0.0)
        middle = (left + right) / 2.0
        told = said("figures may still change; no record stands behind this paper")
        for below, text, font, size in ((0.0, foot.band_text, TITLE, 13.0), (13.0, told, BODY, 7.5)):
            _fitted(
                pen, middle, top + high / 2.0 + below, text, room=right - left - 6.0, size=size, font=font,
                align="middle", light=True,
            )  # fmt: skip
        return
    code.draw(pen, foot.digest_text.replace(" ", ""), right - high, top, high)
    room = right - high - left - 5.0
    pen.text(left + 5.0, top + 8.5, said("Digest of the record, SHA-256"), size=6.5)
    # Letters of hexadecimal digits are of unlike width: each group stands in a column of its own.
    for number, group in enumerate(foot.digest_text.split(" ")):
        line, column = divmod(number, _GROUPS)
        pen.text(left + 5.0 + column * room / _GROUPS, top + 19.5 + 10.5 * line, group, size=8.0)
    _fitted(pen, left + 5.0, top + high - 5.0, foot.signed_text, room=room, size=7.5)


def _fitted(
    pen: Pen,
    x: float,
    y: float,
    text: str,
    *,
    room: float,
    size: float,
    font: str = BODY,
    align: str = "left",
    light: bool = False,
) -> None:
    """One line that gives way in size, then in length; its whole text stands elsewhere on the sheet."""
    text = printable(text.replace("\n", " "))
    length = face(font).width(text, size)
    if length > room:
        size = max(6.0, size * room / length)
    text = fitted(text, font, size, room)
    pen.text(x, y, text, font=font, size=size, align=align, light=light)


__all__ = ["AUTHORISES_TEXT", "DRAFT_TEXT", "HAIR", "Foot", "Page", "lay_out", "print_pages"]
