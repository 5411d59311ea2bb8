"""Beside the line in hand: curves of the phases, of the works and of earlier tests, and the archive."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

import samples
from app.desk import Desk
from app.desk.archive.before import EarlierTest
from app.jobstore import Store
from app.jobstore.archive import Archive, KeptCurve
from app.record.revision import from_bytes
from app.settings import Settings
from app.ui.review.curves import content_of, earlier_words, take_of
from app.ui.review.lines import Wording, every_line
from app.ui.worksheet.curves import CurveStore
from ctcore.job import ReferenceCurve, ReferencePoint, places
from tests.app.jobstore.archive.test_history import on_day
from tests.app.jobstore.archive.test_searching import put

KEPT = KeptCurve(
    leaf_no=1, record_digest="d", number_text="TB-7", tested_on="2021-03-09", core_no=1, phase_text="L1",
    serial_text="B24-0311", terminals_text="1S1-1S3", frequency_hz=50.0, voltage_response="mean",
    current_response="true_rms", demagnetised="yes", voltage_v=np.array([20.0, 100.0, 300.0]),
    current_a=np.array([0.003, 0.01, 0.02]),
)  # fmt: skip
EARLIER = EarlierTest(
    tested_on="2021-03-09",
    number_text="TB-7",
    revision=1,
    curve=KEPT,
    largest_percent=4.2,
    at_voltage_v=100.0,
)


@pytest.fixture(scope="module")
def seen(tmp_path_factory):
    """The view of a bay, with a certificate's curve for its first core, and its lines."""
    folder = tmp_path_factory.mktemp("bay")
    store = Store.open(folder / "store.sqlite")
    desk = Desk(store, Settings.load(folder))
    path = folder / "bay.json"
    path.write_bytes(samples.sample("line_bay").file.read_bytes())
    job = desk.import_job(path).view.job
    core = places(job)[0].core
    curve = ReferenceCurve(
        core_id=core.core_id, tap_id="", kind="certificate", source_text="works certificate 311",
        frequency_hz=50.0, voltage_response="mean", current_response="true_rms",
        points=tuple(ReferencePoint(voltage_v=40.0 * n, current_a=0.003 * n) for n in range(1, 9)),
    )  # fmt: skip
    desk.set_references(job.job_id, dataclasses.replace(job.references, curves=(curve,)))
    view, lines = desk.view(job.job_id), desk.lines(job.job_id)
    store.close()
    return view, every_line(Wording.of(view.job, {}, None), lines)


def line_of(seen, procedure_id):
    return next(one for one in seen[1] if one.procedure_id == procedure_id)


def test_the_curves_of_core_sisters_works_and_archive_are_drawn_together(seen):
    take = take_of(seen[0], line_of(seen, "excitation"))
    content = content_of(seen[0], take, EARLIER, CurveStore())
    assert sorted(one.kind for one in content.curves) == [
        "certificate", "hand", "previous", "sister", "sister",
    ]  # fmt: skip
    assert content.in_hand.phase_text == "L1"
    assert next(one.words for one in content.curves if one.kind == "previous") == "archive 2021-03-09, TB-7"
    assert content.next_voltage_v is None


def test_a_line_of_another_test_has_no_curve(seen):
    assert take_of(seen[0], line_of(seen, "resistance")) is None


def test_how_the_curve_before_compares_is_said_or_why_it_does_not():
    assert earlier_words(None) == "The archive has no earlier test of this core."
    assert earlier_words(EARLIER).endswith(
        "taken alike: the current differs by at most +4.2 % at 100\N{NO-BREAK SPACE}V."
    )
    refused = dataclasses.replace(EARLIER, refusals=("the voltage meters are unlike: mean and peak",))
    assert earlier_words(refused).endswith("not compared: the voltage meters are unlike: mean and peak.")
    assert earlier_words(dataclasses.replace(EARLIER, curve=None)).endswith("revision 1, from the archive.")


@pytest.fixture
def archived(hand, tmp_path):
    """The archive holds a test of the same transformers ten years before."""
    with_store = Store.open(tmp_path / "store.sqlite", read_only=True)
    record = from_bytes(with_store.revisions(with_store.jobs()[0].job_id)[-1].record_bytes)
    with_store.close()
    header = dataclasses.replace(record.job.header, number_text="TB-7")
    before = dataclasses.replace(record, job=dataclasses.replace(record.job, job_id="old", header=header))
    place = str(tmp_path / "archive.sqlite")
    archive = Archive.open(place)
    put(archive, on_day(before, "2016-03-09"), 5)
    archive.close()
    hand.window.settings.change(archive_place_text=place)
    return hand.window.page("review")


def test_the_test_before_of_the_same_core_comes_out_of_the_archive(hand, archived):
    archived._show_line()
    hand.wait(lambda: "2016-03-09, number TB-7" in archived.detail.first_test.text())
    model = archived.detail.model
    last = model.columnCount() - 1
    told = {model.index(row, 0).data(): model.index(row, last).data() for row in range(model.rowCount())}
    assert any(name.startswith("winding resistance at 75") and value != "–" for name, value in told.items())
    assert not archived.detail.table.isColumnHidden(last)


def test_an_archive_that_does_not_answer_is_said_beside_the_line(hand, tmp_path):
    hand.window.settings.change(archive_place_text=str(tmp_path / "nowhere" / "archive.sqlite"))
    page = hand.window.page("review")
    page._show_line()
    hand.wait(lambda: page.detail.first_test.text().startswith("The test before is not known: "))
