"""What the plate asks of a core: its classes, and the tap that they belong to."""

from __future__ import annotations

import functools

from ctcore.errors import BadInput
from ctcore.job import Core, Tap
from ctcore.judgement.cells import Trouble
from ctcore.nameplate import AccuracyClass, parse_class
from ctcore.standards import row
from ctcore.standards.rows import Row
from ctcore.takes import Take

# Practice: amperes and turns far beyond any transformer; common practice, no source.
LEAST_RATED, GREATEST_RATED = 1e-3, 1e7
LOWER_TAP = "The class belongs to the highest ratio; on this tap it is only compared."


@functools.lru_cache(maxsize=512)
def _read(class_text: str) -> AccuracyClass | Trouble:
    try:
        return parse_class(class_text)
    except BadInput as refusal:
        return Trouble("refer", f"The class “{class_text}” cannot be read: {refusal.reason}.")


def classes_of(core: Core) -> tuple[AccuracyClass, ...] | Trouble:
    """Every class of the plate, or why there is none."""
    if not core.class_text.strip():
        return Trouble("refer", "The plate of this core states no class.")
    found = _read(core.class_text)
    return found if isinstance(found, Trouble) else found.all_classes


def plate_trouble(core: Core) -> Trouble | None:
    """What on the plate of a core keeps its tests from being judged, or None."""
    if not core.taps:
        return Trouble("refer", "The plate of this core names no terminals yet.")
    for tap in core.taps:
        rated = [tap.i_primary_rated_a, tap.i_secondary_rated_a, tap.turns_primary_count]
        rated += [] if tap.turns_secondary_count is None else [tap.turns_secondary_count]
        if min(rated) <= 0.0:
            return Trouble("refer", f"Rated currents and turns of {tap.terminals_text} are above zero.")
        if min(rated) < LEAST_RATED or max(rated) > GREATEST_RATED:
            words = f"Rated currents and turns of {tap.terminals_text} are beyond what is possible."
            return Trouble("refer", words)
    return None


def row_of(accuracy: AccuracyClass) -> Row | None:
    """The row that the standards hold for a class, or None."""
    try:
        return row(accuracy.class_name)
    except BadInput:
        return None


def class_applies(core: Core, tap: Tap) -> bool:
    """Whether the class holds on a tap: on the highest ratio, elsewhere only where the plate says so.

    Source: IEC 61869-2:2012, 5.6.203.2.
    """
    return core.class_on_every_tap or is_whole_winding(core, tap)


def is_whole_winding(core: Core, tap: Tap) -> bool:
    """Whether a tap has as many turns as any of the core."""
    return tap.ns_over_np_ratio >= core.full_tap.ns_over_np_ratio


def rct_limit_ohm(core: Core) -> float | None:
    """The upper limit of the winding resistance at 75 °C that the plate states, or None."""
    return next(iter(rct_limits_ohm(core)), None)


def rct_limits_ohm(core: Core) -> tuple[float, ...]:
    """Every unlike upper limit of the winding resistance at 75 °C on the plate, its own field first."""
    found = classes_of(core)
    stated = [core.r_winding_75degc_plate_ohm]
    stated += [] if isinstance(found, Trouble) else [entry.rct_ohm for entry in found]
    return tuple(dict.fromkeys(ohm for ohm in stated if ohm is not None))


def sections_of(core: Core) -> tuple[Tap, ...]:
    """The taps that lie end to end from the first to the last terminal of the whole winding, as many as there
    are; empty where the plate does not name them all."""
    if not core.taps:
        return ()
    pairs = {ends: tap for tap in core.taps if len(ends := terminals_of(tap)) == 2}
    first, last = (*terminals_of(core.full_tap), "", "")[:2]
    longest: dict[str, tuple[Tap, ...]] = {first: ()}
    # Every round carries each chain one section further; a chain has fewer sections than there are taps.
    for _ in core.taps:
        for (start, end), tap in pairs.items():
            if tap is not core.full_tap and start in longest:
                chain = (*longest[start], tap)
                if len(chain) > len(longest.get(end, ())) and tap not in longest[start]:
                    longest[end] = chain
    return longest.get(last, ())


def terminals_of(tap: Tap) -> tuple[str, ...]:
    """The two terminals of a tap as its text names them, such as "S1-S2"."""
    return tuple(part.strip() for part in tap.terminals_text.replace("–", "-").split("-"))


def tap_named(core: Core, text: str) -> Tap | None:
    """The tap of that id, or the one with those terminals however they are written."""
    wanted = _plain(text)
    by_terminals = (tap for tap in core.taps if _plain(tap.terminals_text) == wanted)
    return core.tap(text) or next(by_terminals, None)


def tap_fed(core: Core, take: Take) -> Tap | None:
    """The tap that a take was fed at; a core with one pair of terminals needs no saying."""
    kept = take.method.cell("tap_id").value_text
    if kept:
        return tap_named(core, kept)
    return core.taps[0] if len(core.taps) == 1 else None


def same_tap(core: Core, tap: Tap) -> Tap | None:
    """The tap of another core with the same terminals and rated currents."""
    found = tap_named(core, tap.terminals_text)
    return found if found is not None and found.k_rated_ratio == tap.k_rated_ratio else None


def _plain(text: str) -> str:
    return "".join(letter for letter in text.casefold() if letter.isalnum())
