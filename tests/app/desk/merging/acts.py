"""What people do to a job on a laptop, each act with what chance gives it; some find nothing to do."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from random import Random
from typing import Final

from ctcore.evidence import Attached
from ctcore.job import (
    CT,
    CommentStep,
    Core,
    Deviation,
    LeftOut,
    LimitOverride,
    ReferenceValue,
    Tap,
)
from ctcore.takes import standing
from tests.app.desk.merging.laptops import Laptop, referred_to

Act = Callable[[Laptop, Random], object]
_CLASSES: Final = ("5P10 15 VA", "0.5 10 VA", "PX Ek 200 V Ie 30 mA Rct 3 ohm")


def key(laptop: Laptop, chance: Random) -> None:
    """Key a reading on any core and tap that is here."""
    core, tap = _tap(laptop, chance)
    laptop.key(tap.tap_id, f"{chance.randint(1, 9)}.{chance.randint(0, 9)}", core_id=core.core_id)


def retest(laptop: Laptop, chance: Random) -> None:
    """Key one in another take, with the instrument where one is named."""
    core, tap = _tap(laptop, chance)
    instrument = laptop.job.instruments[0].instrument_id if laptop.job.instruments else None
    laptop.key(tap.tap_id, "3.1", core_id=core.core_id, take=2, instrument_id=instrument)


def strike(laptop: Laptop, chance: Random) -> None:
    """Strike a reading that stands."""
    found = standing(laptop.job.readings)
    if found:
        old = chance.choice(found)
        laptop.key(old.row, "", core_id=old.core_id, take=old.take, struck=True, reason_text="slipped")


def title(laptop: Laptop, chance: Random) -> None:
    """Change a field of the title block."""
    laptop.title(**{chance.choice(("weather_text", "supply_text")): chance.choice(("a", "b", "c"))})


def plate(laptop: Laptop, chance: Random) -> None:
    """Change the class of a core."""
    ct, core = _core(laptop, chance)
    laptop.put_core(ct, dataclasses.replace(core, class_text=chance.choice(_CLASSES)))


def plan(laptop: Laptop, chance: Random) -> None:
    """Plan tests of a core in some order, one of them left out."""
    ct, core = _core(laptop, chance)
    tests = tuple(chance.sample(("resistance", "ratio", "insulation"), 2))
    left = LeftOut(
        procedure_id=tests[0],
        reason_text=chance.choice(("no outage", "no access")),
        person_id="A",
        at_utc="t",
    )
    laptop.put_core(ct, dataclasses.replace(core, procedures=tests, left_out=(left,)))


def tap_more(laptop: Laptop, chance: Random) -> None:
    """Add a tap to a core."""
    ct, core = _core(laptop, chance)
    name = chance.choice("bc")
    if core.tap(name) is None:
        tap = dataclasses.replace(core.taps[0], tap_id=name, terminals_text=f"S1-S{name}")
        laptop.put_core(ct, dataclasses.replace(core, taps=(*core.taps, tap)))


def tap_out(laptop: Laptop, chance: Random) -> None:
    """Take a tap out on which nothing was read here."""
    ct, core = _core(laptop, chance)
    read = {one.row for one in laptop.job.readings if one.core_id == core.core_id}
    kept = [tap for tap in core.taps if tap.tap_id in read]
    laptop.put_core(ct, dataclasses.replace(core, taps=tuple(kept or core.taps[:1])))


def core_more(laptop: Laptop, chance: Random) -> None:
    """Add a core to a transformer."""
    ct, core = _core(laptop, chance)
    name = chance.choice("mn")
    if f"{ct.ct_id}-{name}" not in {one.core_id for one in ct.cores}:
        laptop.put_core(ct, dataclasses.replace(core, core_id=f"{ct.ct_id}-{name}", number=len(ct.cores) + 1))


def core_out(laptop: Laptop, chance: Random) -> None:
    """Take a core out to which nothing refers here."""
    ct, core = _core(laptop, chance)
    if len(ct.cores) > 1 and core.core_id not in referred_to(laptop.job):
        cores = tuple(one for one in ct.cores if one.core_id != core.core_id)
        laptop.put_ct(dataclasses.replace(ct, cores=cores))


def set_more(laptop: Laptop, chance: Random) -> None:
    """Add a set."""
    laptop.add_position(chance.choice(("S2", "S3")))


def set_out(laptop: Laptop, chance: Random) -> None:
    """Take a set out to which nothing refers here."""
    laptop.without_position(chance.choice(("S2", "S3")))


def set_named(laptop: Laptop, chance: Random) -> None:
    """Name a set, or put the sets in another order."""
    sets = [dataclasses.replace(one) for one in laptop.job.positions]
    place = chance.randrange(len(sets))
    sets[place] = dataclasses.replace(sets[place], name_text=chance.choice(("Bay 1", "Bay 2")))
    if chance.random() < 0.5:
        sets.reverse()
    laptop.write("position", dataclasses.replace(laptop.job, positions=tuple(sets)))


def serial(laptop: Laptop, chance: Random) -> None:
    """Key the serial of a transformer."""
    ct, _ = _core(laptop, chance)
    laptop.put_ct(dataclasses.replace(ct, serial_text=chance.choice(("100", "101"))))


def instrument(laptop: Laptop, chance: Random) -> None:
    """Name an instrument."""
    laptop.instrument(chance.choice(("i1", "i2")), chance.choice(("Bridge", "Meter")))


def instrument_out(laptop: Laptop, chance: Random) -> None:
    """Take an instrument out with which nothing was read here."""
    laptop.without_instrument(chance.choice(("i1", "i2")))


def remark(laptop: Laptop, chance: Random) -> None:
    """Write a remark."""
    laptop.remark(chance.choice(("looked at", "moved")))


def comment(laptop: Laptop, chance: Random) -> None:
    """Say something to a remark."""
    if laptop.job.remarks:
        old = chance.choice(laptop.job.remarks)
        kind = chance.choice(("rebuttal", "closed", "reopened"))
        step = CommentStep(  # type: ignore[arg-type]
            kind=kind, text=kind, person_id=laptop.device_id, at_utc=laptop.now(), utc_offset_minutes=0
        )
        new = dataclasses.replace(old, steps=(*old.steps, step))
        remarks = tuple(new if one is old else one for one in laptop.job.remarks)
        laptop.write("comment", dataclasses.replace(laptop.job, remarks=remarks))


def deviation(laptop: Laptop, chance: Random) -> None:
    """Note a deviation, or say something about one."""
    if laptop.job.deviations and chance.random() < 0.6:
        old = chance.choice(laptop.job.deviations)
        new = dataclasses.replace(old, disposition_text=chance.choice(("replaced", "accepted")))
        kept = tuple(new if one is old else one for one in laptop.job.deviations)
    else:
        _, core = _core(laptop, chance)
        made = Deviation(
            deviation_id=f"{laptop.device_id}-{laptop.now()}", core_id=core.core_id,
            procedure_id="resistance", found_text="high",
        )  # fmt: skip
        kept = (*laptop.job.deviations, made)
    laptop.write("deviation", dataclasses.replace(laptop.job, deviations=kept))


def limits(laptop: Laptop, chance: Random) -> None:
    """Replace a limit, or name a value to compare with."""
    _, core = _core(laptop, chance)
    its = laptop.job.references
    if chance.random() < 0.5:
        its = dataclasses.replace(its, limit_overrides=(_limit(core, chance),))
    else:
        its = dataclasses.replace(its, values=(_value(core, chance),))
    laptop.write("references", dataclasses.replace(laptop.job, references=its))


def attach(laptop: Laptop, chance: Random) -> None:
    """Attach a file, or strike one."""
    files = laptop.job.attached
    if files and chance.random() < 0.4:
        old = chance.choice(files)
        new = dataclasses.replace(old, struck_text=chance.choice(("blurred", "wrong set")))
        kept = tuple(new if one is old else one for one in files)
        laptop.write("strike_attached", dataclasses.replace(laptop.job, attached=kept))
    else:
        made = Attached(
            name_text=f"{laptop.now()}.png", media_type="image/png", digest_hex=chance.choice("ab") * 64
        )
        laptop.write("attach", dataclasses.replace(laptop.job, attached=(*files, made)))


def land(laptop: Laptop, chance: Random) -> None:
    """Tick a lead as landed, on any core."""
    _, core = _core(laptop, chance)
    laptop.land(chance.choice(("lead 1", "lead 2")), core_id=core.core_id)


def undo(laptop: Laptop, _chance: Random) -> None:
    """Take the last act back."""
    laptop.undo()


def answer(laptop: Laptop, chance: Random) -> None:
    """Answer an open question."""
    laptop.answer(chance.randint(0, 2), which=chance.randint(0, 3))


ACTS: Final[tuple[Act, ...]] = (
    key, retest, strike, title, plate, plan, tap_more, tap_out, core_more, core_out, set_more, set_out,
    set_named, serial, instrument, instrument_out, remark, comment, deviation, limits, attach, land, undo,
    answer,
)  # fmt: skip


def _core(laptop: Laptop, chance: Random) -> tuple[CT, Core]:
    found = [(ct, core) for position in laptop.job.positions for ct in position.cts for core in ct.cores]
    return chance.choice(found)


def _tap(laptop: Laptop, chance: Random) -> tuple[Core, Tap]:
    _, core = _core(laptop, chance)
    return core, chance.choice(core.taps)


def _limit(core: Core, chance: Random) -> LimitOverride:
    return LimitOverride(
        rule="resistance.plate", core_id=core.core_id, limit_low=None,
        limit_high=float(chance.randint(1, 3)), reason_text="as agreed", person_text="A",
    )  # fmt: skip


def _value(core: Core, chance: Random) -> ReferenceValue:
    return ReferenceValue(
        core_id=core.core_id, row="a", quantity_id="r_measured_ohm", kind="certificate",
        value=float(chance.randint(1, 3)), source_text="certificate",
    )  # fmt: skip
