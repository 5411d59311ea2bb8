"""An accepted cell to repainted findings and plot: three curves of 20 points, one of them being corrected.

Measured from the Enter that accepts a reading to the moment when it is on disk, judged again, and table,
findings and plot are painted. The value is the 95th percentile over many cells.
"""

from __future__ import annotations

import statistics
import tempfile
import time
from pathlib import Path
from typing import Any, Final

NAMES: Final = ("cell_to_repaint_3x20",)
POINTS_COUNT: Final = 20
CLASS_TEXT: Final = "PX Ek 250 V Ie 30 mA Rct 3 ohm"


def run(short: bool = False) -> list[dict[str, Any]]:
    """Correct current after current of the first curve and time each."""
    from PySide6.QtWidgets import QApplication

    from app.desk import Desk
    from app.jobstore import Store
    from app.settings import Settings
    from app.ui import theme
    from app.ui.worksheet.page import WorksheetPage
    from app.ui.writer import Writer

    application = QApplication.instance() or QApplication([])
    assert isinstance(application, QApplication)
    theme.load_fonts()
    theme.apply(application)
    with tempfile.TemporaryDirectory() as folder:
        store = Store.open(Path(folder) / "jobs.coreleaf")
        settings = Settings.load(Path(folder) / "settings")
        settings.change(person_name_text="M. Osier", organisation_text="Rill and Bank Testing")
        desk, writer = Desk(store, settings), Writer()
        job_id, core_ids = _job(desk)
        page = WorksheetPage(desk, writer)
        page.resize(1366, 716)
        page.open(desk.view(job_id), core_ids[0], "excitation")
        page.show()
        _settle(application, writer)
        times = [_correct(application, writer, page, number) for number in range(40 if short else 120)]
        page.hide()
        page.deleteLater()
        _settle(application, writer)
        writer.close()
        store.close()
    timed = [1e3 * entry for entry in times[5:]]
    return [
        {
            "name": NAMES[0],
            "value": statistics.quantiles(timed, n=20)[-1],
            "unit": "ms",
            "reference": None,
            "ratio": None,
            "runs": len(timed),
        }
    ]


def _job(desk: Any) -> tuple[str, list[str]]:
    """An invented set of three phases, each with a curve of 20 points, its meters' limits of error stated."""
    import dataclasses

    from app.desk import Address
    from ctcore.job import Header, Instrument, Tap

    job_id = desk.new_job(Header(number_text="1")).view.job.job_id
    desk.add_position(job_id, "Line side", core_classes=(CLASS_TEXT,))
    tap = Tap(tap_id="full", terminals_text="1S1-1S2", i_primary_rated_a=600.0, i_secondary_rated_a=1.0)
    for ct in desk.view(job_id).job.positions[0].cts:
        cores = tuple(dataclasses.replace(core, taps=(tap,)) for core in ct.cores)
        desk.set_ct(job_id, dataclasses.replace(ct, cores=cores))
    for name, response in (("volts", "mean"), ("amperes", "true_rms")):
        desk.set_instrument(
            job_id,
            Instrument(instrument_id=name, name_text=name, response=response, spec_reading_percent=0.3),
        )
    core_ids = [core.core_id for ct in desk.view(job_id).job.positions[0].cts for core in ct.cores]
    for share, core_id in zip((1.0, 0.97, 1.04), core_ids, strict=True):
        for procedure_id, caution_ids in _cautions():
            for caution_id in caution_ids:
                desk.acknowledge(job_id, core_id, procedure_id, caution_id, "")
        for quantity_id, column, instrument in (
            ("v_excitation_v", 0, "volts"),
            ("i_excitation_a", 1, "amperes"),
        ):
            entries = [
                (Address(core_id, "excitation", 1, str(row), quantity_id), _point(row, share)[column])
                for row in range(1, POINTS_COUNT + 1)
            ]
            desk.key_many(job_id, entries, instrument_id=instrument)
    return job_id, core_ids


def _cautions() -> list[tuple[str, tuple[str, ...]]]:
    from ctcore.procedures import procedure

    return [("excitation", procedure("excitation").cautions)]


def _point(row: int, share: float) -> tuple[str, str]:
    volts = 16.0 * row
    current_ma = share * (3.4 * (volts / 20.0) ** 0.78 + 12.0 * (volts / 270.0) ** 20)
    return f"{volts:.1f}", f"{current_ma:.3f}"


def _correct(application: Any, writer: Any, page: Any, number: int) -> float:
    """Correct one current by a per mille and return the seconds from Enter to repainted."""
    from PySide6.QtCore import QEventLoop, Qt
    from PySide6.QtTest import QTest

    row = 2 + number % (POINTS_COUNT - 4)
    page.cursor_in_hand.travel.choose_row(str(row))
    page.cursor_in_hand.focus_row(1)
    _settle(application, writer)
    field = application.focusWidget()
    QTest.keyClicks(field, _point(row, 1.0 + 0.001 * (1 + number % 7))[1])
    _settle(application, writer)
    start = time.perf_counter()
    QTest.keyClick(field, Qt.Key.Key_Enter)
    while writer.busy:
        # Waiting in Qt leaves the interpreter to the writer's thread, as the window's own loop does.
        application.processEvents(QEventLoop.ProcessEventsFlag.WaitForMoreEvents)
    application.processEvents()
    return time.perf_counter() - start


def _settle(application: Any, writer: Any) -> None:
    for _ in range(5):
        application.processEvents()
    while writer.busy:
        application.processEvents()
