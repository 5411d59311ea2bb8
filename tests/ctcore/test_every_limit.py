"""Every limit can be replaced by the office, with reason and name; every decision rule reaches it."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from ctcore.findings import Finding
from ctcore.job import Instrument, LimitOverride, References, ReferenceValue
from ctcore.judgement.office_rules import OFFICE_RULES

AT_75 = {"leads": "four_wire", "t_winding_degc": "75.0", "t_winding_source": "surface_probe"}
AS_ASKED = {
    "frequency_hz": 50, "voltage_response": "mean", "current_response": "true_rms",
    "demagnetised": "yes_no_dc_since", "primary_state": "open", "other_cores": "none", "links": "lifted",
    "further_readings": "peak_remanence",
}  # fmt: skip
VOLTS = np.array(
    [50.0, 100, 150, 200, 250, 300, 320, 340, 360, 370, 380, 390, 400, 420, 440, 460, 480, 500, 520, 540]
)
IEEE = {"C200": 50.0, "K200": 50.0}

# The class whose worksheet holds the limit, by rule.
HELD_BY = {
    "insulation.secondary": "0.5 FS5 10 VA",
    "insulation.primary": "0.5 FS5 10 VA",
    "resistance.limit": "PX Ek 350 V Ie 30 mA Rct 2.5 ohm",
    "resistance.sisters": "0.5 FS5 10 VA",
    "resistance.certificate": "0.5 FS5 10 VA",
    "resistance.previous": "0.5 FS5 10 VA",
    "resistance.turns": "0.5 FS5 10 VA",
    "resistance.sections": "0.5 FS5 10 VA",
    "ratio.turns": "PX Ek 350 V Ie 30 mA Rct 2.5 ohm",
    "ratio.error": "0.5 FS5 10 VA",
    "ratio.phase": "0.5 FS5 10 VA",
    "ratio.rcf": "0.3 B-0.5",
    "ratio.tcf": "0.3 B-0.5",
    "ratio.relay": "C200",
    "excitation.ie_at_ek": "PX Ek 350 V Ie 30 mA Rct 2.5 ohm",
    "excitation.step": "PX Ek 350 V Ie 30 mA Rct 2.5 ohm",
    "excitation.knee": "PX Ek 350 V Ie 30 mA Rct 2.5 ohm",
    "excitation.composite": "5PR20 15 VA",
    "excitation.remanence": "5PR20 15 VA",
    "excitation.security": "0.5 FS5 10 VA",
    "excitation.peak": "TPY Kssc 5 Ktd 4 Ts 0.5 s Rb 10 ohm",
    "excitation.relay": "C200",
    "excitation.knee_k": "K200",
    "excitation.knee_x": "X Ek 350 V Ie 30 mA Rct 2.5 ohm",
    "excitation.taps": "0.5 FS5 10 VA",
    "excitation.sisters": "0.5 FS5 10 VA",
}
# Comparisons without an uncertainty of their own: judged simply whatever the rule of the job.
COMPARED = {
    "resistance.sisters", "resistance.certificate", "resistance.previous", "resistance.turns",
    "resistance.sections", "excitation.taps", "excitation.sisters",
}  # fmt: skip


def amperes(volts: Any) -> Any:
    return 0.02 * (np.asarray(volts) / 400.0) ** 0.6 + 0.004 * (np.asarray(volts) / 400.0) ** 18


@pytest.fixture
def tested(worksheet: Any, make_tap: Any) -> Any:
    """Makes two phases of a tapped core of a class, tested whole with one meter."""

    def make(class_text: str, references: References, *, stated: bool = True) -> Any:
        i_rated = 5.0 if class_text in IEEE else 1.0
        taps = [
            make_tap("S1-S2", 300 * i_rated, i_rated, turns=300.0),
            make_tap("S2-S3", 300 * i_rated, i_rated, turns=300.0),
            make_tap("S1-S3", 600 * i_rated, i_rated, turns=600.0),
        ]
        sheet = worksheet(class_text, taps, phases=2, low_leakage=True)
        sheet.um_kv = 24.0
        values = tuple(
            ReferenceValue(
                core_id="c1", row="S1-S3", quantity_id="r_winding_75degc_ohm", kind=kind, value=2.0,
                source_text="sheet 7",
            )
            for kind in ("certificate", "previous")
        )  # fmt: skip
        sheet.references = replace(references, values=values)
        if stated:
            sheet.instruments = (
                Instrument(instrument_id="m1", name_text="Meter 1", spec_reading_percent=0.1),
            )
        for core in range(2):
            _take(sheet, core, i_rated)
        return sheet

    return make


def _take(sheet: Any, core: int, i_rated: float) -> None:
    def key(procedure: str, row: str, *, take: int = 1, **fields: Any) -> None:
        for quantity, value in fields.items():
            sheet.add(procedure, row, quantity, value, take=take, core=core, instrument_id="m1")

    key("insulation", "method", t_winding_degc="20.0")
    for row in ("secondary_earth", "primary_secondary", "primary_earth"):
        key("insulation", row, v_test_v="500", insulation_resistance_ohm="5.0E+8")
    key("resistance", "method", **AT_75)
    for row, ohm in (("S1-S2", "1.000"), ("S2-S3", "1.000"), ("S1-S3", "2.000")):
        key("resistance", row, r_measured_ohm=ohm)
    key("ratio", "method", ratio_method="voltage")
    key("ratio", "S1-S3", v_secondary_v="120.00", v_primary_v="0.20000", i_excitation_a="0.0001")
    burden, factor = (12.5, 0.9) if "B-" in sheet.cores[0].class_text else (10.0, 0.8)
    if i_rated == 5.0:
        burden, factor = 50.0, 0.5
    key("ratio", "method", take=2, ratio_method="instrument", burden_in_circuit_va=burden,
        burden_power_factor_ratio=factor)  # fmt: skip
    key("ratio", "S1-S3", take=2, i_percent_rated_percent="100.0", ratio_error_read_percent="-0.100",
        phase_displacement_arcmin="5.0")  # fmt: skip
    for take, tap, scale in ((1, "S1-S3", 1.0), (2, "S1-S2", 0.5)):
        key("excitation", "method", take=take, tap_id=tap, remanence_read_percent="5.00", **AS_ASKED)
        for number, (volts, current) in enumerate(zip(VOLTS, amperes(VOLTS), strict=True), start=1):
            peak = 2.0 * current / scale
            key("excitation", str(number), take=take, v_excitation_v=f"{volts * scale:.4f}",
                i_excitation_a=f"{current / scale:.8f}", i_excitation_peak_a=f"{peak:.8f}")  # fmt: skip


def of_rule(sheet: Any, rule: str) -> Finding:
    """The finding of a rule on the whole winding, where the rule holds on several rows or takes."""
    found = [entry for entry in sheet.findings() if entry.rule == rule and entry.limit is not None]
    whole = [entry for entry in found if entry.row in ("S1-S3", "secondary_earth") or entry.take == 1]
    assert found, (rule, [(entry.rule, entry.text) for entry in sheet.findings()])
    return (whole or found)[0]


@pytest.mark.parametrize(("rule", "class_text"), HELD_BY.items(), ids=HELD_BY)
def test_the_office_may_replace_any_limit_and_its_name_is_printed(
    tested: Any, rule: str, class_text: str
) -> None:
    before = of_rule(tested(class_text, References()), rule)
    assert isinstance(before.value, float)
    low = None if before.limit_low is None else before.value + 1.0
    high = None if before.limit_high is None or low is not None else before.value - 1.0
    entry = LimitOverride(
        rule=rule, core_id="", limit_low=low, limit_high=high, reason_text="letter 12", person_text="B. Ruler"
    )

    after = of_rule(tested(class_text, References(limit_overrides=(entry,))), rule)

    assert (after.limit_low, after.limit_high, after.limit_standing) == (low, high, "office")
    assert "limit set by B. Ruler: letter 12, in place of " in after.source
    assert "B. Ruler" in after.text
    assert after.margin == pytest.approx(-1.0)
    assert after.verdict in ("outside", "refer")


@pytest.mark.parametrize(("rule", "class_text"), HELD_BY.items(), ids=HELD_BY)
def test_a_limit_set_names_the_quantity_that_its_rule_judges(tested: Any, rule: str, class_text: str) -> None:
    assert of_rule(tested(class_text, References()), rule).quantity == OFFICE_RULES[rule]


def test_every_limit_that_can_be_set_is_tried_here() -> None:
    assert OFFICE_RULES.keys() == HELD_BY.keys()


def for_class(class_text: str, high: float, **more: str) -> LimitOverride:
    words = {"core_id": "", "reason_text": "specification 12", "person_text": "B. Ruler", **more}
    return LimitOverride(
        rule="resistance.limit", limit_low=None, limit_high=high, class_text=class_text, **words
    )


@pytest.mark.parametrize(
    ("entries", "limit"),
    [
        ((for_class("PX", 2.4),), 2.4),
        ((for_class("px ek 350v", 2.3), for_class("PX", 2.4)), 2.3),
        ((for_class("PX Ek 350 V", 2.2, core_id="c1"), for_class("PX Ek 350 V Ie 30 mA", 2.4)), 2.2),
        ((for_class("PX", 2.4), for_class("", 2.3)), 2.4),
        ((for_class("PX", 2.4), for_class("PX", 2.3)), 2.3),
        ((for_class("PX Ek 400 V", 2.4), for_class("5P20", 2.3), for_class("PX", 2.2, core_id="c9")), 2.5),
    ],
)
def test_a_limit_for_a_class_holds_for_its_cores_and_the_closest_goes_first(
    tested: Any, entries: tuple[LimitOverride, ...], limit: float
) -> None:
    plate = "PX Ek 350 V Ie 30 mA Rct 2.5 ohm"
    assert of_rule(tested(plate, References(limit_overrides=entries)), "resistance.limit").limit_high == limit


def test_a_limit_for_one_of_several_classes_of_a_core_says_no_within(tested: Any) -> None:
    several = "0.5 FS5 10 VA; PX Ek 350 V Ie 30 mA Rct 2.5 ohm"
    found = of_rule(tested(several, References(limit_overrides=(for_class("PX", 9.0),))), "resistance.limit")
    assert (found.limit_high, found.verdict) == (9.0, "refer")
    assert "this core has several classes" in found.text


@pytest.mark.parametrize("decision_rule", ["simple", "guard_band", "four_way"])
@pytest.mark.parametrize(("rule", "class_text"), HELD_BY.items(), ids=HELD_BY)
def test_a_finding_carries_the_probability_that_its_limit_is_kept(
    tested: Any, rule: str, class_text: str, decision_rule: Any
) -> None:
    found = of_rule(tested(class_text, References(decision_rule=decision_rule)), rule)

    compared = rule in COMPARED
    probability = found.probability_of_conformance
    assert (probability is None) == compared
    assert compared or 0.0 <= float(probability or 0.0) <= 1.0


@pytest.mark.parametrize("decision_rule", ["guard_band", "four_way"])
@pytest.mark.parametrize(("rule", "class_text"), HELD_BY.items(), ids=HELD_BY)
def test_without_a_stated_uncertainty_a_guarded_rule_refers(
    tested: Any, rule: str, class_text: str, decision_rule: Any
) -> None:
    found = of_rule(tested(class_text, References(decision_rule=decision_rule), stated=False), rule)

    assert found.probability_of_conformance is None
    assert (found.verdict == "refer") or rule in COMPARED


def test_a_value_closer_to_its_limit_than_its_uncertainty_is_decided_by_the_rule_of_the_job(
    tested: Any,
) -> None:
    """2.000 ohm against 2.001: within by simple acceptance, not by the others. Source: ILAC-G8:09/2019."""
    words = {"reason_text": "r", "person_text": "p"}
    entry = LimitOverride(rule="resistance.limit", core_id="", limit_low=None, limit_high=2.001, **words)
    plate = "PX Ek 350 V Ie 30 mA Rct 2.5 ohm"
    verdicts = {
        name: of_rule(
            tested(plate, References(decision_rule=name, limit_overrides=(entry,))), "resistance.limit"
        ).verdict
        for name in ("simple", "guard_band", "four_way")
    }

    assert verdicts == {"simple": "within", "guard_band": "outside", "four_way": "refer"}
