"""Verbs of the laptop: what waits for the archive, and what the archive said, written into the trail."""

from __future__ import annotations

import platform
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Final, Literal

from app.desk.chains import PACK_TYPE, ChainCore
from app.desk.folder import outbox_of
from app.desk.journey import journey_of, spelled
from app.desk.keys import KeyVerbs
from app.desk.training import demand_real
from app.desk.view import Refusal
from app.desk.wall_clock import moment
from app.exchange import signedfile
from app.exchange.problem import JobFileProblem
from app.jobstore import StoreProblem
from app.record.problem import Altered, CannotTell

if TYPE_CHECKING:
    from app.desk.archive.courier import Carried, Courier, Parcel

ARCHIVED, NOT_ARCHIVED = "archived", "not_archived"
SEEN_FILE: Final = "archive-seen.json"
# Carried in one round, so that a long queue neither fills the memory nor waits for its last.
AT_ONCE: Final = 20
LineState = Literal["waiting", "archived", "refused"]


@dataclass(frozen=True, slots=True, kw_only=True)
class ArchiveLine:
    """One issued revision on its way to the archive; `state_text` is what the archive said, and when.

    Or a draft or a signed job that is to be taken in at the office: revision 0, and the file that waits.
    """

    job_id: str
    number_text: str
    revision: int
    pack_digest: str
    state_text: str
    archived: bool
    when_text: str = ""
    file: Path | None = None

    @property
    def day_text(self) -> str:
        """The day of what the archive said, without the time."""
        return " ".join(self.when_text.split()[:3])

    @property
    def state(self) -> LineState:
        """Archived; refused, with the reason; waiting while the archive said nothing."""
        return "archived" if self.archived else "refused" if self.state_text else "waiting"


@dataclass(frozen=True, slots=True, kw_only=True)
class Round:
    """What one round carries: the lines, their bytes, and who carries them."""

    lines: tuple[ArchiveLine, ...]
    parcels: tuple[Parcel, ...]
    courier: Courier


class SendVerbs(KeyVerbs, ChainCore):
    """What a laptop does with the archive. The queue is the trail itself: issued, and no receipt yet."""

    def archive_place(self) -> str:
        """Where the archive is; empty where none was named."""
        return self.settings.get("archive_place_text")

    def archive_queue(self, *, all_of_them: bool = False) -> list[ArchiveLine]:
        """What is not archived, and files for the office; with `all_of_them` all that was issued too."""
        found = self._files_that_wait()
        with_pack = self.store.jobs_with(PACK_TYPE)
        for line in self.store.jobs():
            if line.job_id not in with_pack:
                continue
            said: dict[int, tuple[bool, str, str]] = {}
            events = self.store.events(line.job_id)
            for event in events:
                if event.act.kind in (ARCHIVED, NOT_ARCHIVED) and isinstance(event.act.to, dict):
                    told = str(event.act.to.get("sentence_text", ""))
                    when = moment(event.act.at_utc, event.act.utc_offset_minutes)
                    said[int(event.act.where["revision"])] = (event.act.kind == ARCHIVED, told, when)
            for revision, digest_hex in sorted(journey_of(events).packs.items()):
                archived, state_text, when_text = said.get(revision, (False, "", ""))
                if all_of_them or not archived:
                    found.append(
                        ArchiveLine(
                            job_id=line.job_id,
                            number_text=line.number_text,
                            revision=revision,
                            pack_digest=digest_hex,
                            state_text=state_text,
                            archived=archived,
                            when_text=when_text,
                        )
                    )
        return found

    def _files_that_wait(self) -> list[ArchiveLine]:
        outbox = outbox_of(self.settings)
        waiting = outbox.waiting()
        numbers = {line.job_id: line.number_text for line in self.store.jobs()} if waiting else {}
        return [
            ArchiveLine(
                job_id=path.parent.name, number_text=numbers.get(path.parent.name, path.name), revision=0,
                pack_digest="", state_text=outbox.said_to(path), archived=False, file=path,
            )
            for path in waiting
            if path.parent.name in numbers
        ]  # fmt: skip

    def courier(self) -> Courier:
        """Who carries to the archive; Refusal where none was named."""
        from app.desk.archive.courier import Courier

        demand_real(self.settings, "nothing goes to the archive from here")
        place_text = self.archive_place()
        if not place_text:
            raise Refusal("Everything is kept here. No archive is named yet: name it in the settings.")
        return Courier(
            place_text,
            trust=self.trust(),
            seen=self.settings.folder / SEEN_FILE,
            device_text=f"{platform.node() or 'laptop'} ({self.store.device_id[:8]})",
            clock=self._clock,
        )

    def archive_round(self, passed: int = 0) -> Round | None:
        """What waits, as far as one round carries it, from the place in the queue where the last one ended.

        None where nothing waits, or no archive is named. A pack that cannot be read here is said to be so,
        and holds nobody up.
        """
        waiting = self.archive_queue() if self.archive_place() else []
        if not waiting or self.store.read_only:
            return None
        courier = self.courier()
        found: list[tuple[ArchiveLine, Parcel]] = []
        for line in waiting[passed:] or waiting:
            if len(found) < AT_ONCE and (parcel := self._parcel_or_note(line)) is not None:
                found.append((line, parcel))
        return Round(
            lines=tuple(line for line, _ in found), parcels=tuple(one for _, one in found), courier=courier
        )

    def _parcel_or_note(self, line: ArchiveLine) -> Parcel | None:
        """The pack of a line; None where it cannot be read, which is written down once."""
        from app.desk.archive.courier import Carried

        try:
            return self.parcel_of(line)
        except (StoreProblem, Altered, CannotTell, JobFileProblem) as problem:
            said = Carried(digest_hex=line.pack_digest, state="refused", sentence_text=problem.sentence)
            self.note_carried([(line, said)])
            return None

    def parcel_of(self, line: ArchiveLine) -> Parcel:
        """The pack of an issued revision, or a file for the office, as it goes to the archive."""
        from app.desk.archive.courier import Parcel
        from app.record.canonical import digest
        from app.record.pack import read_pack

        if line.file is not None:
            return Parcel(data=signedfile.load(line.file), record_digest=None)
        kept = [one for one in self.store.attachments(line.job_id) if one.digest == line.pack_digest]
        if not kept:
            raise CannotTell(f"The pack of revision {line.revision} is missing from the store.")
        data = self.store.attachment_bytes(kept[0])
        return Parcel(data=data, record_digest=digest(read_pack(data).record))

    def note_carried(self, carried: Sequence[tuple[ArchiveLine, Carried]]) -> int:
        """Write down what the archive said; how many revisions became archived."""
        archived = 0
        for line, told in carried:
            if told.state == "waiting" or (told.sentence_text, told.state == "archived") == (
                line.state_text,
                line.archived,
            ):
                continue
            if line.file is not None:
                self._note_file(line.file, told)
                continue
            its = self._of(line.job_id)
            to = {"sentence_text": told.sentence_text}
            if told.receipt is not None and told.receipt_signature is not None:
                to |= {"receipt": spelled(told.receipt), "receipt_signature": spelled(told.receipt_signature)}
            kind = ARCHIVED if told.state == "archived" else NOT_ARCHIVED
            self.store.append(line.job_id, self._act(kind, its.job, {"revision": line.revision}, None, to))
            archived += told.state == "archived"
        return archived

    def _note_file(self, file: Path, told: Carried) -> None:
        """What was passed on waits no more; what was refused waits on, with the reason beside it."""
        outbox = outbox_of(self.settings)
        if told.state == "passed on":
            outbox.put_away(file)
        else:
            outbox.say(file, told.sentence_text)
