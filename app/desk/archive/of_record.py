"""What only the signed record of an archived core knows: its references, and how well its meters measured."""

from __future__ import annotations

from typing import TYPE_CHECKING

from app.jobstore.archive import ArchiveProblem
from app.record.revision import from_bytes
from ctcore.job import places
from ctcore.judge import scene_of, takes_of_record
from ctcore.judgement.excitation_curve import CurveView, measured
from ctcore.procedures import PROCEDURES
from ctcore.takes import takes_of

if TYPE_CHECKING:
    from app.jobstore.archive import Archive, KeptCurve
    from ctcore.job import Job

_TEST = next(one for one in PROCEDURES if one.curve == "excitation")


class RecordsInHand:
    """The records of one look at the archive, each read once."""

    def __init__(self, archive: Archive) -> None:
        self._archive = archive
        self._jobs: dict[str, Job | None] = {}

    def job(self, record_digest: str) -> Job | None:
        """The job as it was signed; None where the archive holds no such record any more.

        ArchiveProblem where the archive does not answer.
        """
        if record_digest not in self._jobs:
            self._jobs[record_digest] = self._read(record_digest)
        return self._jobs[record_digest]

    def view(self, kept: KeptCurve) -> CurveView | None:
        """A curve as its own record judges it, with the uncertainty of its meters; None without a record."""
        job = self.job(kept.record_digest)
        core_id = next(
            (one.core_id for one in self._archive.cores_of(kept.leaf_no) if one.core_no == kept.core_no), ""
        )
        place = next((one for one in places(job) if one.core.core_id == core_id), None) if job else None
        if job is None or place is None:
            return None
        takes = takes_of([entry for entry in job.readings if entry.core_id == core_id])
        scene = scene_of(job, place, takes)
        for take in takes_of_record(takes.get((core_id, _TEST.procedure_id), ()), _TEST):
            tap = place.core.tap(take.method.cell("tap_id").value_text or "")
            if (tap.terminals_text if tap else "") == kept.terminals_text:
                return measured(scene, take)
        return None

    def _read(self, record_digest: str) -> Job | None:
        try:
            return from_bytes(self._archive.papers(record_digest).record).job
        except ArchiveProblem as problem:
            if not problem.reachable:
                raise
            return None
