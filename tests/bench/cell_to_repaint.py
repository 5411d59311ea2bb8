"""An accepted cell to repainted findings and plot, one curve of those shown being corrected.

Measured from the Enter that accepts a reading to the moment when it is on disk, judged again, and table,
findings and plot are painted: three curves of 20 points in a small job, and twelve of 60 points in a job of
90 cores that all have their curves. The value is the 95th percentile over many cells; the median, the 99th
percentile and the processor's own time stand beside it, since a busy machine stretches the clock.
"""

from __future__ import annotations

import dataclasses
import statistics
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

NAMES: Final = ("cell_to_repaint_3x20", "cell_to_repaint_12x60")
CLASS_TEXT: Final = "PX Ek 250 V Ie 30 mA Rct 3 ohm"
PHASES: Final = ("L1", "L2", "L3")


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """How large the job is, how many points a curve has, and how many curves of references lie beside."""

    name: str
    points_count: int
    positions_count: int
    cores_count: int
    references_count: int
    cells_count: int


CASES: Final = (
    Case(
        name=NAMES[0], points_count=20, positions_count=1, cores_count=1, references_count=0, cells_count=120
    ),
    Case(
        name=NAMES[1], points_count=60, positions_count=10, cores_count=3, references_count=9,
        cells_count=2005,
    ),
)  # fmt: skip


def run(short: bool = False) -> list[dict[str, Any]]:
    """Correct current after current of the first curve and time each."""
    return [_run(case, 60 if short else case.cells_count) for case in CASES]


def _run(case: Case, cells_count: int) -> dict[str, Any]:
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
        job_id, core_id = _job(desk, case)
        page = WorksheetPage(desk, writer)
        page.resize(1366, 716)
        page.open(desk.view(job_id), core_id, "excitation")
        page.show()
        _settle(application, writer)
        times = [_correct(application, writer, page, case, number) for number in range(cells_count)]
        page.hide()
        page.deleteLater()
        _settle(application, writer)
        writer.close()
        store.close()
    wall, cpu = ([1e3 * entry[index] for entry in times[5:]] for index in (0, 1))
    hundredths = statistics.quantiles(wall, n=100)
    return {
        "name": case.name,
        "value": hundredths[94],
        "unit": "ms",
        "reference": None,
        "ratio": None,
        "runs": len(wall),
        "median": statistics.median(wall),
        "p99": hundredths[98],
        "cpu_median": statistics.median(cpu),
        "cpu_p95": statistics.quantiles(cpu, n=100)[94],
    }


def _job(desk: Any, case: Case) -> tuple[str, str]:
    """An invented job whose cores all have their curves, the limits of error of its meters stated."""
    from ctcore.job import Header, Instrument, Tap

    job_id = desk.new_job(Header(number_text="1")).view.job.job_id
    tap = Tap(tap_id="full", terminals_text="1S1-1S2", i_primary_rated_a=600.0, i_secondary_rated_a=1.0)
    for number in range(case.positions_count):
        desk.add_position(
            job_id, f"Bay {number + 1}", phases=PHASES, core_classes=(CLASS_TEXT,) * case.cores_count
        )
        for ct in desk.view(job_id).job.positions[number].cts:
            cores = tuple(dataclasses.replace(core, taps=(tap,)) for core in ct.cores)
            desk.set_ct(job_id, dataclasses.replace(ct, cores=cores))
    for name, response in (("volts", "mean"), ("amperes", "true_rms")):
        desk.set_instrument(
            job_id,
            Instrument(instrument_id=name, name_text=name, response=response, spec_reading_percent=0.3),
        )
    cores_by_set = [
        [core.core_id for core in ct.cores] for p in desk.view(job_id).job.positions for ct in p.cts
    ]
    core_ids = [core_id for found in cores_by_set for core_id in found]
    references = desk.view(job_id).job.references
    curves = tuple(_reference(case, core_ids[0], index) for index in range(case.references_count))
    desk.set_references(job_id, dataclasses.replace(references, curves=curves))
    for caution_id in _cautions():
        desk.acknowledge(job_id, core_ids[0], "excitation", caution_id, "")
    for index, core_id in enumerate(core_ids):
        _key_curve(desk, job_id, core_id, case, 0.97 + 0.01 * (index % 7))
    return job_id, core_ids[0]


def _reference(case: Case, core_id: str, index: int) -> Any:
    from ctcore.job import ReferenceCurve, ReferencePoint

    pairs = [_values(row, 0.95 + 0.012 * index, case) for row in range(1, case.points_count + 1)]
    return ReferenceCurve(
        core_id=core_id,
        tap_id="full",
        kind="certificate" if index % 2 else "previous",
        source_text=f"paper {index + 1}",
        frequency_hz=50.0,
        voltage_response="mean",
        current_response="true_rms",
        points=tuple(ReferencePoint(voltage_v=volts, current_a=amperes) for volts, amperes in pairs),
    )


def _key_curve(desk: Any, job_id: str, core_id: str, case: Case, share: float) -> None:
    from app.desk import Address

    for quantity_id, column, instrument in (
        ("v_excitation_v", 0, "volts"),
        ("i_excitation_a", 1, "amperes"),
    ):
        entries = [
            (Address(core_id, "excitation", 1, str(row), quantity_id), _point(row, share, case)[column])
            for row in range(1, case.points_count + 1)
        ]
        desk.key_many(job_id, entries, instrument_id=instrument)


def _cautions() -> tuple[str, ...]:
    from ctcore.procedures import procedure

    return procedure("excitation").cautions


def _values(row: int, share: float, case: Case) -> tuple[float, float]:
    volts = 320.0 * row / case.points_count
    return volts, 1e-3 * share * (3.4 * (volts / 20.0) ** 0.78 + 12.0 * (volts / 270.0) ** 20)


def _point(row: int, share: float, case: Case) -> tuple[str, str]:
    volts, amperes = _values(row, share, case)
    return f"{volts:.1f}", f"{1e3 * amperes:.4f}"


def _correct(application: Any, writer: Any, page: Any, case: Case, number: int) -> tuple[float, float]:
    """Correct one current by a per mille; seconds from Enter to repainted, by the clock and the processor."""
    from PySide6.QtCore import QEventLoop, Qt
    from PySide6.QtTest import QTest

    row = 2 + number % (case.points_count - 4)
    page.cursor_in_hand.travel.choose_row(str(row))
    page.cursor_in_hand.focus_row(1)
    _settle(application, writer)
    field = application.focusWidget()
    # Another value each time: what stands in a field already is not saved again.
    QTest.keyClicks(field, _point(row, 0.97 + 0.0001 * (1 + number % 97), case)[1])
    # What the program notices by itself it looks for when the keys rest, as they do here.
    page.noticing.look_if_due()
    _settle(application, writer)
    start, cpu = time.perf_counter(), time.process_time()
    QTest.keyClick(field, Qt.Key.Key_Enter)
    while writer.busy:
        # Waiting in Qt leaves the interpreter to the writer's thread, as the window's own loop does.
        application.processEvents(QEventLoop.ProcessEventsFlag.WaitForMoreEvents)
    application.processEvents()
    return time.perf_counter() - start, time.process_time() - cpu


def _settle(application: Any, writer: Any) -> None:
    for _ in range(5):
        application.processEvents()
    while writer.busy:
        application.processEvents()
