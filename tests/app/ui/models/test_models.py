from __future__ import annotations

import pytest
from PySide6.QtCore import QModelIndex, Qt
from PySide6.QtTest import QAbstractItemModelTester

from app.desk import Desk
from app.jobstore import JobLine, Store
from app.settings import Settings
from app.ui.models.found import FoundModel
from app.ui.models.instruments import InstrumentsModel, calibration_words
from app.ui.models.jobs import JobsModel
from app.ui.models.sets import SetsModel, waiting
from app.ui.shell.session import STORE_NAME
from ctcore.job import Instrument
from tests.app.ui.desk_of_window import make_job

FATAL = QAbstractItemModelTester.FailureReportingMode.Warning


def _line(number: str, title: str = "Line bay") -> JobLine:
    return JobLine(
        job_id=number, number_text=number, title_text=title, site_text="Tarnbeck", state="planned",
        worst="not tested", core_count=3, changed_at_utc="2026-11-22T10:00:00.000Z",
    )  # fmt: skip


@pytest.fixture
def view(tmp_path):
    job_id = make_job(tmp_path)
    store = Store.open(tmp_path / STORE_NAME)
    yield Desk(store, Settings.load(tmp_path)).open_job(job_id)
    store.close()


def test_the_list_of_jobs_passes_the_tester_while_it_is_cut_down(qapp, qtmodeltester):
    model = JobsModel()
    tester = QAbstractItemModelTester(model, FATAL)
    model.put([_line("J-1"), _line("J-2", "Transformer bay"), _line("K-3")])
    model.search("bay j")
    assert [model.line(row).number_text for row in range(model.rowCount())] == ["J-1", "J-2"]
    model.search("nothing like it")
    assert model.rowCount() == 0
    model.put([])
    assert tester.model() is model


def test_a_job_is_found_by_its_state(qapp):
    model = JobsModel()
    model.put([_line("J-1")])
    model.search("planned")
    assert model.rowCount() == 1


def test_the_sets_pass_the_tester_and_name_every_place(view, qapp):
    model = SetsModel()
    tester = QAbstractItemModelTester(model, FATAL)
    model.put(view)
    kinds = [[model.cell(model.index(row, column)).kind for column in range(4)] for row in range(2)]
    assert kinds == [["position", "phase", "phase", "phase"], ["core", "place", "place", "place"]]
    assert tester.model() is model


def test_a_cell_of_the_sets_says_all_of_itself_to_a_screen_reader(view, qapp):
    model = SetsModel()
    model.put(view)
    said = model.index(1, 2).data(Qt.ItemDataRole.AccessibleTextRole)
    assert said.startswith("S1 line, L2, core 1 PX: not tested, 0 of")


def test_nothing_waits_where_nothing_was_tested(view):
    assert waiting(view) == []


def test_places_of_a_job_are_found_by_phase(view, qapp):
    model = FoundModel(view)
    tester = QAbstractItemModelTester(model, FATAL)
    model.search("l3 core")
    assert [model.place(row).core_id != "" for row in range(model.rowCount())] == [True]
    assert tester.model() is model


def test_the_list_of_instruments_passes_the_tester(qapp):
    model = InstrumentsModel()
    tester = QAbstractItemModelTester(model, FATAL)
    model.show_lines(
        [Instrument(instrument_id="a", name_text="Ammeter"), Instrument(instrument_id="b", name_text="B")]
    )
    model.show_lines([Instrument(instrument_id="a", name_text="Ammeter 4")])
    assert model.index(0, 0).data() == "Ammeter 4"
    assert tester.model() is model


@pytest.mark.parametrize(
    ("today", "words"),
    [("2026-11-22", "until 2026-11-22"), ("2026-11-23", "ended 2026-11-22")],
)
def test_a_calibration_ends_with_its_last_day(today, words):
    from datetime import date

    instrument = Instrument(instrument_id="a", name_text="Ammeter", due_on="2026-11-22")
    assert calibration_words(instrument, date.fromisoformat(today)) == words


@pytest.mark.parametrize("model", [JobsModel, SetsModel, InstrumentsModel])
def test_an_empty_model_has_no_rows_under_an_item(qapp, model):
    assert model().rowCount(QModelIndex()) == 0
