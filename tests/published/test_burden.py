"""Burdens against worked examples.

S. S. Rao, Switchgear Protection and Power Systems, 13th ed., Khanna 2012, ch. 35; answers as printed by the
open textbook companion FOSSEE/Python-Textbook-Companions (commit d34b2ae7).
"""

from __future__ import annotations

import pytest

from ctcore import burden


def test_burden_at_another_current_of_bur_02_agrees() -> None:
    """BUR-02: Rao, Ex. 35.2 p. 660: 8 VA; exact."""
    assert burden.output_at_current_va(2.0, 2.5, 5.0) == pytest.approx(8.0, abs=1e-9)


def test_relay_and_two_leads_of_bur_03_need_fifteen_va() -> None:
    """BUR-03: Rao, Ex. 35.1 p. 659: 15 VA; exact."""
    assert burden.output_with_leads_va(10.0, 2 * 0.1, 5.0) == pytest.approx(15.0, abs=1e-9)
