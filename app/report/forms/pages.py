"""The forms set on pages: head and foot on each, as many lines as go on it at a height for gloved hands."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from app import progress
from app.report.blocks import Block, Framed, Run, Words
from app.report.fonts import BODY, BOLD, TITLE, face, printable
from app.report.forms.cells import CELL, Cells, Table
from app.report.forms.content import Blank, Form, FormsInput, deferring_text, form_number, forms_of
from app.report.frame import MM, PAPERS, TRAINING_TEXT
from app.report.pen import Pen
from app.report.plots import hookup
from app.words import said, speaking
from ctcore import __version__
from ctcore.errors import BadInput

LEFT: Final = 18 * MM
RIGHT: Final = 10 * MM
TOP: Final = 9 * MM
BOTTOM: Final = 8 * MM
NOT_A_RECORD: Final = "NOT A RECORD UNTIL KEYED"
_BAND: Final = 21.0
# Band, job, place, test and order.
_HEAD: Final = 21.0 + 74.0
_ORDER: Final = 8.5
_KEYING_HEIGHT: Final = 34.0
_MOST_LINE: Final = 16.0 * MM
_GAP: Final = 6.0
_HOOKUP_SHARE: Final = 0.56
_LEAST_HOOKUP: Final = 150.0
_LEAD: Final = 14.0
# 1 January 2000: a form has no date of its own, and no clock may change its bytes.
_UNDATED_EPOCH_S: Final = 946684800.0
_KEYING: Final = (
    "When keyed: write this number into a remark at the step, or attach a photograph of this page to it. "
    "A reading that is corrected here is struck through once and stays legible."
)


@dataclass(frozen=True, slots=True)
class Page:
    """A form, or as much of its lines as go on one page."""

    form: Form
    first: int
    last: int


@dataclass(frozen=True, slots=True)
class Forms:
    """The PDF, the number that stands on each of its pages, and how many there are."""

    data: bytes
    number: str
    page_count: int


def render(given: FormsInput) -> Forms:
    """The forms in the language of the sheet of their job."""
    header = given.job.header
    with speaking(header.sheet_language, comma=header.sheet_decimal_mark == "comma"):
        return _rendered(given)


def _rendered(given: FormsInput) -> Forms:
    """All forms asked for. The same input gives the same bytes; BadInput where nothing of it is planned."""
    forms, number = forms_of(given), form_number(given)
    if not forms:
        raise BadInput(said("field forms"), "", said("none of the tests asked for is planned on these cores"))
    pen = Pen(*PAPERS[given.paper_name])
    pages = [page for form in forms for page in _paged(form, given, pen)]
    place = ""
    for count, page in enumerate(progress.each(pages, "page"), start=1):
        if page.form.place_text != place:
            place = page.form.place_text
            pen.bookmark(f"page{count}", place)
        _draw(pen, page, given, said("page {number} of {all}", number=count, all=len(pages)), number)
        pen.next_page()
    header = given.job.header
    data = pen.finish(
        title=said("Field forms {forms}, {job}", forms=number, job=header.number_text),
        author=header.organisation_text,
        producer=f"Coreleaf {__version__}",
        issued_epoch_s=_UNDATED_EPOCH_S,
    )
    return Forms(data, number, len(pages))


def _paged(form: Form, given: FormsInput, pen: Pen) -> list[Page]:
    """Which lines go on which page: head, plate and cautions stand on each."""
    width, pages, first = pen.width - LEFT - RIGHT, [], 0
    while True:
        room = _foot_top(pen, given) - _GAP - _above(form, width, first)
        span = (width - _GAP) / 2.0 if form.beside else width
        count = Table(form, first, len(form.lines)).fitting(span, room) * (2 if form.beside else 1)
        last = min(first + max(1, count), len(form.lines))
        pages.append(Page(form, first, last))
        if last == len(form.lines):
            return pages
        first = last


def _above(form: Form, width: float, first: int) -> float:
    """Where the table begins."""
    return TOP + _HEAD + sum(part.height(width) + _GAP for part in _parts(form, first))


def _parts(form: Form, first: int) -> list[Block | Cells]:
    """What stands between the head and the table; the questions on the first page alone."""
    parts: list[Block | Cells] = [_plate(form), Framed(_cautions(form), weight=1.6)]
    if first == 0 and form.method:
        parts.append(Cells(form.method))
    if form.limits:
        parts.append(_limits(form))
    return parts


def _draw(pen: Pen, page: Page, given: FormsInput, count_text: str, number: str) -> None:
    width, form = pen.width - LEFT - RIGHT, page.form
    _draw_head(pen, form, given, count_text, number)
    top, foot = TOP + _HEAD, _foot_top(pen, given)
    for part in _parts(form, page.first):
        part.draw(pen, LEFT, top, width)
        top += part.height(width) + _GAP
    top = _draw_lines(pen, page, top, width, foot - _GAP) + _GAP
    _draw_remarks(pen, top, foot - _GAP, width - _draw_hookup(pen, form, top, foot - _GAP, width))
    _draw_foot(pen, given, count_text, number, foot, width)


def _draw_lines(pen: Pen, page: Page, top: float, width: float, bottom: float) -> float:
    """The table, or the two of points beside each other; returns where it ends."""
    form, first, last = page.form, page.first, page.last
    if form.beside:
        span, middle = (width - _GAP) / 2.0, first + (last - first + 1) // 2
        for x, part in ((LEFT, (first, middle)), (LEFT + span + _GAP, (middle, last))):
            Table(form, *part).draw(pen, x, top, span)
        return top + Table(form, first, middle).height(span)
    # Few lines share the page: they grow, as far as remarks keep their room.
    least = min(_MOST_LINE, max(CELL, (bottom - top) * 0.6 / (last - first)))
    table = Table(form, first, last, least=least)
    if top + table.height(width) > bottom:
        table = Table(form, first, last)
    table.draw(pen, LEFT, top, width)
    return top + table.height(width)


def _draw_hookup(pen: Pen, form: Form, top: float, bottom: float, width: float) -> float:
    """How the test is wired, and its leads to tick, where the remarks leave room; how wide it is."""
    if form.hookup is None or bottom - top < _LEAST_HOOKUP:
        return 0.0
    wide = _HOOKUP_SHARE * width
    x, tall = LEFT + width - wide, min(bottom - top - 14.0, wide * form.hookup.height / form.hookup.width)
    pen.box(x, top, wide, bottom - top, width=0.6)
    pen.text(x + 4.0, top + 9.5, said("Hook-up"), size=7.5)
    hookup.draw(pen, form.hookup, x + 6.0, top + 12.0, wide - 12.0, tall - 6.0)
    _draw_leads(pen, form.leads, x + 6.0, top + tall + 16.0, wide - 12.0, bottom)
    return wide + _GAP


def _draw_leads(pen: Pen, leads: tuple[str, ...], x: float, top: float, width: float, bottom: float) -> None:
    """The leads to tick, in two columns where one is too long; a list cut short would pass for the whole."""
    fitting = int((bottom - top) / _LEAD)
    columns = 1 if len(leads) <= fitting else 2
    rows = -(-len(leads) // columns)
    if rows > fitting:
        return
    span = width / columns
    for number, words in enumerate(leads):
        column, row = divmod(number, rows)
        left, line = x + span * column, top + _LEAD * row
        pen.box(left, line, 8.0, 8.0, width=0.8)
        pen.text(left + 12.0, line + 7.0, _cut(words, BODY, 7.5, span - 16.0), size=7.5)


def _draw_remarks(pen: Pen, top: float, bottom: float, width: float) -> None:
    """What is left of the page is ruled."""
    if bottom - top < CELL:
        return
    pen.box(LEFT, top, width, bottom - top, width=0.6)
    pen.text(LEFT + 4.0, top + 9.5, said("Remarks, what was seen, readings taken again and why"), size=7.5)
    line = top + CELL
    while line < bottom - 14.0:
        pen.line(LEFT + 4.0, line, LEFT + width - 4.0, line, width=0.3, white=0.45)
        line += CELL


def _draw_head(pen: Pen, form: Form, given: FormsInput, count_text: str, number: str) -> None:
    right, header = pen.width - RIGHT, given.job.header
    width = right - LEFT
    pen.box(LEFT, TOP, width, _BAND, fill=0.0)
    base = TOP + 14.8
    what = said(TRAINING_TEXT if header.training else NOT_A_RECORD)
    pen.text(LEFT + 6.0, base, said("FIELD FORM, {what}", what=what), font=TITLE, size=11.0, light=True)
    pen.text(right - 6.0, base, f"{number}   {count_text}", font=TITLE, size=11.0, align="right", light=True)
    top = TOP + _BAND
    job = ", ".join(filter(None, (f"{header.number_text} {header.title_text}".strip(), header.site_text)))
    pen.text(LEFT, top + 13.0, _cut(job, BODY, 9.5, width), size=9.5)
    # Which core it is must never be cut off: a long name grows smaller.
    length = face(TITLE).width(printable(form.place_text), 15.0)
    size = min(15.0, 15.0 * width / length)
    pen.text(LEFT, top + 31.0, form.place_text, font=TITLE, size=size)
    pen.text(LEFT, top + 48.0, _cut(form.test_text, TITLE, 13.0, width), font=TITLE, size=13.0)
    _draw_order(pen, form, LEFT, top + 54.0, right)


def _draw_order(pen: Pen, form: Form, x: float, top: float, right: float) -> None:
    """The order of the tests, each with a box to tick; the one in hand in ink."""
    here_at = next(number for number, (_, here) in enumerate(form.order) if here)
    named = [f"{number} {words}" for number, (words, _) in enumerate(form.order, start=1)]
    x += 30.0
    # Of many tests those next to the one in hand are named.
    for near in (len(named), 2, 1, 0):
        shown = [
            words if abs(at - here_at) <= near else words.split(" ")[0] for at, words in enumerate(named)
        ]
        if x + sum(_order_width(words) + 2.0 for words in shown) <= right:
            break
    pen.text(x - 30.0, top + 10.5, said("Order"), size=8.0)
    for words, (_, here) in zip(shown, form.order, strict=True):
        wide = _order_width(words)
        if here:
            pen.box(x - 2.5, top, wide, 15.0, fill=0.0)
        pen.box(x + 1.0, top + 3.5, 8.0, 8.0, width=0.8, fill=1.0)
        pen.text(x + 12.0, top + 10.8, words, font=BOLD if here else BODY, size=_ORDER, light=here)
        x += wide + 2.0


def _order_width(words: str) -> float:
    return face(BOLD).width(words, _ORDER) + 18.0


def _plate(form: Form) -> Words:
    runs = []
    for number, (label, value) in enumerate(form.plate):
        runs += [Run(f"{'    ' if number else ''}{label} "), Run(value.replace(" ", "\u00a0", 1), BOLD)]
    return Words(tuple(runs), size=9.0)


def _cautions(form: Form) -> Words:
    runs = []
    for number, (hazard, so) in enumerate(form.cautions):
        runs += [Run(f"{chr(10) if number else ''}{hazard} ", BOLD), Run(so)]
    return Words(tuple(runs), size=8.5)


def _limits(form: Form) -> Words:
    return Words((Run(said("Judged by "), BODY), Run("; ".join(form.limits), BOLD)), size=9.0)


def _foot_cells(given: FormsInput) -> tuple[Cells, Cells]:
    named = tuple(one.name_text for one in given.job.instruments[:6])
    instruments = (
        Blank(said("Instruments: tick, or write name and number"), named),
        Blank(said("Weather, air, °C")),
    )
    return Cells(instruments, shares=(0.74, 0.26)), Cells(
        tuple(Blank(said(one)) for one in ("Permit", "Read by, name", "Signature", "Date", "From – to")),
        shares=(0.2, 0.26, 0.22, 0.15, 0.17),
    )  # fmt: skip


def _foot_heights(pen: Pen, given: FormsInput) -> list[float]:
    width = pen.width - LEFT - RIGHT
    return [cells.height(width) for cells in _foot_cells(given)]


def _foot_top(pen: Pen, given: FormsInput) -> float:
    return pen.height - BOTTOM - sum(_foot_heights(pen, given)) - _KEYING_HEIGHT


def _draw_foot(pen: Pen, given: FormsInput, count_text: str, number: str, top: float, width: float) -> None:
    for cells, high in zip(_foot_cells(given), _foot_heights(pen, given), strict=True):
        cells.draw(pen, LEFT, top, width)
        top += high
    words = Words((Run(f"{number}, {count_text}. ", BOLD), Run(f"{_KEYING} {deferring_text()}")), size=7.2)
    words.draw(pen, LEFT, top + 4.0, width)


def _cut(text: str, font: str, size: float, room: float) -> str:
    text = printable(text)
    while len(text) > 2 and face(font).width(text, size) > room:
        text = text[:-2].rstrip() + "…"
    return text
