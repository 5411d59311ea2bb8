"""How an excitation test was made, and what that leaves of a comparison with a class."""

from __future__ import annotations

from ctcore.job import Tap
from ctcore.judgement.cells import Trouble, choice, number
from ctcore.judgement.excitation_curve import CurveView
from ctcore.judgement.limit import shown
from ctcore.judgement.meter import calibration_doubts
from ctcore.judgement.plate import LOWER_TAP, class_applies
from ctcore.procedure import Scene
from ctcore.takes import Take


def doubts(scene: Scene, take: Take, view: CurveView) -> tuple[str, ...]:
    """Sentences that forbid a "within" and leave an "outside" standing."""
    found = [
        _meter(
            take, "voltage_response", "mean", "Volts are to be read by a mean-sensing meter scaled to r.m.s."
        ),
        _meter(take, "current_response", "true_rms", "Current is to be read in true r.m.s."),
        _demagnetised(take),
        _state(take, "primary_state", {"not_known": "Whether the primary was open is not known."}),
        _state(take, "links", {}),
    ]
    return (*(sentence for sentence in found if sentence), *calibration_doubts(scene, view.readings))


def indicative(scene: Scene, take: Take, tap: Tap | None) -> tuple[str, ...]:
    """Sentences that forbid both verdicts: the readings are not of this core alone, or not of this class."""
    found = [
        "" if tap is not None else "Which terminals were fed is not stated.",
        LOWER_TAP if tap is not None and not class_applies(scene.core, tap) else "",
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


def _state(take: Take, quantity_id: str, words: dict[str, str]) -> str:
    found = choice(take.method, quantity_id)
    return found.text if isinstance(found, Trouble) else words.get(found, "")


def _only_when(take: Take, quantity_id: str, value: str, words: str) -> str:
    return words if take.method.cell(quantity_id).value_text == value else ""


def _frequency(take: Take) -> str:
    found = number(take.method, "frequency_hz")
    if isinstance(found, Trouble):
        return found.text
    return "" if found.value > 0.0 else "The frequency of the supply is not above zero."
