"""Winding resistance: values at 75 °C, and findings against plate, sister phases, certificate and turns."""

from __future__ import annotations

from statistics import median
from typing import Final

from ctcore.findings import Finding
from ctcore.job import Core, Tap
from ctcore.judgement.cells import Trouble
from ctcore.judgement.limit import Limit, against_limit, shown
from ctcore.judgement.memory import remembered
from ctcore.judgement.plate import is_whole_winding, rct_limit_ohm, rct_limits_ohm, same_tap, sections_of
from ctcore.judgement.spot import Spot, told, troubled
from ctcore.judgement.winding import Winding, winding_of, winding_of_record
from ctcore.procedure import Derived, Scene
from ctcore.takes import Take

AT_75 = "r_winding_75degc_ohm"
# Practice: sister phases and factory value within 5 %; common practice, no source.
ALIKE_PERCENT = 5.0
# Practice: inner and outer turns differ in length, so resistance follows the turns only loosely; common
# practice, no source.
TURNS_PERCENT = 10.0
# Practice: sections of a winding add up to the whole within 2 %; common practice, no source.
SECTIONS_PERCENT = 2.0
_CUSTOM: Final = "common practice, no source"


@remembered(sisters=("resistance",))
def derive(scene: Scene, take: Take) -> list[Derived]:
    """Resistance less the leads, at 75 °C, and the departure from the sister phases, for each tap."""
    derived = []
    for row in take.rows:
        found = winding_of(scene, scene.core, take, row.row)
        if found.r_winding_ohm is not None:
            derived.append(Derived(row.row, "r_winding_ohm", found.r_winding_ohm, found.u_winding_ohm))
        if found.r_75degc_ohm is not None:
            derived.append(Derived(row.row, AT_75, found.r_75degc_ohm, found.u_75degc_ohm))
        tap = scene.core.tap(row.row)
        departure = None if tap is None else _departure_percent(scene, tap, found)
        if departure is not None:
            derived.append(Derived(row.row, "r_spread_percent", departure))
    return derived


@remembered(own=("resistance",), sisters=("resistance",))
def judge(scene: Scene, take: Take) -> list[Finding]:
    """Findings of every tap of record in this take, in use or with a reading, and of rows that are no tap."""
    core = scene.core
    entered = {row.row for row in take.rows}
    wanted = {core.full_tap.tap_id, core.service_tap_id} if core.taps else set()
    findings = [
        finding
        for tap in core.taps
        if tap.tap_id in entered | wanted and scene.of_row("resistance", tap.tap_id) is take
        for finding in _judge_tap(Spot(scene, take, tap.tap_id), tap)
    ]
    strangers = [
        row.row
        for row in take.rows
        if core.tap(row.row) is None and scene.of_row("resistance", row.row) is take
    ]
    sections = _sections(Spot(scene, take, core.full_tap.tap_id)) if core.taps else []
    return (
        findings
        + sections
        + [
            told(Spot(scene, take, row), AT_75, "refer", "The plate has no such tap.", rule="resistance.tap")
            for row in strangers
        ]
    )


def _judge_tap(spot: Spot, tap: Tap) -> list[Finding]:
    found = winding_of(spot.scene, spot.scene.core, spot.take, tap.tap_id)
    trouble = found.trouble or found.trouble_75degc
    if trouble is not None or found.r_75degc_ohm is None:
        raw = "" if found.r_winding_ohm is None else f" Read {shown('r_winding_ohm', found.r_winding_ohm)}."
        reason = trouble or Trouble("not tested", "No value at 75 °C.")
        return [troubled(spot, AT_75, Trouble(reason.verdict, reason.text + raw), rule="resistance.reading")]
    checks = (
        _against_plate(spot, tap, found),
        _against_sisters(spot, tap, found),
        *_against_references(spot, tap, found),
        _against_turns(spot, tap, found),
    )
    findings = [finding for finding in checks if finding is not None]
    return findings or [_nothing_to_compare(spot, found)]


def _against_plate(spot: Spot, tap: Tap, found: Winding) -> Finding | None:
    limit = rct_limit_ohm(spot.scene.core)
    core = spot.scene.core
    if limit is None or found.r_75degc_ohm is None or tap.tap_id != core.full_tap.tap_id:
        return None
    return against_limit(
        spot,
        AT_75,
        found.r_75degc_ohm,
        Limit(
            "resistance.limit",
            None,
            limit,
            "upper limit at 75 °C on the plate; IEC 61869-2:2012, 7.3.201",
            "plate",
        ),
        u_expanded=found.u_75degc_ohm,
        doubts=(*found.doubts, *_two_limits(core)),
    )


def _two_limits(core: Core) -> tuple[str, ...]:
    """That the plate and its class text state unlike limits: which of them holds is not for the program."""
    stated = rct_limits_ohm(core)
    if len(stated) < 2:
        return ()
    return (f"The plate states {' and '.join(shown(AT_75, ohm) for ohm in stated)} as the limit.",)


def _sister_values(scene: Scene, tap: Tap) -> list[float]:
    values = []
    for _, core in scene.sisters():
        twin = same_tap(core, tap)
        record = None if twin is None else winding_of_record(scene, core, twin)
        if record is not None and record[0].r_75degc_ohm is not None:
            values.append(record[0].r_75degc_ohm)
    return values


def _departure_percent(scene: Scene, tap: Tap, found: Winding) -> float | None:
    """Departure from the sister phases in percent: from the middle of all with two sisters or more, from the
    other one where there is only one; None without a value or a sister."""
    own = found.r_75degc_ohm
    others = _sister_values(scene, tap)
    if own is None or not others:
        return None
    middle = others[0] if len(others) == 1 else median([own, *others])
    return 100.0 * (own / middle - 1.0)


def _against_sisters(spot: Spot, tap: Tap, found: Winding) -> Finding | None:
    departure = _departure_percent(spot.scene, tap, found)
    if departure is None:
        return None
    limit = Limit("resistance.sisters", -ALIKE_PERCENT, ALIKE_PERCENT, _CUSTOM, _CUSTOM)
    return _comparison(spot, "r_spread_percent", departure, limit, found)


def _against_references(spot: Spot, tap: Tap, found: Winding) -> list[Finding]:
    findings = []
    for entry in spot.scene.job.references.values:
        if (entry.core_id, entry.quantity_id) != (spot.scene.core.core_id, AT_75) or entry.row != tap.tap_id:
            continue
        if entry.value > 0.0 and found.r_75degc_ohm is not None:
            departure = 100.0 * (found.r_75degc_ohm / entry.value - 1.0)
            source = f"{_CUSTOM}; compared with {entry.source_text}"
            limit = Limit(f"resistance.{entry.kind}", -ALIKE_PERCENT, ALIKE_PERCENT, source, _CUSTOM)
            findings.append(_comparison(spot, "r_departure_percent", departure, limit, found))
    return findings


def _against_turns(spot: Spot, tap: Tap, found: Winding) -> Finding | None:
    """A lower tap against the whole winding: resistance per turn, and leads that nobody subtracted."""
    core = spot.scene.core
    if is_whole_winding(core, tap) or found.r_75degc_ohm is None:
        return None
    record = winding_of_record(spot.scene, core, core.full_tap)
    whole = record[0] if record is not None else Winding()
    if whole.r_75degc_ohm is None:
        return None
    n_part, n_full = tap.ns_over_np_ratio, core.full_tap.ns_over_np_ratio
    departure = 100.0 * (found.r_75degc_ohm / n_part / (whole.r_75degc_ohm / n_full) - 1.0)
    constant = found.r_75degc_ohm - n_part * (whole.r_75degc_ohm - found.r_75degc_ohm) / (n_full - n_part)
    note = ""
    if departure > TURNS_PERCENT and constant > 0.0:
        note = f"{shown(AT_75, constant)} too much on both taps would fit: are leads left in?"
    limit = Limit("resistance.turns", -TURNS_PERCENT, TURNS_PERCENT, _CUSTOM, _CUSTOM)
    return _comparison(spot, "r_per_turn_departure_percent", departure, limit, found, note=note)


def _sections(spot: Spot) -> list[Finding]:
    """The sections of a tapped winding against the whole: a lead left in stands in every section."""
    core, scene = spot.scene.core, spot.scene
    if scene.of_row("resistance", core.full_tap.tap_id) is not spot.take:
        return []
    parts = sections_of(core)
    values = [winding_of_record(scene, core, tap) for tap in (*parts, core.full_tap)]
    known = [record[0].r_75degc_ohm for record in values if record is not None]
    ohms = [ohm for ohm in known if ohm is not None]
    if len(parts) < 2 or len(ohms) < len(parts) + 1:
        return []
    whole, added = ohms[-1], sum(ohms[:-1])
    departure = 100.0 * (added / whole - 1.0)
    note = f"{shown(AT_75, added)} in {len(parts)} sections."
    if departure > SECTIONS_PERCENT:
        lead = (added - whole) / (len(parts) - 1)
        note += f" {shown(AT_75, lead)} too much on every reading would fit: are leads left in?"
    limit = Limit("resistance.sections", -SECTIONS_PERCENT, SECTIONS_PERCENT, _CUSTOM, _CUSTOM)
    doubts = dict.fromkeys(words for record in values if record is not None for words in record[0].doubts)
    quantity_id = "r_sections_departure_percent"
    return [
        against_limit(
            spot, quantity_id, departure, limit, doubts=doubts, beyond="refer", note=note, guarded=False
        )
    ]


def _comparison(
    spot: Spot, quantity_id: str, departure: float, limit: Limit, found: Winding, *, note: str = ""
) -> Finding:
    return against_limit(
        spot,
        quantity_id,
        departure,
        limit,
        doubts=found.doubts,
        beyond="refer",
        note=note,
        guarded=False,
    )


def _nothing_to_compare(spot: Spot, found: Winding) -> Finding:
    value = found.r_75degc_ohm
    text = "Nothing to compare with yet: no limit on the plate, no sister phase, no certificate."
    if value is not None:
        text = f"{shown(AT_75, value)} at 75 °C. {text}"
    return told(
        spot, AT_75, "refer", text, rule="resistance.alone", value=value, u_expanded=found.u_75degc_ohm
    )
