"""Winding resistance: leads not subtracted, temperatures nobody read, readings that had not settled."""

from __future__ import annotations

import numpy as np

from ctcore.judgement.cells import Number, Trouble, number, value_of
from ctcore.judgement.limit import shown
from ctcore.notices.notice import Answer, Figure, Notice, NoticeRow
from ctcore.notices.sight import Sight, listed, phase_words
from ctcore.takes import Take

LEADS, NO_TEMPERATURE = "leads_not_subtracted", "temperature_missing"
DOUBTFUL_TEMPERATURE, NOT_SETTLED = "temperature_doubtful", "not_settled"
# Practice: inner and outer turns differ in length by up to a tenth, so that a smaller constant is none; and
# leads bring more than 10 milliohm, joints less; common practice, no source.
CONSTANT_SHARE = 0.15
LEAST_LEAD_OHM = 0.01
# Practice: temperatures that stand for "nobody looked"; common practice, no source.
DEFAULTS_DEGC = (0.0, 75.0)
WEATHER_K = 15.0
PERCENT_PER_K = 0.39
# Practice: a reading stands still for ten seconds before it is taken; common practice, no source.
SETTLED_S = 10.0
_TESTS = ("resistance", "insulation")


def leads_not_subtracted(sight: Sight) -> Answer:
    """The same ohms too many on every tap: resistance against turns does not go through nothing."""
    take = sight.scene.of_record("resistance")
    if take is None:
        return sight.not_judged(LEADS, "No resistance test yet.")
    pairs = [
        (tap.ns_over_np_ratio, found.r_winding_ohm)
        for tap in sight.core.taps
        if (found := sight.winding(tap)) is not None and found.r_winding_ohm is not None
    ]
    if len({turns for turns, _ in pairs}) < 2:
        return sight.not_judged(LEADS, "Two taps of unlike turns are needed, and one has a resistance.")
    turns, ohms = np.asarray(pairs).T
    slope, constant = np.polyfit(turns, ohms, 1)
    # Tried against what the reading scatters: with three taps or more the line has to fit.
    left = float(np.max(np.abs(ohms - (constant + slope * turns)))) if len(pairs) > 2 else 0.0
    if constant < max(LEAST_LEAD_OHM, CONSTANT_SHARE * float(ohms.min()), 2.0 * left) or slope <= 0.0:
        return ()
    arrangement = take.method.cell("leads").value_text
    subtracted = shown("r_lead_ohm", value_of(take.method, "r_lead_ohm") or 0.0)
    noted = {
        "four_wire": "The leads are noted as four-wire.",
        "two_wire": f"{subtracted} of leads are subtracted.",
    }.get(arrangement or "", "How the leads were arranged is not noted.")
    sentence = (
        f"{phase_words(sight)}: {shown('r_winding_ohm', float(constant))} too many on every one of "
        f"{len(pairs)} taps fits the resistances against their turns; at the least tap that is "
        f"{shown('r_spread_percent', 100.0 * float(constant) / float(ohms.min())).lstrip('+')}. {noted} "
        "Are leads left in?"
    )
    figures = (
        Figure("constant on every tap", float(constant), "ohm"),
        Figure("resistance per turn", float(slope), "ohm"),
    )
    return (Notice(LEADS, (sight.core.core_id,), "resistance", "", sentence, figures, take=take.take),)


def _takes(sight: Sight) -> list[Take]:
    return [take for test in _TESTS if (take := sight.scene.of_record(test)) is not None]


def temperature_missing(sight: Sight) -> Answer:
    """A test whose results are carried to a reference temperature, without the temperature of the test."""
    takes = _takes(sight)
    if not takes:
        return sight.not_judged(NO_TEMPERATURE, "Neither resistance nor insulation is tested yet.")
    found = []
    for take in takes:
        if take.rows and not isinstance(number(take.method, "t_winding_degc"), Number):
            what = "resistance" if take.procedure_id == "resistance" else "insulation resistance"
            sentence = (
                f"{phase_words(sight)}: the {what} has no winding temperature. 10 K are "
                f"{10 * PERCENT_PER_K:.1f} % of a resistance and a factor of 2 of an insulation resistance. "
                "What was it?"
            )
            row = (sight.core.core_id,)
            found.append(Notice(NO_TEMPERATURE, row, take.procedure_id, "method", sentence, take=take.take))
    return tuple(found)


def temperature_doubtful(sight: Sight) -> Answer:
    """A temperature that looks like nobody read it, or far from the weather of the day."""
    known = [
        (take, reading.value)
        for take in _takes(sight)
        if isinstance(reading := number(take.method, "t_winding_degc"), Number)
    ]
    if not known:
        return sight.not_judged(DOUBTFUL_TEMPERATURE, "No winding temperature is recorded.")
    ambient = sight.job.header.ambient_degc
    found = []
    for take, degc in known:
        probed = take.method.cell("t_winding_source").value_text == "surface_probe"
        reason = _why_doubtful(degc, ambient, probed=probed)
        if reason:
            sentence = (
                f"{phase_words(sight)}: winding temperature {shown('t_winding_degc', degc)} {reason} "
                "Was it read on the winding?"
            )
            figures = [Figure("winding temperature", degc, "degC")]
            figures += [] if ambient is None else [Figure("ambient of the job", ambient, "degC")]
            row = (sight.core.core_id,)
            found.append(
                Notice(
                    DOUBTFUL_TEMPERATURE, row, take.procedure_id, "method", sentence, tuple(figures),
                    take=take.take,
                )
            )  # fmt: skip
    return tuple(found)


def _why_doubtful(degc: float, ambient: float | None, *, probed: bool) -> str:
    if ambient is not None and abs(degc - ambient) > WEATHER_K and not probed:
        off = shown("t_winding_degc", abs(degc - ambient))
        return (
            f"is {off} from the ambient of the job, {100 * PERCENT_PER_K * abs(degc - ambient) / 100:.1f} %."
        )
    if degc in DEFAULTS_DEGC and (ambient is None or abs(ambient - degc) > 2.0):
        return "is what an empty field or a corrected value would give."
    return ""


def not_settled(sight: Sight) -> Answer:
    """A resistance that was read before the current stood still."""
    take = sight.scene.of_record("resistance")
    if take is None:
        return sight.not_judged(NOT_SETTLED, "No resistance test yet.")
    times = [(row.row, number(row, "settle_s")) for row in take.rows]
    if all(isinstance(found, Trouble) for _, found in times):
        return sight.not_judged(NOT_SETTLED, "How long the readings stood still is not recorded.")
    short = [
        (row, found.value) for row, found in times if isinstance(found, Number) and found.value < SETTLED_S
    ]
    if not short:
        return ()
    names = [tap.terminals_text for row, _ in short if (tap := sight.core.tap(row)) is not None]
    least = min(seconds for _, seconds in short)
    sentence = (
        f"{phase_words(sight)}: read on {listed(names) if names else 'its terminals'} after "
        f"{shown('settle_s', least)}; {shown('settle_s', SETTLED_S)} at a standstill are usual, and the "
        "inductance of a large core needs more. Did the reading still move?"
    )
    figures = (Figure("shortest time at a standstill", least, "s"),)
    row = (sight.core.core_id,)
    return (Notice(NOT_SETTLED, row, "resistance", short[0][0], sentence, figures, take=take.take),)


RESISTANCE = (
    NoticeRow(notice_id=LEADS, name="leads not subtracted", look=leads_not_subtracted),
    NoticeRow(notice_id=NO_TEMPERATURE, name="temperature missing", look=temperature_missing),
    NoticeRow(notice_id=DOUBTFUL_TEMPERATURE, name="temperature doubtful", look=temperature_doubtful),
    NoticeRow(notice_id=NOT_SETTLED, name="reading not settled", look=not_settled),
)
