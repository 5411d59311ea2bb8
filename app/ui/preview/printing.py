"""Pages on their way to a printer: drawn band by band at its own fineness, one page in hand at a time."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Final

from PySide6.QtCore import QMarginsF, QPointF
from PySide6.QtGui import QPageLayout, QPageSize, QPainter
from PySide6.QtPrintSupport import QPrinter, QPrinterInfo

from app import progress
from app.report.page_pictures import PagedFile
from app.ui.preview.back import image_of
from app.ui.preview.fitting import Placement, Room, Scale, place
from app.ui.texts import text

PAPERS: Final = {"A4": QPageSize.PageSizeId.A4, "Letter": QPageSize.PageSizeId.Letter}
DUPLEX: Final = {
    "one": QPrinter.DuplexMode.DuplexNone,
    "long": QPrinter.DuplexMode.DuplexLongSide,
    "short": QPrinter.DuplexMode.DuplexShortSide,
}
# Letters of a sheet are as sharp as office printers print them; colour, four times the bytes, is coarser.
DPI: Final = {"grey": 600, "colour": 300}
# A page of A4 goes in one piece: who prints the file at another fineness would see the seams of several.
BAND_BYTES: Final = 48_000_000
_POINTS: Final = 72.0


class PrintProblem(Exception):
    """Printing ended before its end; the sentence says where and what to do."""

    def __init__(self, sentence: str) -> None:
        super().__init__(sentence)
        self.sentence = sentence


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintPlan:
    """What is printed and how; pages are counted from 0."""

    printer_text: str
    pages: tuple[int, ...]
    copies: int = 1
    paper: str = "A4"
    scale: Scale = "fit"
    ink: str = "grey"
    sides: str = "one"


def printers() -> list[QPrinterInfo]:
    """The printers of this computer, the usual one first."""
    found = [info for info in QPrinterInfo.availablePrinters() if not info.isNull()]
    return sorted(found, key=lambda info: not info.isDefault())


def printer_for(plan: PrintPlan) -> QPrinter:
    """A printer of this computer, ready for a plan."""
    made = QPrinter(QPrinterInfo.printerInfo(plan.printer_text), QPrinter.PrinterMode.HighResolution)
    set_up(made, plan)
    return made


def file_printer(path: Path, plan: PrintPlan) -> QPrinter:
    """The same pages into a PDF file, for who has no printer at hand."""
    made = QPrinter(QPrinter.PrinterMode.HighResolution)
    made.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    made.setOutputFileName(str(path))
    set_up(made, plan)
    return made


def set_up(printer: QPrinter, plan: PrintPlan) -> None:
    """Paper, fineness, ink, sides and copies."""
    printer.setResolution(DPI[plan.ink])
    printer.setFullPage(True)
    printer.setPageLayout(
        QPageLayout(
            QPageSize(PAPERS[plan.paper]), QPageLayout.Orientation.Portrait, QMarginsF(),
            QPageLayout.Unit.Point, printer.pageLayout().minimumMargins(),
        )
    )  # fmt: skip
    printer.setFullPage(True)
    colour = plan.ink == "colour"
    printer.setColorMode(QPrinter.ColorMode.Color if colour else QPrinter.ColorMode.GrayScale)
    printer.setDuplex(DUPLEX[plan.sides])
    if printer.supportsMultipleCopies():
        printer.setCopyCount(plan.copies)
        printer.setCollateCopies(True)


def room_of(printer: QPrinter) -> Room:
    """The paper that is set, and the edges that the printer cannot reach."""
    layout = printer.pageLayout()
    paper = layout.pageSize().size(QPageSize.Unit.Point)
    layout.setUnits(QPageLayout.Unit.Point)
    bare = layout.minimumMargins()
    return Room(paper.width(), paper.height(), bare.left(), bare.top(), bare.right(), bare.bottom())


def placements(file: PagedFile, printer: QPrinter, plan: PrintPlan) -> dict[int, Placement]:
    """Where every page of the plan comes to lie."""
    room = room_of(printer)
    return {page: place(*file.size_pt(page), room, plan.scale) for page in plan.pages}


def print_pages(file: PagedFile, printer: QPrinter, plan: PrintPlan) -> tuple[int, int]:
    """Print; returns how many pages were finished, and of how many: fewer where it was stopped.

    What was finished before a stop may lie in the tray. Raises PrintProblem where it takes nothing.
    """
    at = placements(file, printer, plan)
    turns = 1 if printer.supportsMultipleCopies() else plan.copies
    order = [page for _ in range(turns) for page in plan.pages]
    painter = QPainter()
    if not painter.begin(printer):
        raise PrintProblem(text("print.refused", printer=plan.printer_text))
    painter.setRenderHint(QPainter.RenderHint.LosslessImageRendering)
    done = 0
    try:
        for page in progress.each(order, "page"):
            if done and not printer.newPage():
                raise PrintProblem(text("print.stopped", page=page + 1, printer=plan.printer_text))
            print_page(file, page, painter, at[page], plan)
            done += 1
    except progress.Stopped:
        printer.abort()
    finally:
        painter.end()
    return done, len(order)


def print_page(file: PagedFile, page: int, painter: QPainter, at: Placement, plan: PrintPlan) -> None:
    """One page, band by band, dot for dot as the printer has them; it can be stopped between two bands."""
    device_dpi = painter.device().logicalDpiX()
    dpi = device_dpi * at.factor
    wide, high = file.size_px(page, dpi)
    rows = max(16, BAND_BYTES // (wide * (1 if plan.ink == "grey" else 4)))
    left, top = round(at.left * device_dpi / _POINTS), round(at.top * device_dpi / _POINTS)
    for start in range(0, high, rows):
        progress.go_on()
        band = image_of(file.band(page, dpi, start, rows, grey=plan.ink == "grey"))
        painter.drawImage(QPointF(left, top + start), band)
