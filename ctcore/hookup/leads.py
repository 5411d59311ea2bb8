"""The landing list of a test: every lead and link in the order in which it is landed, each to be ticked.

Practice: test earth first on and last off; other cores shorted before anything is fed; unused taps of the
core under test left open; voltage leads at the terminals; common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Final

from ctcore.hookup.setup import Setup


@dataclass(frozen=True, slots=True)
class Lead:
    """One lead or link: from where, to where, and what to mind. The id names its ends, so that a lead that
    goes elsewhere is another one."""

    lead_id: str
    from_text: str
    to_text: str
    note_text: str = ""


def leads_of(setup: Setup) -> tuple[Lead, ...]:
    """The landing list of a test; empty for one that needs no lead."""
    made = _LISTS.get(setup.procedure_id)
    return () if made is None else tuple(made(setup))


def _lead(name: str, from_text: str, to_text: str, note_text: str = "") -> Lead:
    return Lead(f"{name}/{from_text}/{to_text}", from_text, to_text, note_text)


def _test_earth() -> Iterator[Lead]:
    yield _lead("earth", "test instruments", "earth bar", "first on, last off")


def _lifted(setup: Setup) -> Iterator[Lead]:
    for name in setup.service:
        yield _lead("link", name, "link to the relay open", "shorted first at the transformer, then opened")


def _shorted(setup: Setup) -> Iterator[Lead]:
    for other in setup.others:
        first, last = other.pair
        yield _lead("short", first, last, f"core {other.number} shorted and earthed")


def _unused(setup: Setup) -> Iterator[Lead]:
    for name in setup.unused:
        yield _lead("open", name, "nothing", "left open and covered: it carries volts too")


def _ready(setup: Setup) -> Iterator[Lead]:
    first, last = setup.service
    yield from _test_earth()
    yield from _lifted(setup)
    yield _lead("unshort", first, f"short to {last} taken out", "this core alone, its links open")
    yield from _shorted(setup)
    yield from _unused(setup)


def _fed(setup: Setup) -> Iterator[Lead]:
    first, last = setup.pair
    yield from _ready(setup)
    ends = " and ".join(setup.primary)
    yield _lead("primary", ends, "open to both sides", "earthed at one end at most, guarded")
    yield _lead("feed", "source, through the ammeter", first)
    yield _lead("feed", "source, return", last)
    yield _lead("volts", "voltmeter", first, "at the terminal itself")
    yield _lead("volts", "voltmeter, return", last, "at the terminal itself")


def _demagnetising(setup: Setup) -> Iterator[Lead]:
    if setup.way != "alternating_dc":
        yield from _fed(setup)
        return
    first, last = setup.pair
    yield from _ready(setup)
    yield _lead("feed", "direct source, through reversing switch and ammeter", first)
    yield _lead("feed", "direct source, return", last)


def _resistance(setup: Setup) -> Iterator[Lead]:
    first, last = setup.pair
    yield from _ready(setup)
    if setup.way == "two_wire":
        yield _lead("read", "ohmmeter", first, "resistance of the leads is subtracted")
        yield _lead("read", "ohmmeter, return", last)
        return
    yield _lead("feed", "direct source, through the ammeter", first, "outside")
    yield _lead("feed", "direct source, return", last, "outside")
    yield _lead("volts", "voltmeter", first, "inside the current clamps")
    yield _lead("volts", "voltmeter, return", last, "inside the current clamps")


def _kick(setup: Setup) -> Iterator[Lead]:
    first, last = setup.pair
    yield from _ready(setup)
    yield _lead("read", "centre-zero meter, plus", first)
    yield _lead("read", "centre-zero meter, minus", last)
    yield _lead("feed", "cell, minus", setup.primary[1])
    yield _lead(
        "feed", "cell, plus, through the switch", setup.primary[0], "switch open until all stand clear"
    )


def _ratio(setup: Setup) -> Iterator[Lead]:
    if setup.way in ("", "voltage"):
        yield from _fed(setup)
        yield _lead("volts", "millivoltmeter", setup.primary[0])
        yield _lead("volts", "millivoltmeter, return", setup.primary[1])
        return
    first, last = setup.pair
    yield from _test_earth()
    yield from _shorted(setup)
    yield from _unused(setup)
    yield _lead("read", "ammeter and burden", first, "loop closed and proved before any primary current")
    yield _lead("read", "ammeter and burden, return", last)
    yield from _primary_fed(setup)


def _primary_fed(setup: Setup) -> Iterator[Lead]:
    yield _lead("feed", "current source, through its ammeter", setup.primary[0], "clamped tight")
    yield _lead("feed", "current source, return", setup.primary[1], "clamped tight")


def _insulation(setup: Setup) -> Iterator[Lead]:
    yield from _test_earth()
    yield from _lifted(setup)
    yield _lead("lift", "secondary earth", "lifted", "with the primary dead only")
    yield _lead("tie", setup.terminals[0], setup.terminals[-1], "this winding tied together")
    yield from _shorted(setup)
    yield _lead("tie", setup.primary[0], "earth", "primary tied and earthed")
    yield _lead("read", "insulation meter, line", setup.terminals[0])
    yield _lead("read", "insulation meter, earth", "earth bar", "stays on until it is discharged and earthed")


def _burden(setup: Setup) -> Iterator[Lead]:
    first, last = setup.service
    yield from _test_earth()
    yield _lead("short", first, last, "shorted at the transformer")
    yield from (_lead("link", name, "link open at the transformer") for name in setup.service)
    yield _lead("block", "trips", "blocked", "by the owner's procedure")
    yield _lead("feed", "source, through the ammeter", f"relay side of {first}", "towards the relay only")
    yield _lead("feed", "source, return", f"relay side of {last}")
    yield _lead("volts", "voltmeter", f"relay side of {first}")
    yield _lead("volts", "voltmeter, return", f"relay side of {last}")


def _found(setup: Setup) -> Iterator[Lead]:
    first, last = setup.service
    yield _lead("short", first, last, "shorted at the transformer before any link is opened")
    for name in setup.service:
        yield _lead("link", name, "link to the relay open", "labelled and counted")
    yield _lead("lift", "secondary earth", "lifted", "with the primary dead only")


def _back(setup: Setup) -> Iterator[Lead]:
    first, last = setup.service
    yield _lead("land", "secondary earth", "landed", "the one of the drawing")
    for name in setup.service:
        yield _lead("close", name, "link to the relay closed", "counted")
    yield _lead("unshort", first, f"short to {last} taken out", "after the links are closed")
    yield _lead("read", "ohmmeter", "test block, this core", "loop: not open, not shorted")


def _injection(setup: Setup) -> Iterator[Lead]:
    yield from _test_earth()
    for name in setup.service:
        yield _lead("close", name, "link to the relay closed", "loop proved before any primary current")
    yield from _shorted(setup)
    yield _lead("block", "trips", "blocked", "by the owner's procedure")
    yield from _primary_fed(setup)


def _load(setup: Setup) -> Iterator[Lead]:
    for name in setup.service:
        yield _lead("read", "clamp", f"wire of {name}", "nothing is opened or loosened")


_LISTS: Final[dict[str, Callable[[Setup], Iterator[Lead]]]] = {
    "visual": _found,
    "links": _found,
    "insulation": _insulation,
    "insulation_time": _insulation,
    "resistance": _resistance,
    "kick": _kick,
    "demagnetising": _demagnetising,
    "ratio": _ratio,
    "excitation": _fed,
    "burden": _burden,
    "links_back": _back,
    "injection": _injection,
    "load": _load,
}
