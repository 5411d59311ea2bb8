"""Verbs of the laptop: what waits for the archive, and what the archive said, written into the trail."""

from __future__ import annotations

import platform
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from app.desk.chains import ChainCore
from app.desk.journey import journey_of, spelled
from app.desk.keys import KeyVerbs
from app.desk.training import demand_real
from app.desk.view import Refusal

if TYPE_CHECKING:
    from app.desk.archive.courier import Carried, Courier, Parcel

ARCHIVED, NOT_ARCHIVED = "archived", "not_archived"
SEEN_FILE: Final = "archive-seen.json"


@dataclass(frozen=True, slots=True, kw_only=True)
class ArchiveLine:
    """One issued revision on its way to the archive; `state_text` is what is known of it."""

    job_id: str
    number_text: str
    revision: int
    pack_digest: str
    state_text: str
    archived: bool


class SendVerbs(KeyVerbs, ChainCore):
    """What a laptop does with the archive. The queue is the trail itself: issued, and no receipt yet."""

    def archive_place(self) -> str:
        """Where the archive is; empty where none was named."""
        return self.settings.get("archive_place_text")

    def archive_queue(self, *, all_of_them: bool = False) -> list[ArchiveLine]:
        """The issued revisions that are not archived; all that were issued with `all_of_them`."""
        found = []
        for line in self.store.jobs():
            said: dict[int, tuple[bool, str]] = {}
            events = self.store.events(line.job_id)
            for event in events:
                if event.act.kind in (ARCHIVED, NOT_ARCHIVED) and isinstance(event.act.to, dict):
                    its = event.act.kind == ARCHIVED, str(event.act.to.get("sentence_text", ""))
                    said[int(event.act.where["revision"])] = its
            for revision, digest_hex in sorted(journey_of(events).packs.items()):
                archived, state_text = said.get(revision, (False, ""))
                if all_of_them or not archived:
                    found.append(
                        ArchiveLine(
                            job_id=line.job_id,
                            number_text=line.number_text,
                            revision=revision,
                            pack_digest=digest_hex,
                            state_text=state_text,
                            archived=archived,
                        )
                    )
        return found

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

    def parcel_of(self, line: ArchiveLine) -> Parcel:
        """The pack of an issued revision, as it goes to the archive."""
        from app.desk.archive.courier import Parcel
        from app.record.canonical import digest
        from app.record.pack import read_pack

        kept = next(one for one in self.store.attachments(line.job_id) if one.digest == line.pack_digest)
        data = self.store.attachment_bytes(kept)
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
            its = self._of(line.job_id)
            to = {"sentence_text": told.sentence_text}
            if told.receipt is not None and told.receipt_signature is not None:
                to |= {"receipt": spelled(told.receipt), "receipt_signature": spelled(told.receipt_signature)}
            kind = ARCHIVED if told.state == "archived" else NOT_ARCHIVED
            self.store.append(line.job_id, self._act(kind, its.job, {"revision": line.revision}, None, to))
            archived += told.state == "archived"
        return archived
