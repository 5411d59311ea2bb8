"""Photographs and certificates of a job: kept beside the store, named in the job with their digest.

One that was attached by mistake is struck with a reason: its line and its bytes stay with the job.
"""

from __future__ import annotations

import dataclasses
from pathlib import Path

from app.desk.carrying import CarryCore
from app.desk.outline import OutlineVerbs
from app.desk.view import Change, Refusal
from app.exchange.pictures import MOST_BYTES, kind_of
from app.jobstore import StoreProblem, changes
from app.record.canonical import digest
from ctcore.evidence import Attached


class AttachVerbs(OutlineVerbs, CarryCore):
    """Attach files, strike them, read them."""

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
        note = f"{path.name} is attached." + self._carried(new)[1]
        return self._changed(its, frozenset(), outline_changed=True, note_text=note)

    def strike_attached(self, job_id: str, attached: Attached, reason_text: str) -> Change:
        """Strike an attached file with a reason; line and bytes stay, and the sheet prints it as struck."""
        its = self._of(job_id)
        self._demand_open(its)
        if not reason_text.strip():
            raise Refusal("An attached file is struck with a reason. Nothing was changed.")
        if attached not in its.job.attached or attached.struck_text:
            raise Refusal(f"{attached.name_text} is not attached here, or is struck already.")
        struck = dataclasses.replace(attached, struck_text=reason_text.strip())
        files = tuple(struck if one == attached else one for one in its.job.attached)
        new = dataclasses.replace(its.job, attached=files)
        where: dict[str, object] = {"core_id": attached.core_id, "procedure_id": attached.procedure_id}
        told = [attached.name_text, attached.digest_hex]
        parts, _ = changes(its.job, new)
        act = self._act("strike_attached", its.job, where, told, struck.struck_text)
        self.store.append(job_id, act, parts=parts)
        its.job = new
        note = f"{attached.name_text} is struck; it stays with the job."
        return self._changed(its, frozenset(), outline_changed=True, note_text=note)

    def attached_bytes(self, job_id: str, attached: Attached) -> bytes:
        """The bytes of an attached file; StoreProblem where they are missing or no longer the same."""
        for one in self.store.attachments(job_id):
            if one.digest == attached.digest_hex:
                return self.store.attachment_bytes(one)
        raise StoreProblem(
            f"Your readings are saved. {attached.name_text} did not come along with this job: ask who "
            "attached it for the file."
        )
