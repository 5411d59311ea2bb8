from __future__ import annotations

import threading

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QImage, QPainter
from PySide6.QtPrintSupport import QPrinterInfo

from app import progress
from app.jobstore import Store
from app.progress import Work, under
from app.report.page_pictures import PagedFile
from app.ui.dialogs.frame import open_dialog
from app.ui.preview import printing
from app.ui.preview.fitting import MM_PER_POINT, Placement, Room, place
from app.ui.preview.print_dialog import NoPrinterDialog, PrintDialog
from app.ui.preview.printing import PrintPlan, PrintProblem, file_printer, print_page, print_pages
from app.ui.preview.ranges import BadRange, pages_of, words_of
from app.ui.shell.session import STORE_NAME
from tests.app.report.test_page_pictures import grey_of, paper

# ISO 216 and ANSI/ASME Y14.1, from memory: 210 x 297 mm and 8.5 x 11 in.
A4, LETTER = (595.3, 841.9), (612.0, 792.0)


class Tray(QPrinterInfo):
    """A printer that no computer has."""

    def printerName(self) -> str:  # noqa: N802 - Qt's own name
        return "Office 2"

    def description(self) -> str:
        return "Office, second floor"


@pytest.fixture
def coarse(monkeypatch):
    """Paper at 150 dots to the inch, so that a test is short."""
    monkeypatch.setattr(printing, "DPI", {"grey": 150, "colour": 150})


@pytest.fixture
def source():
    with PagedFile(paper("one", "two", "three")) as file:
        yield file


def printed(source, plan, path):
    """Print into a file, and open it."""
    done, _ = print_pages(source, file_printer(path, plan), plan)
    return done, PagedFile(path.read_bytes())


def apart(one, other) -> float:
    high, wide = (min(a, b) for a, b in zip(one.shape, other.shape, strict=True))
    return float(np.abs(one[:high, :wide].astype(float) - other[:high, :wide]).mean())


def blurred(file, page):
    """A page in squares of an eighth of an inch: the paper of Qt is a hair larger than that of the sheet."""
    shown = grey_of(file, page, 150.0).astype(float)
    high, wide = (size // 19 * 19 for size in shown.shape)
    return shown[:high, :wide].reshape(high // 19, 19, wide // 19, 19).mean(axis=(1, 3))


@pytest.mark.parametrize("ink", ["grey", "colour"])
def test_a_print_at_actual_size_is_the_page_dot_for_dot(source, coarse, tmp_path, qapp, ink):
    plan = PrintPlan(printer_text="file", pages=(0, 2), scale="actual", ink=ink)
    done, out = printed(source, plan, tmp_path / "out.pdf")
    assert (done, out.page_count) == (2, 2)
    assert apart(grey_of(source, 0, 150.0), grey_of(out, 0, 150.0)) < 0.5
    assert apart(grey_of(source, 2, 150.0), grey_of(out, 1, 150.0)) < 0.5
    assert apart(grey_of(source, 0, 150.0), grey_of(out, 1, 150.0)) > 2.0
    out.close()


@pytest.mark.parametrize("band_bytes", [100_000, 48_000_000])
def test_bands_leave_no_seam(source, qapp, monkeypatch, band_bytes):
    monkeypatch.setattr(printing, "BAND_BYTES", band_bytes)
    whole = grey_of(source, 1, 150.0)
    sheet = QImage(whole.shape[1], whole.shape[0], QImage.Format.Format_Grayscale8)
    sheet.setDotsPerMeterX(round(150 / 0.0254))
    painter = QPainter(sheet)
    plan = PrintPlan(printer_text="file", pages=(1,))
    print_page(source, 1, painter, Placement(0.0, 0.0, 1.0), plan)
    painter.end()
    rows = np.frombuffer(sheet.constBits(), np.uint8).reshape(sheet.height(), sheet.bytesPerLine())
    assert np.array_equal(rows[:, : sheet.width()], whole)


def test_a4_on_letter_is_smaller_and_whole(source, coarse, tmp_path, qapp):
    plan = PrintPlan(printer_text="file", pages=(0,), paper="Letter", scale="fit")
    _, out = printed(source, plan, tmp_path / "out.pdf")
    factor = LETTER[1] / A4[1]
    assert out.size_pt(0) == pytest.approx(LETTER, abs=1.0)
    ours = grey_of(out, 0, 150.0)
    theirs = grey_of(source, 0, 150.0 * factor)
    left = round((LETTER[0] - A4[0] * factor) / 2 * 150 / 72)
    assert apart(theirs, ours[:, left:]) < 1.0
    out.close()


def test_copies_follow_each_other_whole(source, coarse, tmp_path, qapp):
    plan = PrintPlan(printer_text="file", pages=(0, 1), copies=2, scale="actual")
    _, out = printed(source, plan, tmp_path / "out.pdf")
    words = [
        apart(grey_of(source, 0, 150.0), grey_of(out, page, 150.0)) < 0.5 for page in range(out.page_count)
    ]
    assert words == [True, False, True, False]
    out.close()


def test_printing_stops_between_pages(source, coarse, tmp_path, qapp, monkeypatch):
    plan = PrintPlan(printer_text="file", pages=(0, 1, 2), scale="actual")
    monkeypatch.setattr(progress, "_TELL_EVERY_S", 0.0)
    work = Work(lambda done, _count, _unit: work.stop() if done == 1 else None)
    with under(work):
        found = print_pages(source, file_printer(tmp_path / "out.pdf", plan), plan)
    assert found == (1, 3)


def test_a_printer_that_takes_nothing_is_told(source, coarse, tmp_path, qapp, capfd):
    plan = PrintPlan(printer_text="Office 2", pages=(0,))
    with pytest.raises(PrintProblem, match=r"Nothing was printed\. Office 2"):
        print_pages(source, file_printer(tmp_path / "none" / "out.pdf", plan), plan)


@pytest.mark.parametrize(
    ("page", "room", "factor"),
    [
        (A4, Room(595.0, 842.0), 1.0),
        (A4, Room(*LETTER), 792.0 / 841.9),
        (LETTER, Room(595.0, 842.0), 595.0 / 612.0),
        # The edges that common office printers leave, 4.2 mm: the bare edge of the sheet is wider.
        (A4, Room(595.0, 842.0, 12.0, 12.0, 12.0, 12.0), 1.0),
        # An edge wider than that of the sheet: what is printed is brought onto what can be printed.
        (A4, Room(595.0, 842.0, 60.0, 60.0, 60.0, 60.0), (595.0 - 120.0) / (A4[0] - 18.0 / MM_PER_POINT)),
    ],
)
def test_a_page_is_made_smaller_only_where_it_would_lose_something(page, room, factor):
    found = place(*page, room, "fit")
    assert found.factor == pytest.approx(factor, abs=0.002)
    assert not found.loses or max(found.lost_mm) < 0.3


def test_at_actual_size_it_is_said_how_much_would_be_lost():
    found = place(*A4, Room(*LETTER, 18.0, 18.0, 18.0, 18.0), "actual")
    assert found.factor == 1.0
    # 279 mm of printed height on 279.4 - 12.7 mm.
    assert found.lost_mm == (0.0, pytest.approx(297.0 - 18.0 - (279.4 - 12.7), abs=0.2))


@pytest.mark.parametrize(
    ("typed", "pages"),
    [
        ("", (0, 1, 2, 3)),
        ("all", (0, 1, 2, 3)),
        ("2", (1,)),
        ("3-4, 1", (0, 2, 3)),
        ("1–2;2 to 3", (0, 1, 2)),
    ],
)
def test_pages_are_typed_as_people_write_them(typed, pages):
    assert pages_of(typed, 4) == pages
    assert pages_of(words_of(pages), 4) == pages


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("5", "no page 5"),
        ("0", "no page 0"),
        ("3-1", "3 comes after 1"),
        ("x", "“x” names no pages"),
        ("1,,2", "names no pages"),
    ],
)
def test_pages_that_are_not_there_are_refused(typed, said):
    with pytest.raises(BadRange, match=said):
        pages_of(typed, 4)


def _open(reader) -> PrintDialog:
    page = reader.page
    dialog = PrintDialog(reader.window, page.sheet, page.behind, [Tray()])
    dialog.open()
    reader.rest()
    return dialog


def test_without_a_printer_the_dialog_says_so_and_writes_a_file(reader, monkeypatch):
    monkeypatch.setattr(printing, "printers", list)
    reader.control(Qt.Key.Key_P)
    dialog = open_dialog()
    assert isinstance(dialog, NoPrinterDialog)
    reader.press(Qt.Key.Key_Return)
    assert open_dialog() is not dialog
    assert open_dialog().windowTitle() == "Sheet as PDF"
    reader.press(Qt.Key.Key_Escape)


def test_a_print_stands_in_the_trail(reader, coarse, tmp_path, monkeypatch):
    path = tmp_path / "printed.pdf"
    monkeypatch.setattr(printing, "printer_for", lambda plan: file_printer(path, plan))
    dialog = _open(reader)
    reader.press(Qt.Key.Key_Return)
    reader.answer_in(dialog.pages, "1-2")
    dialog.confirmed.emit()
    reader.wait(lambda: open_dialog() is None)
    reader.settle()
    assert reader.window.bar.sentence == "2 pages went to Office 2."
    with PagedFile(path.read_bytes()) as out:
        assert out.page_count == 2
        same, other = (apart(blurred(reader.page.behind.file, page), blurred(out, 1)) for page in (1, 0))
        assert 4.0 * same < other
    told = []
    job_id = reader.window.session.job_id
    reader.window.session.fetch(lambda desk: desk.trail(job_id), done=told.extend)
    reader.rest()
    assert told[-1].what_text == "printed"
    count = reader.page.behind.page_count
    assert told[-1].to_text == f"draft: pages 1-2 of {count}, 1 copies on A4, to Office 2"


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [
        ("pages", "99", "There is no page 99."),
        ("copies", "0", "Type how many copies: 1 to 99."),
    ],
)
def test_what_cannot_be_printed_is_said_at_its_field(reader, coarse, field, typed, said):
    dialog = _open(reader)
    reader.answer_in(getattr(dialog, field), typed)
    dialog.confirmed.emit()
    assert getattr(dialog, field).reason.startswith(said)
    assert not dialog.is_printing
    reader.press(Qt.Key.Key_Escape)


def test_a_printer_that_fails_leaves_the_dialog_open(reader, coarse, tmp_path, monkeypatch, capfd):
    monkeypatch.setattr(printing, "printer_for", lambda plan: file_printer(tmp_path / "no" / "x.pdf", plan))
    dialog = _open(reader)
    dialog.confirmed.emit()
    reader.wait(lambda: dialog.trouble.text())
    assert dialog.trouble.text().startswith("Nothing was printed. Office 2 takes no pages now.")
    assert dialog.pages.isVisible()
    reader.press(Qt.Key.Key_Escape)


def test_pages_on_their_way_are_told_below_with_a_stop(reader, coarse, tmp_path, monkeypatch):
    monkeypatch.setattr(printing, "printer_for", lambda plan: file_printer(tmp_path / "x.pdf", plan))
    waiting, gate = _at_a_gate()
    monkeypatch.setattr(printing, "print_page", waiting)
    reader.window.works._timer.setInterval(1)
    dialog = _open(reader)
    dialog.confirmed.emit()
    line = reader.window.works.line
    reader.wait(lambda: line.isVisible() and not dialog.isVisible())
    count = reader.page.behind.page_count
    assert line.words.text == f"The sheet is printed: page 1 of {count}"
    reader.press(Qt.Key.Key_Period, Qt.KeyboardModifier.ControlModifier)
    gate.set()
    reader.wait(lambda: reader.window.bar.sentence)
    assert reader.window.bar.sentence.startswith(f"Printing was stopped after 1 of {count} pages")


def test_a_window_that_closes_amid_it_leaves_a_note_of_what_was_printed(
    reader, coarse, tmp_path, monkeypatch
):
    monkeypatch.setattr(printing, "printer_for", lambda plan: file_printer(tmp_path / "x.pdf", plan))
    waiting, gate = _at_a_gate()
    monkeypatch.setattr(printing, "print_page", waiting)
    dialog, job_id = _open(reader), reader.window.session.job_id
    dialog.confirmed.emit()
    reader.wait(lambda: reader.window.works._running)
    dialog.hide()
    threading.Timer(0.1, gate.set).start()
    reader.close()
    store = Store.open(reader.folder / STORE_NAME, read_only=True)
    assert store.events(job_id)[-1].act.to["printed_text"].startswith("draft: stopped after 1 pages")
    store.close()


def _at_a_gate():
    """What stands for printing a page: each waits until it is let through."""
    gate = threading.Event()
    return lambda *_page: gate.wait(10), gate


def test_escape_stops_printing(reader, coarse, tmp_path, monkeypatch):
    monkeypatch.setattr(printing, "printer_for", lambda plan: file_printer(tmp_path / "x.pdf", plan))
    dialog = _open(reader)
    dialog.confirmed.emit()
    dialog.reject()
    assert dialog.is_printing
    reader.wait(lambda: open_dialog() is None)
    reader.settle()
    assert "Printing was stopped after" in reader.window.bar.sentence
