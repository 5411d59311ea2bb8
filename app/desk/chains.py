"""What lies beside the readings of a job: events that came with files, signed sheets, packs of issues.

Events of other devices are kept as the very bytes they came in, in a file attached to the job: copied
unchanged, bound by the event that attached them, and never mixed into this device's own chain.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import Final

from app import progress
from app.desk.core import DeskCore
from app.desk.journey import Journey, journey_of
from app.jobstore import Attachment, Store, StoredRevision, StoreProblem
from app.record import pack as packing
from app.record import trail as trail_files
from app.record.act import ChainHead, Event
from app.record.canonical import digest
from app.record.papers import Papers
from app.record.problem import Altered, CannotTell

EVENTS_TYPE: Final = "application/vnd.coreleaf.events+json"
SHEET_TYPE: Final = "application/pdf"
PACK_TYPE: Final = "application/zip"


def tested_name(revision: int) -> str:
    """The name under which the sheet with the tester's signature is kept."""
    return f"revision-{revision}-tested.pdf"


def approved_name(revision: int) -> str:
    """The name under which the sheet with both signatures is kept."""
    return f"revision-{revision}-approved.pdf"


class ChainCore(DeskCore):
    """Reading and keeping what came along with a job."""

    def chain_heads(self, job_id: str) -> tuple[ChainHead, ...]:
        """The newest head of every chain that touched the job, this store's own first."""
        heads = {head.device_id: head for head in self.store.heads()}
        for event in self._events_of(job_id):
            known = heads.get(event.device_id)
            if known is None or known.n < event.n:
                heads[event.device_id] = ChainHead(event.device_id, event.n, event.head)
        return tuple(heads.values())

    def _events_of(self, job_id: str) -> list[Event]:
        """The events of the job: this store's own, and those that came with files."""
        return events_of(self.store, job_id)

    def _attach(self, job_id: str, name_text: str, data: bytes, media_type: str) -> Attachment:
        """Keep bytes beside the job; the same bytes under the same name are kept once."""
        wanted = digest(data)
        for one in self.store.attachments(job_id):
            if (one.name_text, one.digest) == (name_text, wanted):
                return one
        progress.write_whole()
        act = self._act("attach", self._of(job_id).job, {"job_id": job_id}, None, name_text)
        return self.store.add_attachment(
            job_id, data, name_text=name_text, media_type=media_type, core_id="", procedure_id="", act=act
        )


class StorePapers:
    """A store as a check of files asks for it: its faults, and the papers of every frozen revision."""

    def __init__(self, store: Store) -> None:
        self._store = store

    def faults(self) -> list[str]:
        """A sentence for everything that is not what the events say."""
        return self._store.faults()

    def events(self) -> Sequence[Event]:
        """The trail of this store."""
        with _told():
            return self._store.events()

    def papers(self) -> Sequence[Papers]:
        """The papers of every frozen revision, as far as they go. CannotTell where they cannot be read."""
        with _told():
            return [
                papers_of(self._store, line.job_id, revision)
                for line in self._store.jobs()
                for revision in self._store.revisions(line.job_id)
            ]


@contextmanager
def _told() -> Iterator[None]:
    """What a store says that cannot be read, as a check takes it."""
    try:
        yield
    except StoreProblem as problem:
        raise CannotTell(problem.sentence) from problem


def events_of(store: Store, job_id: str) -> list[Event]:
    """The events of a job, each once: the store's own first, then those that came with files."""
    found = {(event.device_id, event.n): event for event in store.events(job_id)}
    for attachment in store.attachments(job_id):
        if attachment.media_type == EVENTS_TYPE:
            for event in trail_files.from_bytes(store.attachment_bytes(attachment)):
                found.setdefault((event.device_id, event.n), event)
    return list(found.values())


def papers_of(store: Store, job_id: str, revision: StoredRevision, journey: Journey | None = None) -> Papers:
    """Everything signed about a revision: the pack of its issue, else what there is of it so far."""
    journey = journey or journey_of(store.events(job_id))
    wanted = journey.packs.get(revision.revision)
    if wanted is not None:
        found = next((one for one in store.attachments(job_id) if one.digest == wanted), None)
        if found is None:
            raise CannotTell(f"The pack of revision {revision.revision} is missing from the store.")
        papers = packing.read_pack(store.attachment_bytes(found))
        if papers.record != revision.record_bytes:
            raise Altered(f"The pack of revision {revision.revision} is that of another record.")
        return papers
    # A sheet counts with its signature over the record alone: signing may have broken off between the two.
    number = revision.revision
    kept = ((approved_name(number), journey.approved), (tested_name(number), journey.tested))
    names = [name for name, signed in kept if number in signed and name in journey.sheets]
    named = journey.sheets[names[0]] if names else None
    sheet = next((one for one in store.attachments(job_id) if one.digest == named), None)
    return Papers(
        record=revision.record_bytes,
        tested=journey.tested.get(revision.revision),
        approved=journey.approved.get(revision.revision),
        sheet=None if sheet is None else store.attachment_bytes(sheet),
    )
