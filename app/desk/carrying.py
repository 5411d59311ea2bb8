"""Attached files on their way: which go along with a job, and which of those that came are kept."""

from __future__ import annotations

from collections.abc import Mapping

from app.desk.chains import ChainCore
from app.exchange.pictures import kind_of
from app.jobstore import StoreProblem
from app.record.carried import LARGEST_TOGETHER, name_of
from ctcore.errors import BadInput
from ctcore.evidence import Attached
from ctcore.job import Job


class CarryCore(ChainCore):
    """Attached files out of the store into a file, and back."""

    def _carried(self, job: Job) -> tuple[dict[str, bytes], str]:
        """The attached files by the name under which they travel; a sentence for those that stay behind."""
        kept = {one.digest: one for one in self.store.attachments(job.job_id)}
        found: dict[str, bytes] = {}
        behind: dict[str, str] = {}
        room = LARGEST_TOGETHER
        for one in job.attached:
            if name_of(one) in found:
                continue
            try:
                data = self.store.attachment_bytes(kept[one.digest_hex]) if one.digest_hex in kept else None
            except StoreProblem:
                data = None
            if data is None:
                behind[one.name_text] = "missing or altered in this store"
            elif len(data) > room:
                behind[one.name_text] = f"more than {LARGEST_TOGETHER // 1_000_000} MB together"
            else:
                found[name_of(one)] = data
                room -= len(data)
        return found, _listed("Attached files that do not go along", behind)

    def _keep_carried(self, job: Job, files: Mapping[str, bytes]) -> str:
        """Keep the attached files that came along, as they were proved; a sentence for those that did not."""
        here = {(one.name_text, one.digest) for one in self.store.attachments(job.job_id)}
        missed: dict[str, str] = {}
        for one in job.attached:
            if (one.name_text, one.digest_hex) in here:
                continue
            data = files.get(name_of(one))
            reason = "" if data is not None else "not in the file"
            try:
                if data is not None and kind_of(data, one.name_text).media_type != one.media_type:
                    reason = "another kind of file than the record says"
            except BadInput as problem:
                reason = problem.reason
            if data is None or reason:
                missed[one.name_text] = reason
            else:
                self._attach_carried(job, one, data)
        return _listed("Attached files that did not come along", missed)

    def _attach_carried(self, job: Job, one: Attached, data: bytes) -> None:
        where: dict[str, object] = {"core_id": one.core_id, "procedure_id": one.procedure_id}
        self.store.add_attachment(
            job.job_id, data, name_text=one.name_text, media_type=one.media_type, core_id=one.core_id,
            procedure_id=one.procedure_id,
            act=self._act("attach", job, where, None, [one.name_text, one.digest_hex]),
        )  # fmt: skip


def _listed(beginning: str, reasons: Mapping[str, str]) -> str:
    said = ", ".join(f"{name} ({reason})" for name, reason in reasons.items())
    return f" {beginning}: {said}." if said else ""
