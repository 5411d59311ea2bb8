"""Why a core draws too much: a shorted turn, a closed primary loop, a path left beside it, or remanence."""

from __future__ import annotations

from statistics import median

from ctcore.judgement.cells import value_of
from ctcore.judgement.limit import shown
from ctcore.judgement.sisters import departure_percent
from ctcore.notices.excess import Excess, whole
from ctcore.notices.notice import Answer, Figure, Notice, NoticeRow
from ctcore.notices.sight import Sight, listed, phase_words

SHORTED_TURN, PRIMARY_LOOP = "shorted_turn", "closed_primary_loop"
PARALLEL_PATH, MAGNETISED = "parallel_path", "magnetised_core"
_NO_CURVE = "No curve of this core that a sister phase has too, below its knee."
# Practice: resistance 2 % under the sisters, or insulation a fiftieth of theirs, speaks for a path beside the
# winding; common practice, no source.
LOW_RESISTANCE_PERCENT = -2.0
LOW_INSULATION_SHARE = 1.0 / 50.0
# One loop gives all cores of a transformer the same G N^2.
SAME_LOOP_FACTOR = 2.0


def _state(excess: Excess, quantity_id: str) -> str | None:
    return excess.curved.take.method.cell(quantity_id).value_text


def _figures(excess: Excess) -> tuple[Figure, ...]:
    return (
        Figure("current over that of the sisters, 0.5 to 0.9 of the knee", excess.middle_ratio, "1"),
        Figure("current over that of the sisters, low end", excess.low_ratio, "1"),
        Figure("conductance of the path", excess.conductance_s, "S"),
        Figure("cosine of the path's current to the rest", excess.cosine, "1"),
    )


def _how_much(excess: Excess) -> str:
    amperes = shown("i_excitation_a", excess.conductance_s * excess.at_v)
    volts = shown("v_excitation_v", excess.at_v)
    return (
        f"{excess.middle_ratio:.1f} times the current of {listed(list(excess.against))} below the knee, as a "
        f"path of {amperes} at {volts} would draw"
    )


def _resistance_percent(sight: Sight) -> float | None:
    tap = sight.core.full_tap
    own = sight.winding(tap)
    others = [
        found.r_75degc_ohm
        for sister in sight.sisters()
        if (found := sister.winding(sister.core.full_tap)) is not None and found.r_75degc_ohm is not None
    ]
    return None if own is None or own.r_75degc_ohm is None else departure_percent(own.r_75degc_ohm, others)


def _insulation_share(sight: Sight) -> float | None:
    own = _insulation(sight)
    others = [ohm for ohm in map(_insulation, sight.sisters()) if ohm]
    return own / median(others) if own is not None and others else None


def _insulation(sight: Sight) -> float | None:
    take = sight.scene.of_record("insulation")
    return None if take is None else value_of(take.row("secondary_earth"), "insulation_resistance_ohm")


def _path_signs(sight: Sight, excess: Excess) -> list[str]:
    """What speaks for a path outside the core: closed links, low resistance, low insulation."""
    signs = []
    if _state(excess, "links") == "closed":
        signs.append("the links are noted as closed")
    percent, share = _resistance_percent(sight), _insulation_share(sight)
    if percent is not None and percent <= LOW_RESISTANCE_PERCENT:
        signs.append(f"its resistance is {shown('r_spread_percent', percent)} from the sisters'")
    if share is not None and share <= LOW_INSULATION_SHARE:
        signs.append(f"its insulation is {share:.2g} of the sisters'")
    return signs


def _high_cores(sight: Sight) -> tuple[list[tuple[Sight, Excess]], list[tuple[Sight, Excess]]]:
    """The cores of this transformer that are high without a sign of a path of their own, and all compared."""
    compared = [(one, excess) for one in sight.cores_of_transformer() if (excess := whole(one)) is not None]
    high = [(one, excess) for one, excess in compared if excess.is_high and not _path_signs(one, excess)]
    return high, compared


def _is_loop(high: list[tuple[Sight, Excess]], compared: list[tuple[Sight, Excess]]) -> bool:
    """Whether every core compared is high, more than one, by about one loop across the primary."""
    if len(high) < 2 or len(high) < len(compared):
        return False
    loops = [excess.conductance_s * excess.curved.tap.ns_over_np_ratio**2 for _, excess in high]
    return max(loops) <= SAME_LOOP_FACTOR * min(loops)


def shorted_turn(sight: Sight) -> Answer:
    """One core of its transformer is high all the way to the knee, by a current in step with its losses."""
    excess = whole(sight)
    if excess is None:
        return sight.not_judged(SHORTED_TURN, _NO_CURVE)
    high, compared = _high_cores(sight)
    if not excess.is_high or not excess.is_straight or _path_signs(sight, excess) or _is_loop(high, compared):
        return ()
    others = [phase_words(one) for one, its in compared if one.core is not sight.core and not its.is_high]
    rest = f"{listed(others)} is as the sisters are, so that no primary loop explains it" if others else ""
    rest = rest or _loop_words(excess)
    winding = sight.winding(excess.curved.tap)
    turns = ""
    figures = _figures(excess)
    if winding is not None and winding.r_winding_ohm is not None:
        count = excess.conductance_s * excess.curved.tap.ns_over_np_ratio * winding.r_winding_ohm
        turns = f" That is {count:.1f} times what one turn shorted in itself would draw."
        figures = (*figures, Figure("path over one shorted turn", count, "1"))
    sentence = (
        f"{phase_words(sight)} takes {_how_much(excess)}.{turns} {rest}. Ratio by voltage does not show it. "
        "Is there a turn, or an unused tap, shorted?"
    )
    row = (sight.core.core_id,)
    take = excess.curved.take.take
    return (Notice(SHORTED_TURN, row, "excitation", "", sentence, figures, take=take),)


def _loop_words(excess: Excess) -> str:
    if _state(excess, "primary_state") == "open":
        return "No other core of this transformer was compared; a primary loop is noted as open"
    return (
        "A closed primary loop fits as well: no other core was compared, and the primary is not noted as open"
    )


def closed_primary_loop(sight: Sight) -> Answer:
    """Every core of one transformer is high, by what one loop across the primary would draw."""
    high, compared = _high_cores(sight)
    if len(compared) < 2:
        return sight.not_judged(
            PRIMARY_LOOP, "Fewer than two cores of this transformer have a curve to compare."
        )
    # A loop draws V/(N^2 Z) with the other cores shorted and less with them open: both states are needed.
    states = ("primary_state", "other_cores")
    missing = [one for one, its in compared if any(_state(its, state) is None for state in states)]
    if missing:
        names = listed([phase_words(one) for one in missing])
        reason = f"The state of the primary, or of the other cores, is not recorded for {names}."
        return sight.not_judged(PRIMARY_LOOP, reason)
    if not _is_loop(high, compared):
        return ()
    noted = {str(_state(excess, "primary_state")).replace("_", " ") for _, excess in high}
    loops = [excess.conductance_s * excess.curved.tap.ns_over_np_ratio**2 for _, excess in high]
    parts = [f"core {one.core.number} {excess.middle_ratio:.1f} times" for one, excess in high]
    sentence = (
        f"All compared cores of {sight.scene.ct.phase_text or 'the CT'} take too much below the knee "
        f"({listed(parts)} the sisters), by one loop of {shown('r_winding_ohm', 1.0 / median(loops))} across "
        "the primary. A shorted turn would show on one core only. The primary is noted as "
        f"{listed(sorted(noted))}. Are earths on at both ends of it?"
    )
    figures = (
        Figure("impedance of the loop", 1.0 / median(loops), "ohm"),
        *(
            Figure(f"core {one.core.number} over the sisters", excess.middle_ratio, "1")
            for one, excess in high
        ),
    )
    cores = tuple(one.core.core_id for one, _ in high)
    return (Notice(PRIMARY_LOOP, cores, "excitation", "", sentence, figures),)


def parallel_path(sight: Sight) -> Answer:
    """A core is high and straight, and its resistance, insulation or links tell of a path beside it."""
    excess = whole(sight)
    if excess is None:
        return sight.not_judged(PARALLEL_PATH, _NO_CURVE)
    signs = _path_signs(sight, excess)
    known = (_resistance_percent(sight), _insulation_share(sight), _state(excess, "links"))
    if excess.is_high and not signs and all(entry is None for entry in known):
        return sight.not_judged(
            PARALLEL_PATH, "Neither resistance, insulation nor the state of the links is known."
        )
    if not excess.is_high or not signs:
        return ()
    sentence = (
        f"{phase_words(sight)} takes {_how_much(excess)}, and {listed(signs)}. A shorted turn would leave "
        "resistance and insulation as they are. Is a burden, a link or another core still joined to it?"
    )
    row = (sight.core.core_id,)
    return (
        Notice(
            PARALLEL_PATH, row, "excitation", "", sentence, _figures(excess), take=excess.curved.take.take
        ),
    )


def magnetised_core(sight: Sight) -> Answer:
    """A core that differs from its sisters at the low end only and meets them towards the knee."""
    excess = whole(sight)
    if excess is None:
        return sight.not_judged(MAGNETISED, _NO_CURVE)
    if not excess.is_low_end_only:
        return ()
    noted = _state(excess, "demagnetised")
    said = {
        "yes_no_dc_since": "It is noted as demagnetised, with no direct current since.",
        "no": "It is noted as not demagnetised.",
    }.get(noted or "", "Whether it was demagnetised is not noted.")
    sentence = (
        f"{phase_words(sight)} takes {excess.low_ratio:.1f} times the current of "
        f"{listed(list(excess.against))} at the low end and {excess.middle_ratio:.2f} times towards the "
        f"knee: remanence fits, a path beside the winding would not fade. {said} Demagnetise and take it "
        "again?"
    )
    row = (sight.core.core_id,)
    figures = _figures(excess)[:2]
    return (Notice(MAGNETISED, row, "excitation", "", sentence, figures, take=excess.curved.take.take),)


CAUSES = (
    NoticeRow(notice_id=SHORTED_TURN, name="shorted turn", look=shorted_turn),
    NoticeRow(notice_id=PRIMARY_LOOP, name="closed primary loop", look=closed_primary_loop),
    NoticeRow(notice_id=PARALLEL_PATH, name="path beside the winding", look=parallel_path),
    NoticeRow(notice_id=MAGNETISED, name="magnetised core", look=magnetised_core),
)
