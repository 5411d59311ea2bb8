"""What is known of the cores of an open job: judged when first asked for, so that a large job opens fast."""

from __future__ import annotations

import json
import threading
from collections import defaultdict
from collections.abc import Iterator, Mapping

from app.desk.view import TakeKey
from app.jobstore import StoredFindings
from app.record.canonical import digest
from ctcore import plain
from ctcore.errors import BadInput
from ctcore.findings import Finding, Verdict, worst
from ctcore.job import Job, Place, Position, places
from ctcore.judge import derived, judge_core
from ctcore.procedure import Derived
from ctcore.takes import Take

Takes = Mapping[tuple[str, str], tuple[Take, ...]]


class CoreResult:
    """Findings and derived values of one core.

    `stored` are findings of the store. Where they were judged from something else than what stands now the
    result is stale: their verdicts may be shown, marked as such, but whoever asks for findings gets new ones.
    """

    __slots__ = (
        "_derived", "_findings", "_job", "_place", "_stored", "_takes", "_turn", "_verdicts", "stale",
    )  # fmt: skip

    def __init__(
        self,
        job: Job,
        place: Place,
        *,
        takes: Takes,
        stored: StoredFindings | None = None,
        stale: bool = False,
    ) -> None:
        self._job, self._place, self._takes = job, place, takes
        self._stored = stored
        self.stale = stale
        # The thread that draws may ask for what the one that writes is judging just now.
        self._turn = threading.Lock()
        self._findings: tuple[Finding, ...] | None = None
        self._derived: dict[TakeKey, tuple[Derived, ...]] | None = None
        self._verdicts: Mapping[str, Verdict] | None = None

    @property
    def findings(self) -> tuple[Finding, ...]:
        """The findings that hold now."""
        with self._turn:
            if self._findings is None:
                self._findings = self._kept() or tuple(judge_core(self._job, self._place, self._takes))
                self._verdicts, self._stored, self.stale = None, None, False
            return self._findings

    @property
    def verdicts(self) -> Mapping[str, Verdict]:
        """The worst verdict of each test; of a stale result those of the last judgement."""
        known, stored = self._verdicts, self._stored
        if known is None:
            known = verdicts_of(self.findings) if stored is None else stored.verdicts
            self._verdicts = known
        return known

    @property
    def derived(self) -> Mapping[TakeKey, tuple[Derived, ...]]:
        """The derived values of every take."""
        if self._derived is None:
            self._derived = derived(self._job, self._place, self._takes)
        return self._derived

    def aged(self, job: Job, place: Place, *, takes: Takes) -> CoreResult:
        """The same core when what it is judged from has changed: stale, with the verdicts that were known."""
        made = CoreResult(job, place, takes=takes, stale=True)
        made._verdicts = self.verdicts
        return made

    def _kept(self) -> tuple[Finding, ...]:
        if self._stored is None or self.stale:
            return ()
        try:
            return self._stored.findings
        except (BadInput, TypeError):
            # What is stored of findings is only kept to save time: unreadable, it is judged again.
            return ()


def verdicts_of(findings: tuple[Finding, ...]) -> dict[str, Verdict]:
    """The worst verdict of each test among the findings of a core."""
    by_test: dict[str, list[Verdict]] = defaultdict(list)
    for finding in findings:
        by_test[finding.procedure].append(finding.verdict)
    return {test: worst(verdicts) for test, verdicts in by_test.items()}


class FindingsByCore(Mapping[str, tuple[Finding, ...]]):
    """Findings by core id; `verdicts` tells the worst of each test without the findings themselves."""

    def __init__(self, results: Mapping[str, CoreResult]) -> None:
        self._results = results

    def __getitem__(self, core_id: str) -> tuple[Finding, ...]:
        return self._results[core_id].findings

    def __iter__(self) -> Iterator[str]:
        return iter(self._results)

    def __len__(self) -> int:
        return len(self._results)

    def verdicts(self, core_id: str) -> Mapping[str, Verdict]:
        """The worst verdict of each test of a core."""
        found = self._results.get(core_id)
        return found.verdicts if found is not None else {}

    def stale(self) -> frozenset[str]:
        """The cores whose verdicts are those of an earlier judgement."""
        return frozenset(core_id for core_id, result in self._results.items() if result.stale)


class DerivedByTake(Mapping[TakeKey, tuple[Derived, ...]]):
    """Derived values by core, test and take."""

    def __init__(self, results: Mapping[str, CoreResult]) -> None:
        self._results = results

    def __getitem__(self, key: TakeKey) -> tuple[Derived, ...]:
        return self._results[key[0]].derived[key]

    def __iter__(self) -> Iterator[TakeKey]:
        return (key for result in self._results.values() for key in result.derived)

    def __len__(self) -> int:
        return sum(len(result.derived) for result in self._results.values())


class InputDigests:
    """Digests of everything that a judgement of a core looks at; the part of a position is made once."""

    def __init__(self) -> None:
        self._positions: dict[str, tuple[Position, str]] = {}

    def of(self, job: Job) -> dict[str, str]:
        """The digest of every core of the job."""
        common = _digest(
            job.frequency_rated_hz,
            plain.flatten(job.references),
            plain.flatten(job.instruments),
            *([one.question_id, one.open_fields] for one in job.questions),
        )
        entries: dict[str, list[str]] = defaultdict(list)
        for entry in job.readings:
            entries[entry.core_id].append(entry.reading_id)
        read = {core_id: _digest(ids) for core_id, ids in entries.items()}
        return {
            place.core.core_id: _digest(
                common,
                self._of_position(place.position),
                place.core.core_id,
                [[core_id, read.get(core_id, "")] for core_id in _reached(place)],
            )
            for place in places(job)
        }

    def _of_position(self, position: Position) -> str:
        known = self._positions.get(position.position_id)
        if known is None or known[0] is not position:
            known = (position, _digest(plain.flatten(position)))
            self._positions[position.position_id] = known
        return known[1]


def _digest(*parts: object) -> str:
    return digest(json.dumps(parts, ensure_ascii=False).encode())


def _reached(place: Place) -> list[str]:
    """The cores whose readings a judgement of this one looks at: of its transformer, and its sisters."""
    number = place.core.number
    return [
        core.core_id
        for ct in place.position.cts
        for core in ct.cores
        if ct.ct_id == place.ct.ct_id or core.number == number
    ]
