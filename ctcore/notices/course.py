"""The course of a curve: taken downwards, stepped back, or ended before the core saturated."""

from __future__ import annotations

from itertools import pairwise

from ctcore.judgement.cells import Number, number
from ctcore.judgement.excitation_curve import measured
from ctcore.judgement.excitation_targets import voltage_wanted_v
from ctcore.judgement.limit import shown
from ctcore.notices.notice import Answer, Figure, Notice, NoticeRow
from ctcore.notices.sight import Sight, listed, phase_words
from ctcore.takes import Take

WENT_DOWN, STOPS_SHORT = "curve_went_down", "not_saturated"
_LEAST_POINTS = 3


def curve_went_down(sight: Sight) -> Answer:
    """Voltages that fall in the order in which they were taken: all of them, or some rows."""
    takes = [take for take in sight.takes_of_record("excitation") if len(_volts(take)) >= _LEAST_POINTS]
    if not takes:
        return sight.not_judged(WENT_DOWN, "No curve of three readings or more.")
    found = [_went_down(sight, take) for take in takes]
    return tuple(notice for notice in found if notice is not None)


def _volts(take: Take) -> list[float]:
    cells = [number(row, "v_excitation_v") for row in take.rows if not row.struck]
    return [cell.value for cell in cells if isinstance(cell, Number)]


def _went_down(sight: Sight, take: Take) -> Notice | None:
    volts = _volts(take)
    view = measured(sight.scene, take)
    if not view.reversed:
        return None
    if all(after < before for before, after in pairwise(volts)):
        how = f"was taken downwards, from {shown('v_excitation_v', volts[0])}"
    else:
        rows = [point.row for point in view.reversed]
        how = f"steps back at row {listed(rows)}" if len(rows) == 1 else f"steps back at rows {listed(rows)}"
    sentence = (
        f"{phase_words(sight)}: the curve {how}. On the way down hysteresis leaves more current than on the "
        "way up, and a core that was stepped back is magnetised. Take it again, upwards from zero?"
    )
    figures = tuple(Figure(f"volts of row {point.row}", point.voltage_v, "V") for point in view.reversed)
    row = view.reversed[0].row
    return Notice(WENT_DOWN, (sight.core.core_id,), "excitation", row, sentence, figures, take=take.take)


def not_saturated(sight: Sight) -> Answer:
    """A curve that ends before its knee and before the voltage that the class asks for."""
    curved = sight.curved()
    if not curved:
        return sight.not_judged(STOPS_SHORT, "No curve of three readings or more with its terminals.")
    found = []
    for entry in curved:
        wanted = voltage_wanted_v(sight.scene, entry.tap) if entry.tap is sight.core.full_tap else None
        if entry.knee_v is not None or (wanted is not None and entry.last_v >= wanted):
            continue
        asked = "" if wanted is None else f", and the class asks for {shown('v_excitation_v', wanted)}"
        sentence = (
            f"{phase_words(sight)}, {entry.tap.terminals_text}: the readings end at "
            f"{shown('v_highest_v', entry.last_v)} before the 10/50 knee{asked}. No knee is given, none is "
            "guessed. Could the supply not go higher, or was it stopped on purpose?"
        )
        figures = [Figure("highest reading", entry.last_v, "V")]
        figures += [] if wanted is None else [Figure("asked for by the class", wanted, "V")]
        row = (sight.core.core_id,)
        found.append(
            Notice(STOPS_SHORT, row, "excitation", "", sentence, tuple(figures), take=entry.take.take)
        )
    return tuple(found)


COURSE = (
    NoticeRow(notice_id=WENT_DOWN, name="curve taken downwards or stepped back", look=curve_went_down),
    NoticeRow(notice_id=STOPS_SHORT, name="core not saturated", look=not_saturated),
)
