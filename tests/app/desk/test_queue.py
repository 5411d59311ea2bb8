"""What waits for whom, why a step is held up and where, and what a decision looks at."""

from __future__ import annotations

import dataclasses

import pytest

from app.desk.queue import QueueLine, _ends, in_order
from app.settings import Settings
from ctcore.job import Instrument, ReferenceValue
from tests.app.desk import making
from tests.app.desk.making import Seat


def test_a_job_taken_in_waits_for_who_decides(approver: Seat, waiting: str) -> None:
    (line,) = approver.desk.waiting()

    assert (line.job_id, line.tester_text, line.open_count, line.worst) == (waiting, "T. Adder", 1, "outside")
    assert line.counts["outside"] == 1


def test_nothing_waits_for_who_tested_it(tester: Seat, handed_in: tuple[str, object]) -> None:
    assert tester.desk.waiting() == ()


def test_a_job_frozen_without_a_signature_waits_for_nobody(approver: Seat) -> None:
    job_id = making.complete_job(approver.desk)
    approver.desk.freeze(job_id)

    assert approver.desk.waiting() == ()


def test_a_job_leaves_the_queue_when_it_is_sent_back(approver: Seat, waiting: str) -> None:
    (line,) = approver.desk.exceptions(waiting)
    approver.desk.decide(waiting, line.key, "sent_back", "clean link 7")
    approver.desk.send_back(waiting, making.PASSPHRASE)

    assert approver.desk.waiting() == ()


def test_an_approved_job_waits_for_its_issue(approver: Seat, waiting: str) -> None:
    (line,) = approver.desk.exceptions(waiting)
    approver.desk.decide(waiting, line.key, "concession", "lead known", "until the next outage")
    approver.desk.approve(waiting, making.PASSPHRASE)

    assert [(one.state, one.open_count) for one in approver.desk.waiting()] == [("approved", 0)]


def test_a_reason_leads_to_the_test_where_it_is_mended(tester: Seat) -> None:
    job_id = making.complete_job(tester.desk)
    core = tester.desk.view(job_id).job.positions[0].cts[0].cores[0]
    tester.desk.key(job_id, making.ohms_cell(tester.desk, job_id), "3o.9")

    reason = tester.desk.reasons(job_id, "hand_in")[0]
    assert (reason.core_id, reason.procedure_id) == (core.core_id, "resistance")
    assert "“3o.9” is kept, but it gives no value" in reason.text


def test_a_reason_of_the_job_as_a_whole_leads_nowhere(tester: Seat) -> None:
    job_id = tester.desk.new_job(
        dataclasses.replace(tester.desk.view(making.complete_job(tester.desk)).job.header, number_text="78")
    ).view.job.job_id

    (reason,) = tester.desk.reasons(job_id, "hand_in")
    assert (reason.text, reason.core_id) == ("there are no readings yet", "")


def test_a_line_to_decide_is_shown_beside_plate_and_certificate(tester: Seat) -> None:
    job_id = making.complete_job(tester.desk, ohms="2.90")
    job = tester.desk.view(job_id).job
    core = job.positions[0].cts[0].cores[0]
    known = ReferenceValue(
        core_id=core.core_id, row=core.taps[0].tap_id, quantity_id="r_winding_75degc_ohm",
        kind="certificate", value=2.63, source_text="works certificate",
    )  # fmt: skip
    tester.desk.set_references(job_id, dataclasses.replace(job.references, values=(known,)))
    found = tester.desk.compare(job_id, core.core_id, "resistance")

    assert found is not None
    assert (found.title_text, found.phases, found.here) == (
        "Line side L1 core 1, resistance",
        ("L1",),
        0,
    )
    row = found.drawn
    assert row is not None
    assert (row.values, row.limit_text, row.verdicts) == (("3.527",), "3 at most", ("outside",))
    assert row.certificate_text.startswith("2.63")
    assert row.limit_high == 3.0


def test_a_core_that_is_not_there_has_no_comparison(tester: Seat) -> None:
    job_id = making.complete_job(tester.desk)

    assert tester.desk.compare(job_id, "nobody", "resistance") is None


def line(name: str, verdict: str, hours: float, outage_text: str = "") -> QueueLine:
    return QueueLine(
        job_id=name, number_text=name, title_text="", state="handed_in", tester_text="", here_hours=hours,
        outage_text=outage_text, outage_ends=_ends(outage_text, "2031-05-02T09:00:00Z"), counts={verdict: 1},
        open_count=1,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("outage_text", "ends"),
    [
        ("Sunday 4 May, 16:00", "2031-05-04 16:00"),
        ("4. Mai 16:00", "2031-05-04 16:00"),
        ("04.05.2031 16:00", "2031-05-04 16:00"),
        ("3.5. 6:30", "2031-05-03 06:30"),
        ("2 Jan", "2031-01-02"),
        ("today 16:00", "2031-05-02 16:00"),
        ("morgen 7:00", "2031-05-03 07:00"),
        ("16:00", "2031-05-02 16:00"),
        ("31 April", ""),
        ("bay 4, at 16:00", ""),
        ("when the line is back", ""),
    ],
)
def test_an_outage_without_a_year_ends_near_the_day_of_the_signature(outage_text: str, ends: str) -> None:
    assert line("a", "within", 1.0, outage_text).outage_ends == ends


def test_days_with_and_without_a_year_are_sorted_together() -> None:
    lines = [
        line("none", "outside", 9.0),
        line("words", "outside", 9.0, "when the line is back"),
        line("later", "outside", 9.0, "2031-05-06 08:00"),
        line("sooner", "within", 1.0, "Sunday 4 May, 16:00"),
    ]
    assert [one.job_id for one in in_order(lines, "outage")] == ["sooner", "later", "words", "none"]


WAITING = (
    line("a", "refer", 50.0, "when the line is back"),
    line("b", "outside", 1.0, "4 May 2031, 16:00"),
    line("c", "within", 9.0, "2031-05-04 08:00"),
    line("d", "outside", 2.0),
)


@pytest.mark.parametrize(
    ("order", "names"), [("worst", "dbac"), ("age", "acdb"), ("outage", "cbad")], ids=str
)
def test_what_waits_is_ordered_by_finding_wait_or_outage(order: str, names: str) -> None:
    assert "".join(one.job_id for one in in_order(WAITING, order)) == names


def test_the_order_that_was_chosen_is_remembered(approver: Seat, waiting: str) -> None:
    approver.desk.settings.change(review_order="outage")

    assert Settings.load(approver.folder / "settings").get("review_order") == "outage"
    assert [one.job_id for one in approver.desk.waiting()] == [waiting]


def test_everything_that_is_missing_has_a_place(tester: Seat) -> None:
    job_id = making.complete_job(tester.desk)
    job = tester.desk.view(job_id).job
    ct = job.positions[0].cts[0]
    tester.desk.set_ct(job_id, dataclasses.replace(ct, plate_confirmed=False))
    meter = Instrument(instrument_id="m", name_text="Ohmmeter 2", due_on="2031-05-03")
    tester.desk.set_instrument(job_id, meter)
    tester.desk.strike_cell(job_id, making.ohms_cell(tester.desk, job_id), "unsure")

    found = [(one.page_id, one.procedure_id) for one in tester.desk.missing(job_id)]
    assert ("", "resistance") in found
    assert [page for page, _ in found][-2:] == ["plate", "people"]
    assert [one.text for one in tester.desk.missing(job_id)][-1] == "Ohmmeter 2: calibration ended 2031-05-03"
