from __future__ import annotations

import dataclasses
from pathlib import Path

import pytest
from PySide6.QtGui import QFontMetrics
from PySide6.QtTest import QAbstractItemModelTester

from app.exchange import jobfile, tsv
from app.ui import theme
from app.ui.models.block import BlockModel
from app.ui.worksheet.findings_panel import WORD_LEFT, WORDS_LEFT, lines_of
from ctcore.findings import VERDICTS
from ctcore.job import Job
from ctcore.judge import judge

ROOT = Path(__file__).resolve().parents[4]


@pytest.fixture
def tested(qtlog):
    """Watches a model by Qt's own tester; what it finds is read from Qt's messages."""
    testers = []
    yield lambda model: testers.append(
        QAbstractItemModelTester(model, QAbstractItemModelTester.FailureReportingMode.Warning)
    )
    assert [entry.message for entry in qtlog.records if "FAIL" in entry.message] == []


def test_the_rows_model_keeps_qts_rules_while_rows_come_and_columns_change(
    page, desk, acknowledged, cores, type_keys, tested
):
    tested(page.body.table.rows)
    page.open(desk.view(acknowledged.job_id), cores[0], "excitation")
    page.cursor_in_hand.focus_row(0)
    type_keys("20.0\n3.43\n80\n9.1x\n")
    page.open(page.view, cores[0], "insulation")
    assert page.body.table.rows.rowCount() == 4


def test_the_findings_model_keeps_qts_rules_while_findings_change(excitation, type_keys, tested):
    tested(excitation.body.findings.findings)
    type_keys("20.0\n3.43\n80\n9.12\n160\n14.4\n")
    assert excitation.body.findings.findings.rowCount() > 0


def test_the_preview_model_keeps_qts_rules(tested):
    seen = tsv.preview("20\t3.4\n40\tx\n", ["v_excitation_v", "i_excitation_a"], rows=["1", "2"])
    model = BlockModel()
    tested(model)
    for block in (seen, tsv.Preview(), seen):
        model.put(block)
    assert model.index(1, 2).data().startswith("x  ! ")


def test_a_cell_says_its_column_row_and_value_to_a_screen_reader(excitation, type_keys):
    from PySide6.QtCore import Qt

    type_keys("20.0\n3.43\n")
    index = excitation.body.table.rows.index(0, 1)
    assert index.data(Qt.ItemDataRole.AccessibleTextRole) == "Volts, V, row 1: 20.0"


@pytest.mark.parametrize("name", ["line_bay", "faulty_bay", "ring_bus_multi_ratio"])
def test_a_limit_from_memory_asks_to_be_checked_whatever_the_verdict(name):
    job = jobfile.load(ROOT / "samples" / f"{name}.json")
    found = [*judge(job), *judge(_without_temperatures(job))]
    limits = [entry for entry in found if entry.source and entry.limit_standing == "from memory"]
    silent = [
        line
        for line in lines_of(tuple(limits))
        if "check against the standard" not in f"{line.words} {line.standing}"
    ]
    assert (len(limits) > 0, silent) == (True, [])


def _without_temperatures(job: Job) -> Job:
    kept = tuple(entry for entry in job.readings if entry.quantity_id != "t_winding_degc")
    return dataclasses.replace(job, readings=kept)


def test_the_longest_verdict_leaves_a_gap_before_its_words(qapp):
    wide = max(QFontMetrics(theme.font("value")).horizontalAdvance(verdict) for verdict in VERDICTS)
    assert WORDS_LEFT - (WORD_LEFT + wide) >= 8
