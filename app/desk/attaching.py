"""Photographs and certificates of a job: kept beside the store, named in the job with their digest."""

from __future__ import annotations

import dataclasses
from pathlib import Path

from app.desk.outline import OutlineVerbs
from app.desk.view import Change, Refusal
from app.exchange.pictures import MOST_BYTES, kind_of
from app.jobstore import changes
from app.record.canonical import digest
from ctcore.job import Attached


class AttachVerbs(OutlineVerbs):
    """Attach files."""

    def attach(self, job_id: str, path: Path, *, core_id: str = "", procedure_id: str = "") -> Change:
        """Attach a file to a core or a step; what it is decides its contents, not its name."""
        its = self._of(job_id)
        self._demand_open(its)
        try:
            size = path.stat().st_size
            # A file too large is not even read.
            data = path.read_bytes() if size <= MOST_BYTES else b""
        except OSError as problem:
            raise Refusal(
                f"{path.name} cannot be read ({problem.strerror or problem}). Nothing was changed."
            ) from problem
        if size > MOST_BYTES:
            raise Refusal(
                f"{path.name} has {size} bytes; at most {MOST_BYTES} are taken. Nothing was changed."
            )
        kind = kind_of(data, path.name)
        made = Attached(
            name_text=path.name,
            media_type=kind.media_type,
            digest_hex=digest(data),
            core_id=core_id,
            procedure_id=procedure_id,
        )
        if made in its.job.attached:
            return self._changed(its, frozenset(), note_text=f"{path.name} is attached here already.")
        new = dataclasses.replace(its.job, attached=(*its.job.attached, made))
        where: dict[str, object] = {"core_id": core_id, "procedure_id": procedure_id}
        act = self._act("attach", its.job, where, None, [made.name_text, made.digest_hex])
        parts, _ = changes(its.job, new)
        self.store.add_attachment(
            job_id, data, name_text=path.name, media_type=kind.media_type, core_id=core_id,
            procedure_id=procedure_id, act=act, parts=parts,
        )  # fmt: skip
        its.job = new
        return self._changed(its, frozenset(), outline_changed=True, note_text=f"{path.name} is attached.")
