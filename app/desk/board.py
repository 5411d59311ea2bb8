"""The job as boxes: one per core and test, with what it says, what is in hand, and what to do next."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Final

from app.desk.view import View
from app.words import figures, in_line, text, verdict_word
from app.words import procedure as test_of
from ctcore.findings import Finding, Verdict, worst, worst_first
from ctcore.job import CT, Core, Instrument, Job, Position, Reading
from ctcore.procedure import Procedure
from ctcore.procedures import PROCEDURES, planned
from ctcore.takes import Take

# What is begun before the other tests, as found, and ended after them, as left.
AS_LEFT: Final = "links"
EXCEPTIONS: Final[tuple[Verdict, ...]] = ("outside", "refer")
ORDER: Final[tuple[Verdict, ...]] = ("outside", "refer", "not tested", "within", "not applicable")


@dataclass(frozen=True, slots=True)
class Box:
    """One test of one core; `turn` is its place in the order of the tests of that core."""

    core_id: str
    procedure_id: str
    phase_text: str
    number: int
    position_text: str
    verdict: Verdict
    begun: bool = False
    stale: bool = False
    turn: int = 0


@dataclass(frozen=True, slots=True)
class Line:
    """One row of the board: a position, or one core of all its phases.

    `boxes` are by test, then by transformer; None where a transformer has no such core.
    """

    position_id: str
    words: str
    second: str
    ct_id: str
    boxes: tuple[tuple[Box | None, ...], ...] = ()

    @property
    def is_position(self) -> bool:
        """Whether the row is the heading of a position."""
        return not self.boxes


@dataclass(frozen=True, slots=True)
class Board:
    """Every box of the job; `widest` is the greatest number of transformers in a position."""

    tests: tuple[Procedure, ...]
    widest: int
    lines: tuple[Line, ...]

    def boxes(self) -> Iterator[Box]:
        """Every box, row by row, test by test."""
        return (box for line in self.lines for group in line.boxes for box in group if box is not None)

    def in_turn(self) -> Iterator[Box]:
        """Every box, row by row, in the order in which its core is to be tested."""
        for line in self.lines:
            boxes = (box for group in line.boxes for box in group if box is not None)
            yield from sorted(boxes, key=lambda box: box.turn)

    def counts(self) -> dict[Verdict, int]:
        """How many boxes have which verdict, the worst first."""
        found = dict.fromkeys(ORDER, 0)
        for box in self.boxes():
            found[box.verdict] += 1
        return found

    def only(self, verdict: Verdict | None) -> Board:
        """The rows that have a box of that verdict, under their positions; all of them for None."""
        if verdict is None:
            return self
        kept: list[Line] = []
        for line in self.lines:
            if line.is_position or any(
                box and box.verdict == verdict for group in line.boxes for box in group
            ):
                if line.is_position and kept and kept[-1].is_position:
                    kept.pop()
                kept.append(line)
        if kept and kept[-1].is_position:
            kept.pop()
        return Board(self.tests, self.widest, tuple(kept))


def board(view: View) -> Board:
    """The board of a job. Findings are not read for it, only what they came to."""
    positions = view.job.positions
    wanted = {test.procedure_id for core in _cores(positions) for test in planned(core)}
    wanted |= {procedure_id for _, procedure_id in view.takes}
    tests = tuple(test for test in PROCEDURES if test.procedure_id in wanted)
    lines = tuple(line for position in positions for line in _lines(view, position, tests))
    return Board(tests, max((len(position.cts) for position in positions), default=1), lines)


def _cores(positions: Sequence[Position]) -> Iterator[Core]:
    return (core for position in positions for ct in position.cts for core in ct.cores)


def _lines(view: View, position: Position, tests: Sequence[Procedure]) -> Iterator[Line]:
    serials = " · ".join(f"{ct.phase_text} {ct.serial_text}" for ct in position.cts if ct.serial_text)
    first = position.cts[0].ct_id if position.cts else ""
    yield Line(position.position_id, position.name_text, serials, first)
    for number in sorted({core.number for ct in position.cts for core in ct.cores}):
        members = [
            (ct, next((core for core in ct.cores if core.number == number), None)) for ct in position.cts
        ]
        ct, core = next((ct, core) for ct, core in members if core is not None)
        groups = zip(*(_boxes(view, position, ct, number, core, tests) for ct, core in members), strict=True)
        yield Line(
            position.position_id, f"{number} {_class_words(core)}", _duty(core), ct.ct_id, tuple(groups)
        )


def _boxes(
    view: View, position: Position, ct: CT, number: int, core: Core | None, tests: Sequence[Procedure]
) -> list[Box | None]:
    if core is None:
        return [None] * len(tests)
    core_id = core.core_id
    verdicts = verdicts_of(view, core_id)
    plan = {test.procedure_id: turn for turn, test in enumerate(planned(core))}
    stale = core_id in view.stale_core_ids
    found: list[Box | None] = []
    for test in tests:
        begun = (core_id, test.procedure_id) in view.takes
        absent: Verdict = "not tested" if begun or test.procedure_id in plan else "not applicable"
        verdict = verdicts.get(test.procedure_id, absent)
        found.append(
            Box(
                core_id,
                test.procedure_id,
                ct.phase_text,
                number,
                position.name_text,
                verdict,
                begun,
                stale,
                plan.get(test.procedure_id, len(plan)),
            )
        )
    return found


def verdicts_of(view: View, core_id: str) -> Mapping[str, Verdict]:
    """The worst verdict of each test of a core."""
    summary = getattr(view.findings, "verdicts", None)
    if summary is not None:
        known: Mapping[str, Verdict] = summary(core_id)
        return known
    found: dict[str, Verdict] = {}
    for finding in view.findings.get(core_id, ()):
        found[finding.procedure] = worst((found.get(finding.procedure, finding.verdict), finding.verdict))
    return found


def _class_words(core: Core) -> str:
    words = core.class_text.split()
    kept = [word for word in words if not word.upper().endswith("VA") and not word.isdigit()]
    plain = kept[:1] and kept[0].upper() in ("PX", "PXR")
    return " ".join(kept[:1] if plain else kept[:2])


def _duty(core: Core) -> str:
    """What tells a core beside its class: burden, and the ratios of its winding."""
    burden = next((word for word in core.class_text.split() if word.upper().endswith("VA")), "")
    if burden.upper() == "VA":
        words = core.class_text.split()
        burden = " ".join(words[words.index(burden) - 1 :][:2])
    currents = dict.fromkeys(f"{tap.i_primary_rated_a:g}" for tap in reversed(core.taps))
    names = list(currents)
    ratio = "–".join(names if len(names) <= 3 else [names[0], names[-1]])
    return ", ".join(part for part in (burden, f"{ratio}/{core.taps[0].i_secondary_rated_a:g}") if part)


# What a group of boxes says


@dataclass(frozen=True, slots=True)
class Said:
    """The words under a group of boxes; an exception stands in bold."""

    words: str
    strong: bool = False


def said(view: View, group: Sequence[Box | None], *, here: tuple[str, str] = ("", "")) -> Said:
    """What matters in a group: what is being keyed, the exception, or what is in hand under the limit.

    `here` is the core and test that the worksheet shows.
    """
    boxes = [box for box in group if box is not None]
    keyed = next((box for box in boxes if (box.core_id, box.procedure_id) == here), None)
    if keyed is not None and keyed.verdict == "not tested":
        return Said(f"{keyed.phase_text} {verdict_word('being keyed')}", strong=True)
    if any(box.stale for box in boxes):
        return Said("being judged again")
    parts = []
    for verdict in EXCEPTIONS:
        phases = ", ".join(box.phase_text for box in boxes if box.verdict == verdict)
        parts += [f"{phases} {verdict_word(verdict)}"] if phases else []
    if parts:
        return Said(", ".join(parts), strong=True)
    if boxes and all(box.verdict == "not applicable" for box in boxes):
        return Said(verdict_word("not applicable"))
    within = [box for box in boxes if box.verdict == "within"]
    if within:
        return Said(_in_hand_words(view, within))
    begun = ", ".join(box.phase_text for box in boxes if box.begun)
    return Said(text("board.begun", phases=begun) if begun else "")


def _in_hand_words(view: View, boxes: Sequence[Box]) -> str:
    shares = [
        share
        for box in boxes
        for finding in view.findings.get(box.core_id, ())
        if finding.procedure == box.procedure_id and (share := in_hand_ratio(finding)) is not None
    ]
    if not shares:
        return _last_done(view, boxes)
    least = min(shares)
    if least >= 1.0:
        if least >= 99.0:
            return text("board.over_100")
        return text("board.times", times=figures.text(1.0 + least, "1", significant=2))
    # A share is rounded down: what is said to be in hand is there.
    return text("board.in_hand", percent=int(100.0 * least))


def in_hand_ratio(finding: Finding) -> float | None:
    """What is in hand of a limit, as a share of it; None where there is none.

    >>> found = Finding("c1", "r_winding_75degc_ohm", 2.4, 3.0, 0.6, "within", "plate", "resistance.limit")
    >>> round(in_hand_ratio(found), 3)
    0.2
    """
    if finding.verdict != "within" or finding.margin is None or not isinstance(finding.limit, float | int):
        return None
    return abs(finding.margin / finding.limit) if finding.limit else None


def _last_done(view: View, boxes: Sequence[Box]) -> str:
    """When the last of these tests was read, by the clock of the site."""
    moments = [
        (reading.at_utc, reading.utc_offset_minutes)
        for box in boxes
        for take in view.takes.get((box.core_id, box.procedure_id), ())[-1:]
        for reading in _readings(take)
    ]
    if not moments:
        return ""
    at_utc, offset = max(moments)
    at = datetime.fromisoformat(at_utc.replace("Z", "+00:00")) + timedelta(minutes=offset)
    return text("board.last", time=f"{at:%H:%M}")


def _readings(take: Take) -> Iterator[Reading]:
    return (
        reading
        for row in (take.method, *take.rows)
        for cell in row.cells.values()
        for reading in cell.readings
    )


# The box in hand, what comes next, what is missing


def finding_of(view: View, box: Box) -> Finding | None:
    """The worst finding of a box."""
    its = [one for one in view.findings.get(box.core_id, ()) if one.procedure == box.procedure_id]
    return next(iter(worst_first(its)), None)


def name_of(box: Box) -> str:
    """Position, phase, core and test of a box."""
    test = in_line(test_of(box.procedure_id).name)
    return text("board.box", position=box.position_text, phase=box.phase_text, core=box.number, test=test)


def next_steps(shown: Board, *, most: int = 2) -> list[tuple[Box, str]]:
    """What to do next: finish what was begun, look again at what is outside, then begin the next test."""
    wanted: list[tuple[str, list[Box]]] = [
        ("board.go_on", []),
        ("board.is_outside", []),
        ("board.comes_next", []),
        ("board.as_left", []),
    ]
    for box in shown.in_turn():
        if box.verdict == "not tested" and box.begun and box.procedure_id == AS_LEFT:
            wanted[3][1].append(box)
        elif box.verdict == "not tested":
            wanted[0 if box.begun else 2][1].append(box)
        elif box.verdict == "outside":
            wanted[1][1].append(box)
    return [
        (box, _step_words(box, text(text_id, test=in_line(test_of(box.procedure_id).short_name))))
        for text_id, boxes in wanted
        for box in boxes[:most]
    ][:most]


def _step_words(box: Box, what: str) -> str:
    return text("board.step", position=box.position_text, phase=box.phase_text, core=box.number, what=what)


def missing(view: View, shown: Board, today: date, *, most: int = 3) -> list[str]:
    """What stands between the job and its being handed in, in a few lines."""
    counts = shown.counts()
    lines = [
        text("board.calibration_ended", name=one.name_text, day=one.due_on)
        for one in calibrations_ended(view.job, today)
    ]
    unread = sum(
        1
        for takes in view.takes.values()
        for take in takes
        for row in (take.method, *take.rows)
        for cell in row.cells.values()
        if cell.disputed or (cell.current and cell.current.value_text is None and cell.current.as_typed_text)
    )
    for count, one, several in (
        (counts["not tested"], "box", "boxes"),
        (unread, "reading", "readings"),
        (_unconfirmed(view), "ct", "cts"),
    ):
        if count:
            lines.append(text(f"board.missing_{one if count == 1 else several}", count=count))
    return lines[:most]


def calibrations_ended(job: Job, today: date) -> list[Instrument]:
    """The instruments whose calibration has ended by that day."""
    return [one for one in job.instruments if one.due_on and _ended(one.due_on, today)]


def _unconfirmed(view: View) -> int:
    return sum(not ct.plate_confirmed for position in view.job.positions for ct in position.cts)


def _ended(due_on: str, today: date) -> bool:
    try:
        return date.fromisoformat(due_on) < today
    except ValueError:
        return False
