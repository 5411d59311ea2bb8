"""Every test of the worksheet takes its first value by keys alone, and it stands in the store."""

from __future__ import annotations

import pytest

from ctcore.procedures import PROCEDURES

# What is typed into a field of each kind; an answer is chosen by its first letters.
TYPED = {"number": "12", "text": "as found", "day": "2031-05-04"}


@pytest.mark.parametrize("procedure", PROCEDURES, ids=lambda one: one.procedure_id)
def test_its_first_value_is_keyed(procedure, page, desk, acknowledged, cores, type_keys):
    page.open(desk.view(acknowledged.job_id), cores[0], procedure.procedure_id)
    page.cursor_in_hand.focus_row(0)
    field = page.sheet.rows[0].fields[0]
    answers = "".join(choice.words for choice in field.choices[:1])
    type_keys(f"{answers or TYPED[field.quantity.kind]}\n")

    kept = [
        one.value_text
        for one in desk.view(acknowledged.job_id).job.readings
        if (one.core_id, one.procedure_id) == (cores[0], procedure.procedure_id)
        and one.quantity_id == field.quantity.quantity_id
    ]
    assert len(kept) == 1
    assert kept[0]
