"""Insulation resistance, raw and at 20 °C, and its findings by the limit set and table of the job."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from ctcore import insulation
from ctcore.decision import decide
from ctcore.errors import BadInput
from ctcore.findings import Finding, Standing, Verdict
from ctcore.job import Reading
from ctcore.judgement.cells import Number, Trouble, number
from ctcore.judgement.limit import Limit, against_limit, overridden, shown, standing_of, standing_words
from ctcore.judgement.memory import remembered
from ctcore.judgement.meter import calibration_doubts, standard_uncertainty
from ctcore.judgement.spot import Spot, told, troubled
from ctcore.procedure import Derived, FixedRow, Scene
from ctcore.standards.proof import CHECK
from ctcore.standards.rows import FROM_MEMORY
from ctcore.takes import Take

RAW = "insulation_resistance_ohm"
AT_20 = "insulation_resistance_20degc_ohm"
ROWS = (
    FixedRow(row="secondary_earth", words="This secondary to earth"),
    FixedRow(row="secondary_secondary", words="This secondary to the other secondaries", required=False),
    FixedRow(row="primary_secondary", words="Primary to secondaries", required=False),
    FixedRow(row="primary_earth", words="Primary to earth", required=False),
)
# Practice: secondary circuits are built for 600 V; common practice, no source.
SECONDARY_NOMINAL_V = 600.0
# Practice: below this a primary is a bare bar or a cable of its own; common practice, no source.
PRIMARY_FROM_KV = 1.2


@dataclass(frozen=True, slots=True)
class _Asked:
    """The limit for one row, and the test voltage that its table asks for, None where it asks for none.

    `doubt` says why a pass by that limit proves nothing; empty where it does.
    """

    limit: Limit
    v_test_v: float | None
    doubt: str = ""


@remembered()
def derive(scene: Scene, take: Take) -> list[Derived]:
    """Every reading carried to 20 °C; a reading over or under range is never carried."""
    derived = []
    for row in take.rows:
        reading = number(row, RAW)
        factor = factor_of(scene, take)
        if (
            isinstance(reading, Number)
            and isinstance(factor, insulation.CorrectionFactor)
            and reading.value >= 0.0
        ):
            u = _u_expanded(scene, take, reading, factor.factor)
            derived.append(
                Derived(row.row, AT_20, reading.value * factor.factor, u, note=_table_words(factor))
            )
    return derived


@remembered(transformer=("insulation",))
def judge(scene: Scene, take: Take) -> list[Finding]:
    """Findings of every row of record in this take; the last take tells what is wanted and missing."""
    findings = []
    for fixed in ROWS:
        spot = Spot(scene, take, fixed.row)
        if scene.of_row("insulation", fixed.row) is not take:
            continue
        if take.row(fixed.row).cells:
            findings.append(judge_row(spot, fixed))
        elif _wanted(scene, fixed.row):
            findings.append(
                told(spot, RAW, "not tested", f"{fixed.words}: no reading.", rule="insulation.reading")
            )
    return findings


def _wanted(scene: Scene, row: str) -> bool:
    """Whether an empty row is missed: the primary once per transformer, other secondaries where some are."""
    if row == "secondary_earth":
        return True
    if row == "secondary_secondary":
        return len(scene.ct.cores) > 1
    first = scene.ct.cores[0].core_id == scene.core.core_id
    return first and (scene.ct.um_kv or 0.0) > PRIMARY_FROM_KV and not _taken_elsewhere(scene, row)


def _taken_elsewhere(scene: Scene, row: str) -> bool:
    takes = [scene.of_row("insulation", row, core.core_id) for core in scene.ct.cores]
    return any(take is not None and take.row(row).cells for take in takes)


def judge_row(spot: Spot, fixed: FixedRow) -> Finding:
    """One reading against the limit of its row."""
    row = spot.take.row(fixed.row)
    reading = number(row, RAW, range_signs=True)
    rule = "insulation.reading"
    if isinstance(reading, Trouble):
        return _named(troubled(spot, RAW, reading, rule=rule), fixed)
    if reading.value < 0.0:
        text = f"{shown(RAW, reading.value)} is no insulation resistance. Read again."
        return _named(told(spot, RAW, "not tested", text, rule=rule), fixed)
    asked = _asked(spot.scene, fixed.row)
    if isinstance(asked, Trouble):
        raw = f"{_raw_words(reading)}. {asked.text}"
        return _named(told(spot, RAW, asked.verdict, raw, value=reading.value, rule=rule), fixed)
    factor = factor_of(spot.scene, spot.take)
    if isinstance(factor, Trouble):
        text = f"{_raw_words(reading)}, not carried to 20 °C. {factor.text}"
        limit = asked.limit
        finding = told(
            spot, RAW, "refer", text, value=reading.value, rule=limit.rule, source=limit.source,
            standing=limit.standing,
        )  # fmt: skip
        return _named(finding, fixed)
    doubts = (*_test_doubts(spot, asked), *calibration_doubts(spot.scene, _read_with(spot, reading)))
    if reading.over_range or reading.reading.under_range:
        return _named(_bound(spot, reading, factor, asked.limit, doubts), fixed)
    finding = against_limit(
        spot,
        AT_20,
        reading.value * factor.factor,
        asked.limit,
        u_expanded=_u_expanded(spot.scene, spot.take, reading, factor.factor),
        doubts=doubts,
        note=f"Read {_raw_words(reading)}; {_table_words(factor)}.",
    )
    return _named(finding, fixed)


def _read_with(spot: Spot, reading: Number) -> tuple[Reading, ...]:
    degc = number(spot.take.method, "t_winding_degc")
    return (reading.reading, degc.reading) if isinstance(degc, Number) else (reading.reading,)


def _named(finding: Finding, fixed: FixedRow) -> Finding:
    return replace(finding, text=f"{fixed.words}: {finding.text}")


def _raw_words(reading: Number) -> str:
    sign = "> " if reading.over_range else "< " if reading.reading.under_range else ""
    return sign + shown(RAW, reading.value)


def _table_words(factor: insulation.CorrectionFactor) -> str:
    between = "" if factor.tabulated else ", between two of its temperatures"
    memory = f" (from memory: {CHECK})" if factor.tag == FROM_MEMORY else ""
    return f"factor {factor.factor:.3g} by {factor.table_name}{between}{memory}"


def factor_of(scene: Scene, take: Take) -> insulation.CorrectionFactor | Trouble:
    """The factor to 20 °C at the temperature of the take, or why there is none."""
    degc = number(take.method, "t_winding_degc")
    if isinstance(degc, Trouble):
        return degc
    try:
        return insulation.factor_to_20degc(degc.value, scene.job.references.insulation_correction)
    except BadInput as refusal:
        return Trouble("refer", f"No factor to 20 °C: {refusal.reason}.")


def _asked(scene: Scene, row: str) -> _Asked | Trouble:
    references = scene.job.references
    primary = row.startswith("primary")
    nominal_v = SECONDARY_NOMINAL_V
    if primary:
        if scene.ct.um_kv is None and references.insulation_limit_set in ("neta_100_1", "kv_plus_1_mohm"):
            return Trouble(
                "refer", "The limit goes by the voltage of the equipment, and the plate states none."
            )
        nominal_v = (scene.ct.um_kv or 0.0) * 1000.0
    try:
        held = insulation.limit(
            references.insulation_limit_set,
            nominal_v=nominal_v or None,
            client_limit_ohm=references.client_insulation_limit_ohm,
        )
        rows = insulation.limit_set(references.insulation_limit_set).rows
    except BadInput as refusal:
        return Trouble("refer", f"No limit: {refusal.quantity}, {refusal.reason}.")
    rule = "insulation.primary" if primary else "insulation.secondary"
    limit = Limit(rule, held.limit_ohm, None, f"{held.set_name}: {held.source}", standing_of(held.tag))
    test_v = next((entry.test_v for entry in rows if entry.nominal_v >= nominal_v), None)
    return _Asked(limit, test_v, _secondaries_only(scene) if primary else "")


def least_ohm(spot: Spot) -> float | None:
    """The limit of a row at 20 °C, the office's own where it set one; None where there is none."""
    asked = _asked(spot.scene, spot.row)
    return None if isinstance(asked, Trouble) else overridden(spot, asked.limit).low


def _secondaries_only(scene: Scene) -> str:
    """The tradition of 1 MOhm is of secondary circuits: for a primary of high voltage it proves nothing."""
    tradition = scene.job.references.insulation_limit_set == "tradition_1_mohm"
    low_voltage = scene.ct.um_kv is not None and scene.ct.um_kv <= PRIMARY_FROM_KV
    if not tradition or low_voltage:
        return ""
    return "The tradition is of secondary circuits; a primary wants a limit of its own."


def _test_doubts(spot: Spot, asked: _Asked) -> tuple[str, ...]:
    # A limit of the office is one of its own, whatever the set would say of this row.
    own = overridden(spot, asked.limit).standing == "office"
    found = [asked.doubt] if asked.doubt and not own else []
    volts = number(spot.take.row(spot.row), "v_test_v")
    if isinstance(volts, Trouble):
        return (*found, volts.text)
    if asked.v_test_v is not None and volts.value < asked.v_test_v:
        used, wanted = shown("v_test_v", volts.value), shown("v_test_v", asked.v_test_v)
        found.append(f"Tested with {used}; the table asks for {wanted}.")
    return tuple(found)


def _bound(
    spot: Spot, reading: Number, factor: insulation.CorrectionFactor, limit: Limit, doubts: tuple[str, ...]
) -> Finding:
    """A reading over or under range: only a bound is known, and it is never shown as a corrected value."""
    held = overridden(spot, limit)
    least = held.low
    if least is None or least <= 0.0:
        text = f"{_raw_words(reading)}. The limit of the office is no lower limit above zero."
        return told(
            spot,
            RAW,
            "refer",
            text,
            value=reading.value,
            rule=limit.rule,
            source=held.source,
            standing="office",
        )
    try:
        result = insulation.judge(
            reading.value,
            factor.factor,
            least,
            over_range=reading.over_range,
            under_range=reading.reading.under_range,
        )
    except BadInput as refusal:
        text = f"{_raw_words(reading)} cannot be judged: {refusal.quantity}, {refusal.reason}."
        return told(
            spot, RAW, "refer", text, value=reading.value, rule=limit.rule, source=held.source,
            standing=held.standing,
        )  # fmt: skip
    verdict: Verdict = (
        "within" if result.verdict == "within" else "outside" if result.verdict == "outside" else "refer"
    )
    words = {
        "within": "the bound alone reaches it",
        "outside": "the bound alone lies below it",
        "refer": "a bound cannot tell; take a wider range",
    }[verdict]
    guarded = _bound_guarded(spot, reading, factor, least)
    reasons = (*doubts, *filter(None, (held.doubt, guarded))) if verdict == "within" else ()
    text = (
        f"{_raw_words(reading)}, at least {shown(AT_20, least)} at 20 °C ({_table_words(factor)}): {words}."
    )
    standing: Standing = held.standing
    finding = told(
        spot,
        RAW,
        "refer" if reasons else verdict,
        " ".join((text, *reasons, standing_words(held))).rstrip(),
        value=reading.value,
        rule=limit.rule,
        source=held.source,
        standing=standing,
    )
    return replace(finding, limit=least, limit_low=least)


def _bound_guarded(spot: Spot, reading: Number, factor: insulation.CorrectionFactor, least: float) -> str:
    """Why the rule of the job does not let the bound pass; empty where it does."""
    u = _u_expanded(spot.scene, spot.take, reading, factor.factor)
    rule = spot.scene.job.references.decision_rule
    if decide(reading.value * factor.factor, least, None, u, rule).verdict == "within":
        return ""
    return "The decision rule of the job asks for more than its uncertainty in hand, and that it is stated."


def _u_expanded(scene: Scene, take: Take, reading: Number, factor: float) -> float | None:
    """Expanded uncertainty of the corrected value; the temperature enters by the halving of 10 K."""
    u_reading = standard_uncertainty(scene, reading.reading, reading.value)
    degc = number(take.method, "t_winding_degc")
    if u_reading is None or isinstance(degc, Trouble):
        return None
    u_degc = standard_uncertainty(scene, degc.reading, degc.value)
    if u_degc is None:
        return None
    return 2.0 * factor * math.hypot(u_reading, reading.value * math.log(2.0) / 10.0 * u_degc)
