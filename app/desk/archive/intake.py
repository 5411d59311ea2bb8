"""The office's process with the archive's key: what came is checked, filed or answered, and signed for.

One deposit that cannot be read never holds the others up: it gets a refusal in words.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from app.desk.two_stores import counted
from app.exchange import jobfile, signedfile
from app.exchange.folder import FolderProblem
from app.exchange.problem import JobFileProblem
from app.jobstore.archive import Answer, Archive, Deposit, Filing
from app.record import arrival, draft, receipt
from app.record.instants import utc_text
from app.record.problem import Altered, CannotTell
from app.record.verify import verify_bytes

if TYPE_CHECKING:
    from app.record.people_keys import Unlocked
    from app.record.receipt import Receipt
    from app.record.trust import Trust

# Filed together, so that the disk is waited for once.
BATCH: Final = 50

Progress = Callable[[int, int], None]
Stop = Callable[[], bool]
# Puts a file where the office takes it in; OSError or FolderProblem where that is not possible now.
PassOn = Callable[[Deposit], object]


@dataclass(frozen=True, slots=True, kw_only=True)
class TakenIn:
    """What became of the deposits of one run; a refusal begins with the computer that it came from."""

    filed_count: int = 0
    passed_on_count: int = 0
    refusals: tuple[str, ...] = ()
    left_count: int = 0
    stopped: bool = False

    @property
    def text(self) -> str:
        """The run in one sentence."""
        counts = (
            f"{self.filed_count} filed",
            f"{self.passed_on_count} passed on to be reviewed",
            f"{len(self.refusals)} refused",
        )
        waits = counted(self.left_count, "file waits", "files wait")
        left = f"; {waits} for the folder where the office takes it from" if self.left_count else ""
        return f"{', '.join(counts)}{left}{'; stopped before the end' if self.stopped else ''}."


class Intake:
    """Takes deposits in, one run after the other."""

    def __init__(
        self,
        archive: Archive,
        *,
        trust: Trust,
        key: Unlocked,
        clock: Callable[[], dt.datetime],
        pass_on: PassOn | None = None,
    ) -> None:
        self._archive = archive
        self._pass_on = pass_on
        self._trust = trust
        self._key = key
        self._clock = clock

    def run(
        self, *, again: bool = False, progress: Progress | None = None, stop: Stop | None = None
    ) -> TakenIn:
        """Answer every deposit that waits; with `again` also those that were refused before, once more."""
        of = self._archive.waiting_count()
        seen: set[str] = set()
        filed, passed, left, refusals = 0, 0, 0, list[str]()

        def taken(*, stopped: bool = False) -> TakenIn:
            return TakenIn(
                filed_count=filed,
                passed_on_count=passed,
                refusals=(*refusals,),
                left_count=left,
                stopped=stopped,
            )

        while True:
            if stop is not None and stop():
                return taken(stopped=True)
            given = [
                one
                for one in self._archive.waiting(limit=BATCH + (len(seen) if again else left), again=again)
                if one.digest_hex not in seen
            ]
            if not given:
                return taken()
            seen.update(one.digest_hex for one in given)
            answered = self._answered(given)
            left += len(given) - len(answered)
            for deposit, answer in answered:
                filed += answer.outcome == "filed"
                passed += answer.outcome == "passed_on"
                if answer.outcome == "refused":
                    refusals.append(f"{deposit.device_text}: {answer.sentence_text}")
            if progress is not None:
                progress(len(seen), max(of, len(seen)))

    def check_sheets(self, *, progress: Progress | None = None, stop: Stop | None = None) -> list[str]:
        """Check the signatures inside sheets, left out at filing; a sentence for each that is not genuine."""
        told: list[str] = []
        waiting = self._archive.sheets_unchecked()
        for done, record_digest in enumerate(waiting):
            if stop is not None and stop():
                break
            if progress is not None:
                progress(done, len(waiting))
            verdict = verify_bytes(self._archive.packed(record_digest), trust=self._trust)
            sentence = "genuine" if verdict.outcome == "genuine" else verdict.sentences[0]
            self._archive.say_sheet(record_digest, sentence)
            if verdict.outcome != "genuine":
                told.append(f"{self._archive.line(record_digest).number_text}: {sentence}")
        return told

    def _answered(self, given: list[Deposit]) -> list[tuple[Deposit, Answer]]:
        at = self._clock()
        filings: list[Filing] = []
        answers: list[tuple[Deposit, Answer]] = []
        for deposit in given:
            try:
                read = self._read(deposit)
            except (Altered, CannotTell, JobFileProblem) as problem:
                answers.append((deposit, _said(deposit, "refused", problem.sentence, at)))
                continue
            # Assumption: on bytes that somebody else arranged, parsers may raise anything.
            except Exception as problem:
                sentence = f"The file cannot be read ({type(problem).__name__})."
                answers.append((deposit, _said(deposit, "refused", sentence, at)))
                continue
            if isinstance(read, Filing):
                filings.append(read)
            elif self._handed_on(deposit):
                answers.append((deposit, _said(deposit, "passed_on", read, at)))
        if answers:
            self._archive.say(*(answer for _, answer in answers))
        filed = self._archive.file(filings, sign=self._sign, at=at) if filings else []
        return [*answers, *zip((one.deposit for one in filings), filed, strict=True)]

    def _handed_on(self, deposit: Deposit) -> bool:
        """Whether a file lies now where it can be taken in; else it waits without an answer."""
        if self._pass_on is None:
            return False
        try:
            self._pass_on(deposit)
        except (OSError, FolderProblem):
            return False
        return True

    def _read(self, deposit: Deposit) -> Filing | str:
        """What is to be filed, or the sentence with which something is passed on to be reviewed."""
        kind = signedfile.kind_of(deposit.data)
        if kind == "pack":
            arrived = arrival.read_pack(deposit.data, self._trust, pages=False)
            return Filing(
                deposit=deposit,
                papers=arrived.papers,
                record=arrived.record,
                record_digest=arrived.record_digest,
                issued=arrived.issued,
                signatures=arrived.signatures,
                listed=arrived.listed,
            )
        if kind == "signed job":
            verdict = verify_bytes(deposit.data, trust=self._trust)
            if verdict.outcome != "genuine":
                raise CannotTell(verdict.sentences[0])
            return "The job is handed in: it waits for a supervisor to take it in."
        if kind == "sheet":
            raise CannotTell("A sheet alone is not filed: send the evidence pack that it belongs to.")
        data = draft.from_bytes(deposit.data).job if kind == "draft" else deposit.data
        number = jobfile.read(data, "the file").header.number_text
        return f"Job {number} is a draft: it waits for somebody to take it in."

    def _sign(self, given: Receipt) -> tuple[bytes, bytes]:
        return receipt.sign(given, self._key, at=self._clock())


def _said(deposit: Deposit, outcome: str, sentence_text: str, at: dt.datetime) -> Answer:
    return Answer(
        digest_hex=deposit.digest_hex,
        outcome="refused" if outcome == "refused" else "passed_on",
        sentence_text=sentence_text,
        at_utc=utc_text(at),
    )
