"""A whole journey with names, readings, serial numbers and a passphrase: none is in log or reports."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from PySide6.QtCore import Qt

from app.desk import diagnostics
from app.log import Log
from app.ui import start
from tests.app.ui.desk_of_window import OpenHand

CANARIES = (
    "417.3", "38.25", "4173", "Velde", "velde", "Oster", "Tarnbeck", "canary passphrase", "SN-90817", "J-77",
    "Line bay", "S1 line",
)  # fmt: skip


@pytest.fixture
def hand(qtbot, tmp_path, monkeypatch):
    made = OpenHand(qtbot, tmp_path)
    monkeypatch.setattr(sys, "excepthook", start._hook(made.window))
    yield made
    made.close()


def journey(hand) -> None:
    """Key readings, remark, make a key, mistype its passphrase, fail with a reading in words, give out."""
    window = hand.window
    window.go_to(window.place[0], "excitation")
    while window.page("worksheet").page.body.caution.current is not None:
        hand.press(Qt.Key.Key_Return)
    window.page("worksheet").page.cursor_in_hand.focus_row(0)
    hand.enter("417.3", "38.25")
    session = window.session
    session.do(lambda desk, job_id: desk.remark(job_id, window.place[0], "excitation", "SN-90817 of Oster"))
    session.fetch(lambda desk: desk.make_key("canary passphrase"), done=lambda _line: None)
    session.fetch(lambda desk: desk.change_passphrase("canary passphrase x", "y"), done=lambda _none: None)
    session.fetch(lambda _desk: _fail_with("417.3 V keyed by Velde"), done=lambda _none: None)
    hand.rest()
    window.faults.report(KeyError("/opt/velde/J-77 38.25"))
    session.fetch(
        lambda desk: desk.export_job(session.job_id, window.settings.folder / "Velde.json"), done=print
    )
    hand.rest()


def _fail_with(words: str) -> None:
    raise RuntimeError(words)


def found_in(paths: list[Path]) -> list[tuple[str, str]]:
    said = {path.name: path.read_text(encoding="utf-8") for path in paths}
    return [(name, canary) for name, words in said.items() for canary in CANARIES if canary in words]


def test_neither_log_nor_reports_nor_papers_hold_what_was_keyed_or_who_keyed_it(hand, tmp_path, capsys):
    journey(hand)
    papers = diagnostics.papers(hand.window.session.desk)
    hand.close()
    logs, reports = Log.files_in(tmp_path), list((tmp_path / "reports").iterdir())
    written = logs[-1].read_text(encoding="utf-8")
    assert len(reports) == 2
    assert {"verb", "failed", "refused", "fault", "page", "stop"} <= {
        line.split()[1] for line in written.splitlines()
    }
    assert found_in([*logs, *reports]) == []
    assert [one.name for one in papers for canary in CANARIES if canary in one.words] == []
    assert not [canary for canary in CANARIES if canary in capsys.readouterr().err]
    assert str(tmp_path) not in "".join(path.read_text(encoding="utf-8") for path in (*logs, *reports))
