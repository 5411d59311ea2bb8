"""How an excitation test was made, and what that leaves of a comparison with a class."""

from __future__ import annotations

from itertools import pairwise

from ctcore.curve.readings import FALL_FACTOR
from ctcore.job import Instrument, Tap
from ctcore.judgement.cells import Trouble, choice, number
from ctcore.judgement.excitation_curve import CurveView
from ctcore.judgement.limit import shown
from ctcore.judgement.meter import calibration_doubts, instrument_of
from ctcore.judgement.plate import LOWER_TAP, class_applies
from ctcore.procedure import Scene
from ctcore.quantities import quantity
from ctcore.takes import Take


def doubts(scene: Scene, take: Take, view: CurveView) -> tuple[str, ...]:
    """Sentences that forbid a "within" and leave an "outside" standing."""
    found = [
        _meter(
            take, "voltage_response", "mean", "Volts are to be read by a mean-sensing meter scaled to r.m.s."
        ),
        _meter(take, "current_response", "true_rms", "Current is to be read in true r.m.s."),
        *_unlike_instruments(scene, take, view),
        _demagnetised(take),
        _state(take, "primary_state", ("open", "closed")),
        _state(take, "links", ("lifted", "closed")),
        _state(take, "other_cores", ("shorted", "open", "none")),
        *_falling(view),
    ]
    return (*(sentence for sentence in found if sentence), *calibration_doubts(scene, view.readings))


def indicative(scene: Scene, take: Take, tap: Tap | None) -> tuple[str, ...]:
    """Sentences that forbid both verdicts: the readings are not of this core alone, or not of this class."""
    found = [
        "" if tap is not None else "Which terminals were fed is not stated.",
        LOWER_TAP if tap is not None and not class_applies(scene.core, tap) else "",
    ]
    return (*(sentence for sentence in found if sentence), *not_of_this_core(take))


def not_of_this_core(take: Take) -> tuple[str, ...]:
    """Sentences for readings that are not of this core alone, or of no known frequency."""
    found = [
        _frequency(take),
        _only_when(
            take, "primary_state", "closed", "The primary was closed, which adds current to every core."
        ),
        _only_when(
            take, "links", "closed", "The links were closed, so the burden was in parallel with the winding."
        ),
    ]
    return tuple(sentence for sentence in found if sentence)


def frequency_note(scene: Scene, view: CurveView) -> str:
    """That the volts were carried to rated frequency, where they were; flux goes as V/f."""
    if view.frequency_factor == 1.0:
        return ""
    rated = shown("frequency_hz", scene.job.frequency_rated_hz)
    return f"Volts are scaled by {view.frequency_factor:.4g} to {rated}."


def _meter(take: Take, quantity_id: str, wanted: str, words: str) -> str:
    found = choice(take.method, quantity_id)
    if isinstance(found, Trouble):
        return found.text
    return "" if found == wanted else words


def _demagnetised(take: Take) -> str:
    found = choice(take.method, "demagnetised")
    if isinstance(found, Trouble):
        return found.text
    return "" if found == "yes_no_dc_since" else "The core was not demagnetised before."


def _state(take: Take, quantity_id: str, known: tuple[str, ...]) -> str:
    """Why a state is not known: not recorded, said to be unknown, or a word that is no answer."""
    found = choice(take.method, quantity_id)
    if isinstance(found, Trouble):
        return found.text
    if found in known:
        return ""
    name = quantity(quantity_id).name
    return f"{name[:1].upper()}{name[1:]} is noted as “{found.replace('_', ' ')}”, which does not tell it."


def _unlike_instruments(scene: Scene, take: Take, view: CurveView) -> list[str]:
    """Instruments whose own data speak against the response that was noted for the curve.

    An instrument states one response: where it read both volts and current, either of the two will do.
    """
    noted = {
        name: take.method.cell(f"{kind}_response").value_text
        for name, kind in (("v_excitation_v", "voltage"), ("i_excitation_a", "current"))
    }
    responses: dict[Instrument, set[str | None]] = {}
    # One reading stands for all of its instrument and column.
    for entry in {(entry.instrument_id, entry.quantity_id): entry for entry in view.readings}.values():
        instrument = instrument_of(scene.job, entry)
        if instrument is not None and instrument.response != "not stated":
            responses.setdefault(instrument, set()).add(noted[entry.quantity_id])
    return [
        f"{instrument.name_text} has another response than the one noted for what it read."
        for instrument, said in responses.items()
        if instrument.response not in said
    ]


def _falling(view: CurveView) -> list[str]:
    """Where the current falls while the voltage rises, beyond its scatter: no core does that."""
    if view.curve is None:
        return []
    held = view.curve.readings
    slack = 1.0 - FALL_FACTOR * (view.u_current_rel or 0.0)
    pairs = pairwise(zip(held.voltage_v, held.current_a, strict=True))
    falls = [(low, high) for (low, before), (high, after) in pairs if after < before * slack]
    return [
        f"From {shown('v_excitation_v', low)} to {shown('v_excitation_v', high)} the current falls while the "
        "voltage rises: read again."
        for low, high in falls[:1]
    ]


def _only_when(take: Take, quantity_id: str, value: str, words: str) -> str:
    return words if take.method.cell(quantity_id).value_text == value else ""


def _frequency(take: Take) -> str:
    found = number(take.method, "frequency_hz")
    if isinstance(found, Trouble):
        return found.text
    return "" if found.value > 0.0 else "The frequency of the supply is not above zero."
