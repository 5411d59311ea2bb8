"""What a verdict rests on: budget line by line, how sure it is, and the limit of the office."""

from __future__ import annotations

import dataclasses

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from app.desk import Address
from app.ui.dialogs.basis import BasisDialog
from app.ui.texts import text
from app.ui.worksheet.basis import basis_of
from app.ui.worksheet.curves import CurveStore
from app.ui.worksheet.findings_panel import lines_of
from app.ui.worksheet.sheet import sheet
from ctcore.errors import BadInput
from ctcore.job import Instrument

RULE = "resistance.limit"
QUANTITY = "r_winding_75degc_ohm"


def _measure(desk, job, core_id: str) -> None:
    """2.4 ohm at 75 degC, by an ohmmeter of 0.2 % and a thermometer of 1 K."""
    for name, more in (
        ("ohmmeter", {"spec_reading_percent": 0.2}),
        ("thermometer", {"spec_floor": 1.0, "spec_floor_unit": "degC"}),
    ):
        desk.set_instrument(job.job_id, Instrument(instrument_id=name, name_text=name, **more))
    method = (("leads", "four-wire"), ("t_winding_source", "surface probe"))
    desk.key_many(
        job.job_id, [(Address(core_id, "resistance", 1, "method", name), words) for name, words in method]
    )
    degc = Address(core_id, "resistance", 1, "method", "t_winding_degc")
    desk.key(job.job_id, degc, "75", instrument_id="thermometer")
    ohm = Address(core_id, "resistance", 1, "full", "r_measured_ohm")
    desk.key(job.job_id, ohm, "2.400", instrument_id="ohmmeter")


@pytest.fixture
def found(desk, job, cores):
    """The finding of the winding resistance against its plate, and the sheet that it stands on."""
    _measure(desk, job, cores[0])

    def of():
        page = sheet(
            desk.view(job.job_id), cores[0], "resistance", why=desk.why_no_number, curves=CurveStore()
        )
        return page, next(one for one in page.findings if one.rule == RULE)

    return of


def test_the_budget_ends_in_the_uncertainty_of_the_finding(found):
    page, finding = found()
    *lines, whole = basis_of(page, finding).budget
    assert len(lines) >= 2
    assert finding.u_expanded is not None
    assert whole[0] == text("basis.whole")
    shown = f"{finding.u_expanded:.2g}"
    assert shown in whole[3]


def test_the_shares_of_a_budget_are_the_whole(found):
    page, finding = found()
    lines = basis_of(page, finding).budget[:-1]
    shares = [float("".join(sign for sign in line[2] if sign.isdigit())) for line in lines]
    assert sum(shares) == pytest.approx(100.0, abs=0.5 * len(shares))


def test_how_sure_a_verdict_is_stands_with_its_source(found):
    _page, finding = found()
    assert finding.probability_of_conformance is not None
    assert "probability of conformance" in lines_of((finding,))[0].standing


def test_a_limit_of_the_office_judges_and_is_named_with_its_reason(desk, job, found):
    _page, before = found()
    desk.set_limit(
        job.job_id, RULE, before.core, QUANTITY, low_text="", high_text="2.3 ohm", reason_text="tender 12",
        person_text="O. Lind",
    )  # fmt: skip
    _page, after = found()
    assert (before.verdict, after.verdict, after.limit_high) == ("within", "outside", 2.3)
    assert ("O. Lind" in after.text, "tender 12" in after.text) == (True, True)


def test_without_figures_the_limit_of_the_book_holds_again(desk, job, found):
    _page, before = found()
    given = {"low_text": "", "reason_text": "tender 12", "person_text": "O. Lind"}
    desk.set_limit(job.job_id, RULE, before.core, QUANTITY, high_text="2.3", **given)
    desk.set_limit(job.job_id, RULE, before.core, QUANTITY, high_text="", **given)
    assert found()[1] == before
    assert desk.view(job.job_id).job.references.limit_overrides == ()


@pytest.mark.parametrize(
    ("changed", "what"),
    [({"reason_text": " "}, "reason"), ({"person_text": ""}, "name"), ({"high_text": ">2"}, "limit"),
     ({"low_text": "3"}, "limit"), ({"high_text": "two"}, "limit of winding resistance at 75 °C")],
)  # fmt: skip
def test_a_limit_without_reason_name_or_figure_is_refused(desk, job, found, changed, what):
    _page, finding = found()
    given = {"low_text": "", "high_text": "2.3", "reason_text": "tender 12", "person_text": "O. Lind"}
    with pytest.raises(BadInput) as refused:
        desk.set_limit(job.job_id, RULE, finding.core, QUANTITY, **given | changed)
    assert refused.value.quantity == what
    assert desk.view(job.job_id).job.references.limit_overrides == ()


def test_undo_puts_the_limit_of_the_book_back(desk, job, found):
    _page, before = found()
    desk.set_limit(
        job.job_id, RULE, before.core, QUANTITY, low_text="", high_text="2.3", reason_text="tender 12",
        person_text="O. Lind",
    )  # fmt: skip
    desk.undo(job.job_id)
    assert found()[1] == before


def test_a_key_shows_what_the_verdict_in_hand_rests_on(page, desk, acknowledged, cores, press, qtbot, found):
    page.open(desk.view(acknowledged.job_id), cores[0], "resistance")
    page.cursor_in_hand.focus_row(0)
    press(Qt.Key.Key_G, Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier)
    dialog = QApplication.activeModalWidget()
    assert isinstance(dialog, BasisDialog)
    dialog.high.show_text("2.3")
    dialog.reason.show_text("tender 12")
    dialog.confirmed.emit()
    qtbot.waitUntil(lambda: bool(page.view.job.references.limit_overrides))
    held = page.view.job.references.limit_overrides
    assert [(one.rule, one.limit_high, one.person_text) for one in held] == [(RULE, 2.3, "T. Adder")]


def test_a_frozen_job_shows_its_basis_and_takes_no_limit(found, qtbot):
    page, finding = found()
    basis = dataclasses.replace(basis_of(page, finding))
    dialog = BasisDialog(finding, basis, keep=None, person_text="", parent=None)
    qtbot.addWidget(dialog)
    assert dialog.form.fields == []
