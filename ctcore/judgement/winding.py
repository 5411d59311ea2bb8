"""Winding resistance of one tap: less the leads, at the temperature of the test and at 75 °C."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

from ctcore import temperature
from ctcore.errors import BadInput
from ctcore.job import Core, Reading, Tap
from ctcore.judgement.cells import Number, Trouble, choice, number
from ctcore.judgement.limit import shown
from ctcore.judgement.memory import Seen
from ctcore.judgement.meter import calibration_doubts, standard_uncertainty
from ctcore.procedure import Scene
from ctcore.takes import Take

REFERENCE_DEGC = 75.0


@dataclass(frozen=True, slots=True)
class Winding:
    """What one row of a resistance test gives.

    `trouble` says why there is no resistance at the temperature of the test, `trouble_75degc` why there is
    none at 75 °C; each is None where the value stands. Uncertainties are expanded (k = 2), None where not
    stated. `doubts` are sentences that forbid a "within" by the value or by what rests on it.
    """

    r_measured_ohm: float | None = None
    r_winding_ohm: float | None = None
    u_winding_ohm: float | None = None
    t_winding_degc: float | None = None
    r_75degc_ohm: float | None = None
    u_75degc_ohm: float | None = None
    trouble: Trouble | None = None
    trouble_75degc: Trouble | None = None
    readings: tuple[Reading, ...] = ()
    doubts: tuple[str, ...] = ()


def winding_of(scene: Scene, core: Core, take: Take, row: str) -> Winding:
    """The winding resistance of one row of one take."""
    # Every tap of every sister asks for this again and again.
    return _winding(Seen(scene, take, (take, core, scene.job.instruments)), core, row)


@lru_cache(maxsize=512)
def _winding(seen: Seen, core: Core, row: str) -> Winding:
    scene, take = seen.scene, seen.take
    seen.let_go()
    measured = number(take.row(row), "r_measured_ohm")
    if isinstance(measured, Trouble):
        return _without(measured)
    if measured.value <= 0.0:
        return _without(
            Trouble(
                "not tested",
                f"{shown('r_measured_ohm', measured.value)} is no winding resistance. Read again.",
            )
        )
    lead = lead_of(take)
    if isinstance(lead, Trouble):
        return _without(lead, measured.value)
    r_lead = lead.value if lead else 0.0
    r_winding = measured.value - r_lead
    if r_lead < 0.0 or r_winding <= 0.0:
        read = shown("r_measured_ohm", measured.value)
        words = f"{shown('r_lead_ohm', r_lead)} of leads leave nothing of the {read} read."
        return _without(Trouble("not tested", words), measured.value)
    readings = (measured.reading, *((lead.reading,) if lead else ()))
    u_winding = _u_of(scene, measured, lead)
    return _at_75degc(scene, core, take, (measured.value, r_winding, u_winding), readings)


def winding_of_record(scene: Scene, core: Core, tap: Tap) -> tuple[Winding, Take] | None:
    """The winding resistance of a tap from its result of record; None where there is no test."""
    take = scene.of_row("resistance", tap.tap_id, core.core_id)
    return None if take is None else (winding_of(scene, core, take, tap.tap_id), take)


def _without(trouble: Trouble, r_measured_ohm: float | None = None) -> Winding:
    return Winding(r_measured_ohm=r_measured_ohm, trouble=trouble, trouble_75degc=trouble)


def lead_of(take: Take) -> Number | Trouble | None:
    """The lead resistance to subtract; None for a four-wire reading."""
    leads = choice(take.method, "leads")
    if isinstance(leads, Trouble):
        return Trouble("refer", leads.text)
    if leads == "four_wire":
        return None
    lead = number(take.method, "r_lead_ohm")
    if isinstance(lead, Trouble) and lead.verdict == "not tested":
        return Trouble("refer", f"Two-wire reading: {lead.text[:1].lower()}{lead.text[1:]}")
    return lead


def _u_of(scene: Scene, measured: Number, lead: Number | None) -> float | None:
    """Standard uncertainty of the winding at test temperature."""
    u_measured = standard_uncertainty(scene, measured.reading, measured.value)
    if u_measured is None:
        return None
    if lead is None:
        return u_measured
    u_lead = standard_uncertainty(scene, lead.reading, lead.value)
    return None if u_lead is None else math.hypot(u_measured, u_lead)


@lru_cache(maxsize=1024)
def _correction(t_degc: float, conductor: str) -> tuple[float, float]:
    """Factor to 75 °C and its relative change per kelvin."""
    factor = float(temperature.correction_factor(t_degc, REFERENCE_DEGC, conductor))
    return factor, temperature.sensitivity_percent_per_k(t_degc, conductor) / 100.0


def correction_to_75degc(t_degc: float, core: Core) -> tuple[float, float] | None:
    """Factor to 75 °C of a core's conductor and its relative change per kelvin; None where there is none."""
    try:
        return _correction(t_degc, core.conductor)
    except BadInput:
        return None


def _at_75degc(
    scene: Scene,
    core: Core,
    take: Take,
    known: tuple[float, float, float | None],
    readings: tuple[Reading, ...],
) -> Winding:
    r_measured, r_winding, u_winding = known
    u_expanded = None if u_winding is None else 2.0 * u_winding
    degc = number(take.method, "t_winding_degc")
    if isinstance(degc, Trouble):
        # Practice: 1 K is 0.39 %; a temperature is never assumed.
        missing = Trouble("refer", f"{degc.text} Without it there is no value at 75 °C.")
        return Winding(
            r_measured, r_winding, u_winding_ohm=u_expanded, trouble_75degc=missing, readings=readings
        )
    try:
        factor, slope_rel = _correction(degc.value, core.conductor)
    except BadInput as refusal:
        wrong = Trouble("refer", f"No correction to 75 °C: {refusal.quantity}, {refusal.reason}.")
        return Winding(
            r_measured, r_winding, u_winding_ohm=u_expanded, trouble_75degc=wrong, readings=readings
        )
    u_degc = standard_uncertainty(scene, degc.reading, degc.value)
    source = choice(take.method, "t_winding_source")
    doubts = (source.text,) if isinstance(source, Trouble) else ()
    u_75degc = None
    if u_winding is not None and u_degc is not None:
        u_75degc = 2.0 * math.hypot(u_winding * factor, r_winding * factor * slope_rel * u_degc)
    return Winding(
        r_measured,
        r_winding,
        u_expanded,
        degc.value,
        r_winding * factor,
        u_75degc,
        readings=(*readings, degc.reading),
        doubts=(*doubts, *calibration_doubts(scene, (*readings, degc.reading))),
    )
