"""What a hook-up needs to know: terminals in their order, the pair in hand, other cores, the way chosen."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

from ctcore.job import CT, Core, Tap
from ctcore.judgement.links import terminal_names
from ctcore.judgement.plate import tap_fed, terminals_of
from ctcore.takes import Take

Pair = tuple[str, str]
# The method field that decides how a test is wired.
_WAYS: Final = {"ratio": "ratio_method", "resistance": "leads", "demagnetising": "demagnetising_method"}
# Tests that take one pair of terminals after the other.
_BY_TAP: Final = ("resistance", "kick", "ratio")


@dataclass(frozen=True, slots=True)
class OtherCore:
    """Another core of the same transformer, by its outer terminals."""

    number: int
    pair: Pair


@dataclass(frozen=True, slots=True, kw_only=True)
class Setup:
    """One test of one core as it is to be wired. `way` is the method chosen, empty where none is."""

    procedure_id: str
    number: int
    terminals: tuple[str, ...]
    pair: Pair
    service: Pair
    primary: Pair
    others: tuple[OtherCore, ...] = ()
    way: str = ""

    @property
    def unused(self) -> tuple[str, ...]:
        """Terminals of the core that nothing is joined to in this test."""
        return tuple(name for name in self.terminals if name not in self.pair)


def setup_of(ct: CT, core: Core, procedure_id: str, take: Take) -> Setup | None:
    """The setup of a test; None where the plate names no pair of terminals to join leads to."""
    terminals = terminal_names(core)
    if len(terminals) < 2:
        return None
    whole = (terminals[0], terminals[-1])
    way = _WAYS.get(procedure_id)
    service = None if core.service_tap_id is None else core.tap(core.service_tap_id)
    return Setup(
        procedure_id=procedure_id,
        number=core.number,
        terminals=terminals,
        pair=_pair(_tap_in_hand(core, procedure_id, take), terminals) or whole,
        service=_pair(service, terminals) or whole,
        primary=primary_names(terminals),
        others=tuple(
            OtherCore(other.number, (names[0], names[-1]))
            for other in ct.cores
            if other.core_id != core.core_id and len(names := terminal_names(other)) >= 2
        ),
        way="" if way is None else take.method.cell(way).value_text or "",
    )


def primary_names(terminals: tuple[str, ...]) -> Pair:
    """The terminals of the primary in the marking that the secondary follows: P1 with S1, H1 with X1."""
    letters = re.sub(r"[0-9]", "", terminals[0]).upper()
    return ("H1", "H2") if letters[:1] in ("X", "Y", "Z") else ("P1", "P2")


def _tap_in_hand(core: Core, procedure_id: str, take: Take) -> Tap | None:
    """The pair that comes next: the one fed, the first without readings, or the one in service."""
    if procedure_id == "excitation":
        return tap_fed(core, take) or core.full_tap
    if procedure_id in _BY_TAP:
        read = {row.row for row in take.rows}
        return next((tap for tap in core.taps if tap.tap_id not in read), core.full_tap)
    if procedure_id == "demagnetising" or core.service_tap_id is None:
        return core.full_tap
    return core.tap(core.service_tap_id)


def _pair(tap: Tap | None, terminals: tuple[str, ...]) -> Pair | None:
    ends = () if tap is None else terminals_of(tap)
    if len(ends) != 2 or not set(ends) <= set(terminals):
        return None
    first, last = sorted(ends, key=terminals.index)
    return first, last
