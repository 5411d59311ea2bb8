"""Between laptop and archive: bytes there, answers back, each receipt held against everything seen before.

Nothing here touches the store of the laptop, so that a network that hangs holds nobody up; what came back is
written down by a verb.
"""

from __future__ import annotations

import datetime as dt
import json
import threading
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Final, Literal

from app.jobstore.archive import Answer, Archive, ArchiveProblem
from app.record import receipt
from app.record.canonical import digest
from app.record.files import write_whole
from app.record.merkle import Tree
from app.record.problem import Altered, CannotTell

if TYPE_CHECKING:
    from app.record.receipt import Receipt
    from app.record.trust import Trust

State = Literal["archived", "refused", "passed on", "waiting"]
OTHER_HISTORY: Final = (
    "Everything on this computer is kept. The archive shows a different history from the one seen here "
    "before: call the office before you rely on it."
)
NO_ANSWER_YET: Final = "Left at the archive; no answer yet."
_STEP: Final = 5000
# Practice: a line that carries less than 20 kB a second is tried again later; common practice, no source.
_SLOWEST_BYTES_PER_S: Final = 20_000
_AGAIN_S: Final = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Parcel:
    """Bytes for the archive; `record_digest` is what a receipt has to name, None for what is not issued."""

    data: bytes
    record_digest: str | None

    @property
    def digest_hex(self) -> str:
        """By which the answer is asked for."""
        return digest(self.data)


@dataclass(frozen=True, slots=True, kw_only=True)
class Carried:
    """What is known of a parcel now; `sentence_text` says it, receipt and signature where it is archived."""

    digest_hex: str
    state: State
    sentence_text: str
    receipt: bytes | None = None
    receipt_signature: bytes | None = None

    @property
    def doubt_text(self) -> str:
        """Why an answer that came does not count; empty where it does, or none came yet."""
        return self.sentence_text if self.state == "waiting" and self.sentence_text != NO_ANSWER_YET else ""


class _Roots:
    """The roots that the records of an archive make, size by size, as this computer reckons them."""

    def __init__(self, archive: Archive, grown: dict[int, str]) -> None:
        self._archive = archive
        self._grown = grown

    def at(self, size: int) -> str:
        """The root of the first so many records."""
        if size not in self._grown:
            # The parcel was filed between two looks; its place was passed before its receipt came.
            tree = Tree()
            while tree.size < size:
                more = self._archive.leaves(size=tree.size, limit=min(_STEP, size - tree.size))
                if not more:
                    return ""
                for one in more:
                    tree = tree.grown(bytes.fromhex(one))
            self._grown[size] = tree.root
        return self._grown[size]


class Courier:
    """Carries parcels to one archive. What it has seen of the archive's tree lies in a file.

    No step is waited for longer than `patience_s`, and what its bytes take on a slow line.
    """

    patience_s: float = 60.0

    def __init__(
        self,
        place_text: str,
        *,
        trust: Trust,
        seen: Path,
        device_text: str,
        clock: Callable[[], dt.datetime],
    ) -> None:
        self._place_text = place_text
        self._trust = trust
        self._seen = seen
        self._device_text = device_text
        self._clock = clock

    def carry(self, parcels: Sequence[Parcel]) -> list[Carried]:
        """Leave what has no answer yet, and look for answers.

        Nothing is called archived before a receipt was read that fits the record, the archive's key and the
        history of the archive. ArchiveProblem where the archive is not reached or shows another history.
        """
        archive = Archive.reach(self._place_text)
        try:
            with self._within(archive):
                archive.demand_form()
                known = archive.answers([one.digest_hex for one in parcels])
            for one in parcels:
                if one.digest_hex not in known:
                    with self._within(archive, len(one.data)):
                        archive.deposit(one.data, device_text=self._device_text, at=self._clock())
            with self._within(archive):
                roots = _Roots(archive, self._grown(archive))
                return [self._judged(one, known.get(one.digest_hex), roots) for one in parcels]
        finally:
            archive.close()

    @contextmanager
    def _within(self, archive: Archive, bytes_count: int = 0) -> Iterator[None]:
        """Cut the line where a step takes longer than even a slow network takes."""
        done = threading.Event()

        def cut_when_late() -> None:
            patience_s = self.patience_s + bytes_count / _SLOWEST_BYTES_PER_S
            while not done.wait(patience_s):
                archive.cut()
                # Assumption: a line that was just being made when the others were cut may go dead as well.
                patience_s = _AGAIN_S

        threading.Thread(target=cut_when_late, name="patience", daemon=True).start()
        try:
            yield
        finally:
            done.set()

    def _judged(self, parcel: Parcel, answer: Answer | None, roots: _Roots) -> Carried:
        if answer is None:
            return Carried(
                digest_hex=parcel.digest_hex,
                state="waiting",
                sentence_text=NO_ANSWER_YET,
            )
        if answer.outcome != "filed":
            state: State = "refused" if answer.outcome == "refused" else "passed on"
            return Carried(digest_hex=parcel.digest_hex, state=state, sentence_text=answer.sentence_text)
        try:
            given = self._receipt(parcel, answer, roots)
        except (Altered, CannotTell) as problem:
            return Carried(
                digest_hex=parcel.digest_hex,
                state="waiting",
                sentence_text=f"The archive answered, and its receipt does not count: {problem.sentence}",
            )
        return Carried(
            digest_hex=parcel.digest_hex,
            state="archived",
            sentence_text=f"Archived on {given.arrived_at_utc[:10]} in place {given.leaf_no + 1}.",
            receipt=answer.receipt,
            receipt_signature=answer.receipt_signature,
        )

    def _receipt(self, parcel: Parcel, answer: Answer, roots: _Roots) -> Receipt:
        given, _ = receipt.read(answer.receipt or b"", answer.receipt_signature or b"", trust=self._trust)
        if given.record_digest != parcel.record_digest:
            raise Altered("It is the receipt of another record.")
        if roots.at(given.tree_size) != given.root:
            raise Altered("It names another root than the archive's own records make.")
        return given

    def _grown(self, archive: Archive) -> dict[int, str]:
        """The root after each record that is new here; the tree seen before has to be the beginning of it.

        ArchiveProblem where the archive now has fewer records than it had, or is another one.
        """
        archive_id, tree = self._remembered()
        now_id = archive.archive_id
        if archive_id not in ("", now_id):
            raise ArchiveProblem(OTHER_HISTORY)
        roots: dict[int, str] = {}
        if tree.size and archive.root_at(tree.size) not in (None, tree.root):
            raise ArchiveProblem(OTHER_HISTORY)
        if tree.size > archive.size():
            raise ArchiveProblem(OTHER_HISTORY)
        while True:
            more = archive.leaves(size=tree.size, limit=_STEP)
            for one in more:
                tree = tree.grown(bytes.fromhex(one))
                roots[tree.size] = tree.root
            if len(more) < _STEP:
                break
        self._remember(now_id, tree)
        return roots

    def _remembered(self) -> tuple[str, Tree]:
        try:
            kept = json.loads(self._seen.read_text("utf-8"))
            return kept["archive_id"], Tree(
                kept["size"], tuple(bytes.fromhex(part) for part in kept["parts"])
            )
        except FileNotFoundError:
            return "", Tree()
        except (ValueError, KeyError, TypeError, AttributeError, OSError):
            # What was seen cannot be read any more; the archive is looked through from its beginning.
            return "", Tree()

    def _remember(self, archive_id: str, tree: Tree) -> None:
        kept = {"archive_id": archive_id, "size": tree.size, "parts": [part.hex() for part in tree.parts]}
        write_whole(self._seen, json.dumps(kept).encode())
