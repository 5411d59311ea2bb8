"""Tapped windings: turns and rated currents of every pair of leads, and the voltages between them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

from ctcore.checks import positive_scalar
from ctcore.errors import BadInput


@dataclass(frozen=True, slots=True)
class TapPair:
    """Two leads of a tapped winding: what is stored is the pair, since two pairs can carry one ratio."""

    first: str
    last: str
    turns_count: float
    i_primary_rated_a: float

    @property
    def name(self) -> str:
        """The pair as it is marked, such as "X2-X4"."""
        return f"{self.first}-{self.last}"


def pairs_from_sections(
    section_turns_count: Sequence[float], *, i_secondary_rated_a: float = 5.0, lead_letter: str = "X"
) -> tuple[TapPair, ...]:
    """Return every pair of leads with its turns and rated primary current.

    Formula: turns of a pair = sum of the sections between its leads; I_pr = turns x I_sr.
    Args: turns per section from the first lead on, above zero; rated secondary current in A; lead letter.
    Result: pairs in the order X1-X2, X1-X3 ... X4-X5.
    Valid for a single-turn primary.
    Raises BadInput for no section, or turns or current of zero or less.
    Source: arithmetic; IEEE C57.13-2016, Table 8, for the sections.

    >>> pairs_from_sections((40, 20, 100, 80))[0]
    TapPair(first='X1', last='X2', turns_count=40.0, i_primary_rated_a=200.0)
    """
    sections = _sections(section_turns_count)
    current = positive_scalar("rated secondary current", i_secondary_rated_a)
    pairs = combinations(range(len(sections) + 1), 2)
    return tuple(
        TapPair(
            f"{lead_letter}{start + 1}",
            f"{lead_letter}{end + 1}",
            sum(sections[start:end]),
            sum(sections[start:end]) * current,
        )
        for start, end in pairs
    )


def section_voltages_v(v_full_v: float, section_turns_count: Sequence[float]) -> tuple[float, ...]:
    """Return the voltage of each section when the whole winding is excited.

    Formula: V_section = V_full N_section / N_full.
    Args: voltage on the whole winding in V, above zero; turns per section.
    Result: V, one per section, adding up to the whole.
    Valid while all turns share the same flux.
    Raises BadInput for a voltage or turns of zero or less.
    Source: arithmetic; tap-voltage ratio method, utility substation test handbook.

    >>> section_voltages_v(120.0, (40, 20, 100, 80))
    (20.0, 10.0, 50.0, 40.0)
    """
    voltage = positive_scalar("voltage on the whole winding", v_full_v)
    sections = _sections(section_turns_count)
    full = sum(sections)
    return tuple(voltage * turns / full for turns in sections)


def full_winding_voltage_v(v_part_v: float, turns_part_count: float, turns_full_count: float) -> float:
    """Return the voltage across the whole winding when part of it is excited.

    Formula: V N_full / N_part.
    Args: voltage on the excited part in V; turns of that part and of the whole, above zero.
    Result: V.
    Valid below saturation.
    Raises BadInput for values of zero or less, or a part larger than the whole.
    Source: arithmetic.

    >>> full_winding_voltage_v(100.0, 20, 240)
    1200.0
    """
    voltage = positive_scalar("voltage on the excited part", v_part_v)
    part, full = _part_of_whole(turns_part_count, turns_full_count)
    return voltage * full / part


def primary_voltage_v(v_excited_v: float, turns_primary_count: float, turns_excited_count: float) -> float:
    """Return the voltage on the primary when a secondary is excited.

    Formula: V N_p / N_excited.
    Args: voltage on the excited winding in V; turns above zero.
    Result: V.
    Valid with an open primary.
    Raises BadInput for values of zero or less.
    Source: arithmetic.

    >>> primary_voltage_v(600.0, 1, 600)
    1.0
    """
    voltage = positive_scalar("voltage on the excited winding", v_excited_v)
    primary = positive_scalar("primary turns", turns_primary_count)
    excited = positive_scalar("excited turns", turns_excited_count)
    return voltage * primary / excited


def class_voltage_of_tap_v(c_voltage_v: float, turns_tap_count: float, turns_full_count: float) -> float:
    """Return the part of a C voltage rating that is left on a lower tap.

    Formula: V_C N_tap / N_full.
    Args: class voltage of the whole winding in V; turns of tap and whole, above zero.
    Result: V.
    Valid for a winding whose taps all spread over the whole core; otherwise an estimate.
    Raises BadInput for values of zero or less, or a tap larger than the whole.
    Source: common practice, no source.

    >>> class_voltage_of_tap_v(400.0, 120, 240)
    200.0
    """
    voltage = positive_scalar("class voltage", c_voltage_v)
    tap, full = _part_of_whole(turns_tap_count, turns_full_count)
    return voltage * tap / full


def _part_of_whole(part_count: float, full_count: float) -> tuple[float, float]:
    part = positive_scalar("turns of the part", part_count)
    full = positive_scalar("turns of the whole winding", full_count)
    if part > full:
        raise BadInput("turns of the part", part_count, "a part has at most the turns of the whole winding")
    return part, full


def _sections(section_turns_count: Sequence[float]) -> tuple[float, ...]:
    sections = tuple(positive_scalar("turns of a section", turns) for turns in section_turns_count)
    if not sections:
        raise BadInput("turns of the sections", section_turns_count, "there is at least one section")
    return sections
