from __future__ import annotations

import pytest
from PySide6.QtCore import Qt

from app.jobstore.archive import Archive
from app.record.canonical import digest
from app.ui.dialogs.frame import open_dialog
from tests.app.jobstore.archive.conftest import first
from tests.app.ui.archive.conftest import ALT, found


def opened(hand, number="1042"):
    page = found(hand, number_text=number)
    page.open_record()
    filed = hand.window.page("filed")
    hand.wait(lambda: filed.opened is not None and filed.outcome.words)
    return filed


def over_the_years(hand, monkeypatch, number="A-2"):
    # Rows that were never signed have no papers, and so no certificate.
    monkeypatch.setattr("app.desk.archive.over_years._factory", lambda *_: iter(()))
    page = found(hand, number_text=number)
    hit = page.hit_in_hand()
    years = hand.window.page("years")
    years.show_core(hit.filed, hit.cores[0])
    hand.window.show_page("years")
    hand.wait(lambda: years.seen is not None)
    return years


@pytest.mark.parametrize("place", ["sqlite", "postgresql"], indirect=True)
def test_an_opened_record_says_how_it_stands_and_how_long_it_is_kept(hand):
    page = opened(hand)
    assert page.outcome.words == "genuine"
    assert "Filed in place 1" in page.standing.text()
    assert "tested: A. Tester, 2031-05-04" in page.standing.text()
    assert page.keeping.text() == (
        "Kept: life of the unit and 6 years, never under 24. Until 2055-05-06 at least."
    )
    assert page.results.rowCount() > 5
    assert not page.foot.buttons["delete"].isEnabled()


def test_the_signed_sheet_is_shown_as_it_was_signed_and_escape_comes_back(hand):
    opened(hand)
    hand.press(Qt.Key.Key_P, ALT)
    preview = hand.window.page("preview")
    hand.wait(lambda: preview.behind.file is not None)
    assert preview.sheet.data == first().sheet
    hand.press(Qt.Key.Key_Escape)
    assert hand.window.page_id == "filed"
    hand.press(Qt.Key.Key_Escape)
    assert hand.window.page_id == "archive"


def test_a_record_is_held_by_name_and_let_go(hand, place):
    page = opened(hand)
    hand.press(Qt.Key.Key_H, ALT)
    open_dialog().main.click()
    assert open_dialog().answers["reason"].reason
    hand.enter("claim 7", "K. Archivist")
    hand.wait(lambda: open_dialog() is None)
    hand.wait(lambda: "Held by K. Archivist: claim 7." in page.keeping.text())
    assert page.foot.buttons["end_hold"].isEnabled()
    page.foot.buttons["end_hold"].click()
    dialog = open_dialog()
    dialog.answers["person"].line.setText("K. Archivist")
    dialog.main.click()
    hand.wait(lambda: "Held by" not in page.keeping.text())
    archive = Archive.open(place)
    assert archive.holds() == []
    archive.close()


def test_keeping_can_only_become_longer_and_a_refusal_stays_in_the_dialog(hand):
    page = opened(hand)
    hand.press(Qt.Key.Key_K, ALT)
    dialog = open_dialog()
    dialog.answers["person"].line.setText("K. Archivist")
    dialog.answers["until"].line.setText("2040-01-01")
    dialog.main.click()
    hand.wait(lambda: dialog.trouble.isVisible())
    assert "until 2055-05-06 at least" in dialog.trouble.text()
    dialog.answers["until"].line.setText("2090-01-01")
    dialog.main.click()
    hand.wait(lambda: "Until 2090-01-01 at least." in page.keeping.text())
    assert "Chosen by K. Archivist" in page.keeping.text()


def test_what_may_be_deleted_is_deleted_after_words_and_a_name(hand, place, monkeypatch):
    from datetime import date

    page = opened(hand)
    monkeypatch.setattr(page, "_today", lambda: date(2060, 1, 1))
    monkeypatch.setattr("app.jobstore.archive.keeping.demand_deletable", lambda *_args, **_named: None)
    page.look()
    hand.wait(lambda: page.foot.buttons["delete"].isEnabled())
    hand.press(Qt.Key.Key_D, ALT)
    hand.enter("scrapped", "K. Archivist")
    hand.wait(lambda: hand.window.page_id == "archive")
    archive = Archive.open(place)
    (mark,) = archive.tombstones()
    archive.close()
    assert (mark.record_digest, mark.person_text) == (digest(first().record), "K. Archivist")


def test_who_may_only_read_is_told_so_on_the_buttons(hand, monkeypatch):
    monkeypatch.setattr("app.jobstore.archive.roles.os.access", lambda *_: False)
    page = opened(hand)
    for name in ("hold", "keep", "end_hold", "delete"):
        assert not page.foot.buttons[name].isEnabled()
    assert page.foot.buttons["hold"].accessibleDescription() == "only reading"
    assert page.foot.buttons["sheet"].isEnabled()


def test_a_record_that_is_gone_meanwhile_is_said_on_the_page(hand):
    page = found(hand, number_text="1042")
    filed = hand.window.page("filed")
    filed.show_record("0" * 64, "1042")
    hand.window.show_page("filed")
    hand.wait(lambda: filed.notices.isVisible())
    assert "it may have been deleted" in filed.notices.text()
    assert not filed.foot.buttons["years"].isEnabled()
    assert page.model.rowCount() == 1


def test_each_step_over_the_years_is_judged_in_the_table_and_spoken_for_the_chart(hand, monkeypatch):
    page = over_the_years(hand, monkeypatch)
    names = [page.groups.line(row)[0] for row in range(page.groups.rowCount())]
    row = next(n for n, name in enumerate(names) if name.startswith("winding resistance at 75"))
    page.group_table.setCurrentIndex(page.groups.index(row, 0))
    answers = [page.years.words(page.years.line(n), "answer") for n in range(page.years.rowCount())]
    assert answers[0] == "first value"
    assert answers[-1] == "changed"
    assert "changed" in page.chart.accessibleDescription()
    assert page.chart.content.axis_x.figure(0.0).startswith("20")


def test_the_curves_stand_on_the_other_face_with_the_previous_test(hand, monkeypatch):
    page = over_the_years(hand, monkeypatch)
    hand.press(Qt.Key.Key_C, ALT)
    assert page.face == "curves"
    kinds = [page.besides.words(page.besides.line(n), "kind") for n in range(page.besides.rowCount())]
    assert kinds == ["previous test"]
    assert [curve.kind for curve in page.plot.content.curves] == ["previous", "hand"]
    assert page.beside_words.text().startswith("Previous test: ")
    hand.press(Qt.Key.Key_C, ALT)
    assert page.face == "years"


def test_another_serial_on_the_table_takes_nothing_and_says_why(hand, monkeypatch):
    page = over_the_years(hand, monkeypatch)
    hand.press(Qt.Key.Key_T, ALT)
    hand.wait(lambda: page.notices.isVisible())
    assert "has no core 1 in a transformer with the serial number" in page.notices.text()
    assert hand.job.references.curves == ()
