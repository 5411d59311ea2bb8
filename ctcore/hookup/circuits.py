"""The circuit of each test: primary at the left, windings and terminals, the instruments at the right."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from ctcore.hookup import symbols
from ctcore.hookup.drawing import Board, Drawing
from ctcore.hookup.setup import Setup

_WIDTH: Final = 640.0
_PRIMARY, _WINDING, _TERMINAL = 118.0, 178.0, 244.0
_NEAR, _METER, _FAR, _END = 330.0, 420.0, 515.0, 590.0
_SUPPLY: Final = 46.0
_TOP, _PITCH, _WHOLE = 70.0, 68.0, 136.0
_OTHER_TALL: Final = 74.0
_MOST_OTHERS: Final = 3
_IN_SERVICE: Final = ("visual", "links", "links_back", "load")


@dataclass(frozen=True, slots=True)
class _Place:
    """The board with the heights that the circuit of a test needs."""

    board: Board
    setup: Setup
    first: float
    last: float
    bottom: float
    lowest: float

    @property
    def middle(self) -> float:
        return (self.first + self.last) / 2.0

    def to(self, x: float, y: float, *, start: float = _TERMINAL + 4.5) -> None:
        """A wire from a terminal to the right."""
        self.board.wire((start, y), (x, y))

    def across(self, x: float, half: float) -> None:
        """A branch between the two wires, with room for a symbol in its middle."""
        self.board.wire((x, self.first), (x, self.middle - half))
        self.board.wire((x, self.middle + half), (x, self.last))


def circuit_of(setup: Setup) -> Drawing | None:
    """The drawing of a test; None for one that needs no circuit."""
    made = _CIRCUITS.get(setup.procedure_id)
    if made is None:
        return None
    board = Board()
    heights = _heights(setup)
    first, last = heights[setup.pair[0]], heights[setup.pair[1]]
    bottom = max(heights.values())
    lowest = _others(board, setup, bottom + 52.0)
    place = _Place(board, setup, first, last, bottom, lowest)
    _core(board, setup, heights)
    said = made(place)
    _primary(place)
    return board.finish(_WIDTH, max(lowest, place.bottom + 60.0), said)


def _heights(setup: Setup) -> dict[str, float]:
    pitch = max(_PITCH, _WHOLE / (len(setup.terminals) - 1))
    return {name: _TOP + pitch * index for index, name in enumerate(setup.terminals)}


def _core(board: Board, setup: Setup, heights: dict[str, float]) -> None:
    names = list(heights)
    for above, below in pairwise(names):
        symbols.winding(board, _WINDING, heights[above], heights[below])
    for name, y in heights.items():
        board.wire((_WINDING, y), (_TERMINAL - 4.5, y))
        symbols.terminal(board, _TERMINAL, y)
        chosen = name in setup.pair
        board.say((_WINDING + _TERMINAL) / 2.0, y - 6.0, name, "middle", is_bold=chosen)
        if not chosen and setup.procedure_id not in ("insulation", "insulation_time"):
            board.say(_TERMINAL + 12.0, y + 5.0, "open")


def _others(board: Board, setup: Setup, top: float) -> float:
    """The other cores under the one in hand, shorted and earthed; how far down they reach."""
    if setup.procedure_id in _IN_SERVICE or not setup.others:
        return top
    shown = setup.others[:_MOST_OTHERS]
    for index, other in enumerate(shown):
        upper = top + _OTHER_TALL * index
        lower = upper + 32.0
        symbols.winding(board, _WINDING, upper, lower, count=2)
        for name, y, lift in zip(other.pair, (upper, lower), (-4.0, 14.0), strict=True):
            board.wire((_WINDING, y), (_TERMINAL - 4.5, y))
            symbols.terminal(board, _TERMINAL, y)
            board.say((_WINDING + _TERMINAL) / 2.0, y + lift, name, "middle")
        right = _TERMINAL + 20.0
        board.wire((_TERMINAL + 4.5, upper), (right, upper), (right, lower), (_TERMINAL + 4.5, lower),
                   is_thick=True)  # fmt: skip
        symbols.earth(board, right, lower)
        board.say(right + 14.0, upper + 20.0, f"core {other.number} shorted")
    end = top + _OTHER_TALL * len(shown)
    more = len(setup.others) - len(shown)
    if more:
        board.say(_WINDING, end + 10.0, f"and {more} more core{'s' if more > 1 else ''}, the same")
        end += 16.0
    return end


def _primary(place: _Place) -> None:
    """The primary through all cores, from its first terminal to its second."""
    top, bottom = 30.0, max(place.lowest - 30.0, place.bottom + 34.0)
    board, (first, last) = place.board, place.setup.primary
    board.wire((_PRIMARY, top + 4.5), (_PRIMARY, bottom - 4.5), is_thick=True)
    for name, y in ((first, top), (last, bottom)):
        symbols.terminal(board, _PRIMARY, y)
        board.say(_PRIMARY + 12.0, y + 5.0, name, is_bold=True)
    _PRIMARIES[_primary_kind(place.setup)](board, top, bottom)


def _primary_kind(setup: Setup) -> str:
    if setup.procedure_id == "ratio":
        return "read" if setup.way in ("", "voltage") else "fed"
    return _PRIMARY_KINDS.get(setup.procedure_id, "open")


def _primary_open(board: Board, top: float, bottom: float) -> None:
    board.say(_PRIMARY - 14.0, top + 5.0, "open", "right")
    board.wire((_PRIMARY - 4.5, bottom), (_SUPPLY, bottom))
    symbols.earth(board, _SUPPLY, bottom)


def _primary_read(board: Board, top: float, bottom: float) -> None:
    _loop(board, top, bottom, symbols.RADIUS)
    symbols.meter(board, _SUPPLY, (top + bottom) / 2.0, "mV")


def _primary_fed(board: Board, top: float, bottom: float) -> None:
    middle = (top + bottom) / 2.0
    board.wire((_PRIMARY - 4.5, top), (_SUPPLY, top), (_SUPPLY, middle - 75.0))
    symbols.meter(board, _SUPPLY, middle - 58.0, "A")
    board.wire((_SUPPLY, middle - 41.0), (_SUPPLY, middle - 20.0))
    symbols.source(board, _SUPPLY, middle)
    board.wire((_SUPPLY, middle + 20.0), (_SUPPLY, bottom), (_PRIMARY - 4.5, bottom))


def _primary_kicked(board: Board, top: float, bottom: float) -> None:
    middle = (top + bottom) / 2.0
    board.wire((_PRIMARY - 4.5, top), (94.0, top))
    symbols.contact(board, 84.0, top)
    board.wire((70.0, top), (_SUPPLY, top), (_SUPPLY, middle - 4.0))
    symbols.cell(board, _SUPPLY, middle)
    board.wire((_SUPPLY, middle + 4.0), (_SUPPLY, bottom), (_PRIMARY - 4.5, bottom))


def _primary_earthed(board: Board, top: float, bottom: float) -> None:
    board.wire((_PRIMARY - 4.5, top), (_SUPPLY, top), (_SUPPLY, bottom), (_PRIMARY - 4.5, bottom))
    symbols.joint(board, _SUPPLY, bottom)
    symbols.earth(board, _SUPPLY, bottom)


def _primary_dead(board: Board, top: float, bottom: float) -> None:
    board.say(_PRIMARY - 14.0, (top + bottom) / 2.0, "proved dead", "right")


def _primary_live(board: Board, top: float, bottom: float) -> None:
    board.say(_PRIMARY - 14.0, (top + bottom) / 2.0, "in service", "right")


def _loop(board: Board, top: float, bottom: float, half: float) -> None:
    middle = (top + bottom) / 2.0
    board.wire((_PRIMARY - 4.5, top), (_SUPPLY, top), (_SUPPLY, middle - half))
    board.wire((_SUPPLY, middle + half), (_SUPPLY, bottom), (_PRIMARY - 4.5, bottom))


# The secondary side


def _volts(place: _Place, x: float) -> None:
    place.across(x, symbols.RADIUS)
    symbols.meter(place.board, x, place.middle, "V")
    for y in (place.first, place.last):
        symbols.joint(place.board, x, y)


def _amps(place: _Place, x: float, end: float) -> None:
    """The upper wire with an ammeter in it, and the lower wire."""
    place.to(x - symbols.RADIUS, place.first)
    symbols.meter(place.board, x, place.first, "A")
    place.board.wire((x + symbols.RADIUS, place.first), (end, place.first))
    place.to(end, place.last)


def _case_earth(place: _Place, x: float) -> None:
    place.board.wire((x, place.middle), (_END, place.middle), is_dashed=True)
    symbols.earth(place.board, _END, place.middle)
    place.board.say(_END, place.middle + 42.0, "test earth", "middle")


def _lifted(place: _Place) -> None:
    """The links to the relay as they are in the test, in the free corner at the lower right."""
    board, top = place.board, place.bottom + 46.0
    for index, name in enumerate(place.setup.service):
        y = top + 34.0 * index
        board.say(490.0, y + 5.0, name, "right")
        symbols.link(board, 512.0, y, is_open=True)
        board.wire((528.5, y), (560.0, y))
    board.wire((560.0, top), (560.0, top + 34.0))
    symbols.relay(board, 590.0, top + 17.0, "relay")
    board.say(620.0, top + 62.0, "links lifted", "right")


def _fed(place: _Place) -> str:
    _amps(place, _METER, _FAR)
    _volts(place, _NEAR)
    place.across(_FAR, 20.0)
    symbols.source(place.board, _FAR, place.middle)
    _case_earth(place, _FAR + 20.0)
    _lifted(place)
    return f"Source through the ammeter to {_pair(place)}, voltmeter at the terminals."


def _direct(place: _Place) -> str:
    if place.setup.way == "two_wire":
        place.to(_METER, place.first)
        place.to(_METER, place.last)
        place.across(_METER, symbols.RADIUS)
        symbols.meter(place.board, _METER, place.middle, "Ω")
        _case_earth(place, _METER + symbols.RADIUS)
        _lifted(place)
        return f"Ohmmeter at {_pair(place)}, two wires."
    _amps(place, _METER, _FAR)
    _volts(place, _NEAR)
    place.across(_FAR, 4.0)
    symbols.cell(place.board, _FAR, place.middle)
    _case_earth(place, _FAR + 14.0)
    _lifted(place)
    return f"Direct source through the ammeter to {_pair(place)}, voltmeter inside the current clamps."


def _demagnetising(place: _Place) -> str:
    if place.setup.way != "alternating_dc":
        return _fed(place)
    _amps(place, _METER, _FAR)
    place.across(_FAR, 4.0)
    symbols.cell(place.board, _FAR, place.middle)
    place.board.say(_FAR - 22.0, place.middle + 5.0, "reversed in steps", "right")
    _case_earth(place, _FAR + 14.0)
    _lifted(place)
    return f"Direct source, reversed in steps, through the ammeter to {_pair(place)}."


def _kicked(place: _Place) -> str:
    place.to(_METER, place.first)
    place.to(_METER, place.last)
    place.across(_METER, symbols.RADIUS)
    symbols.meter(place.board, _METER, place.middle, "mV")
    place.board.say(_METER + 8.0, place.middle - 24.0, "+", is_bold=True)
    _lifted(place)
    first, last = place.setup.primary
    return f"Cell and switch to {first} plus and {last}; centre-zero meter at {_pair(place)}, plus first."


def _ratio(place: _Place) -> str:
    if place.setup.way in ("", "voltage"):
        return f"{_fed(place)} Millivoltmeter at the primary."
    _amps(place, _NEAR, _METER)
    place.across(_METER, 20.0)
    symbols.resistor(place.board, _METER, place.middle)
    place.board.say(_METER + 16.0, place.middle + 5.0, "burden in circuit")
    return f"Current source at the primary; ammeter and burden in a closed loop at {_pair(place)}."


def _insulated(place: _Place) -> str:
    board, heights = place.board, list(_heights(place.setup).values())
    right = _TERMINAL + 30.0
    for y in heights:
        board.wire((_TERMINAL + 4.5, y), (right, y))
        symbols.joint(board, right, y)
    board.wire((right, heights[0]), (right, heights[-1]), is_thick=True)
    board.wire((right, place.middle), (_METER - 24.0, place.middle))
    board.arcs.append(symbols.ring(_METER, place.middle, 24.0))
    board.say(_METER, place.middle + 5.0, "MΩ", "middle", is_bold=True)
    board.wire((_METER + 24.0, place.middle), (_FAR, place.middle))
    symbols.earth(board, _FAR, place.middle)
    board.say(_FAR + 22.0, place.middle + 24.0, "earth bar")
    _lifted(place)
    return "Insulation meter from this winding, tied together, to earth; all else earthed."


def _burdened(place: _Place) -> str:
    board = place.board
    short = _TERMINAL + 18.0
    for y in (place.first, place.last):
        board.wire((_TERMINAL + 4.5, y), (short, y))
        symbols.link(board, 292.0, y, is_open=True)
    board.wire((short, place.first), (short, place.last), is_thick=True)
    board.wire((308.5, place.first), (408.0 - 17.0, place.first))
    symbols.meter(board, 408.0, place.first, "A")
    board.wire((425.0, place.first), (_END - 20.0, place.first), (_END - 20.0, place.middle - 24.0))
    board.wire((308.5, place.last), (_END - 20.0, place.last), (_END - 20.0, place.middle + 24.0))
    place.across(350.0, 20.0)
    symbols.source(board, 350.0, place.middle)
    _volts(place, 480.0)
    for y in (place.first, place.last):
        symbols.joint(board, 350.0, y)
    symbols.relay(board, _END - 20.0, place.middle, "relay")
    return f"Links of {_pair(place)} open, their side shorted; source and meters at the relay side."


def _closed(place: _Place) -> None:
    """Both wires to the relay through closed links, and the one earth."""
    board = place.board
    for y in (place.first, place.last):
        board.wire((_TERMINAL + 4.5, y), (277.5, y))
        symbols.link(board, 294.0, y, is_open=False)
    board.wire((310.5, place.first), (_END - 20.0, place.first), (_END - 20.0, place.middle - 24.0))
    board.wire((310.5, place.last), (_END - 20.0, place.last), (_END - 20.0, place.middle + 24.0))
    symbols.relay(board, _END - 20.0, place.middle, "relay")
    symbols.joint(board, 340.0, place.last)
    symbols.earth(board, 340.0, place.last)
    board.say(360.0, place.last + 26.0, "one earth")


def _as_found(place: _Place) -> str:
    _closed(place)
    return f"Circuit in service from {_pair(place)} through its links to the relay, with one earth."


def _back(place: _Place) -> str:
    _closed(place)
    place.across(_METER, symbols.RADIUS)
    symbols.meter(place.board, _METER, place.middle, "Ω")
    for y in (place.first, place.last):
        symbols.joint(place.board, _METER, y)
    place.board.say(_METER + 24.0, place.middle + 5.0, "test block")
    return f"Links of {_pair(place)} closed, one earth, ohmmeter at the test block."


def _injected(place: _Place) -> str:
    _closed(place)
    return f"Current source at the primary; links of {_pair(place)} closed to the relay, with one earth."


def _in_service(place: _Place) -> str:
    _closed(place)
    place.board.arcs.append(symbols.ring(_METER, place.first, 13.0))
    place.board.say(_METER, place.first - 20.0, "clamp", "middle")
    return f"Circuit in service from {_pair(place)} to the relay; clamp round the wire, nothing opened."


def _pair(place: _Place) -> str:
    return "–".join(place.setup.pair)


_PRIMARY_KINDS: Final = {
    "visual": "dead", "links": "dead", "links_back": "dead", "burden": "dead", "load": "live",
    "kick": "kicked", "insulation": "earthed", "insulation_time": "earthed", "injection": "fed",
}  # fmt: skip
_PRIMARIES: Final[dict[str, Callable[[Board, float, float], None]]] = {
    "open": _primary_open,
    "read": _primary_read,
    "fed": _primary_fed,
    "kicked": _primary_kicked,
    "earthed": _primary_earthed,
    "dead": _primary_dead,
    "live": _primary_live,
}
_CIRCUITS: Final[dict[str, Callable[[_Place], str]]] = {
    "visual": _as_found,
    "links": _as_found,
    "insulation": _insulated,
    "insulation_time": _insulated,
    "resistance": _direct,
    "kick": _kicked,
    "demagnetising": _demagnetising,
    "ratio": _ratio,
    "excitation": _fed,
    "burden": _burdened,
    "links_back": _back,
    "injection": _injected,
    "load": _in_service,
}
