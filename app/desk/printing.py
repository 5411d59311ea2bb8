"""Verbs around paper: the sheet as the bytes that are shown and printed, and the note that it was printed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from app.desk.papers import PaperVerbs
from app.desk.states import row_of
from app.desk.view import Change

Standing = Literal["draft", "frozen", "signed"]


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetPdf:
    """A sheet as it would leave the desk now; `revisions` are the frozen ones that can be asked for."""

    job_id: str
    number_text: str
    title_text: str
    data: bytes
    revision: int
    standing: Standing
    revisions: tuple[int, ...]
    open_for_draft: bool


class PrintVerbs(PaperVerbs):
    """What goes to a screen or a printer."""

    def sheet_pdf(self, job_id: str, *, revision: int | None = None) -> SheetPdf:
        """The sheet as bytes: of a signed revision those that were signed, else as it would be written now.

        A job that is not on the table is put back when its sheet is made.
        """
        was_open = job_id in self._open
        its = self._of(job_id)
        try:
            standing: Standing
            locked = row_of(its.job.state).locked and bool(its.revisions)
            if revision is None and locked:
                revision = its.revisions[-1].revision
            data, standing = self._signed_sheet(job_id, revision), "signed"
            if data is None:
                from app.report.sheet import render

                made = self.sheet_input(job_id, revision=revision)
                data, standing = render(made), "frozen" if made.frozen else "draft"
                revision = made.revision
            assert revision is not None
            return SheetPdf(
                job_id=job_id,
                number_text=its.job.header.number_text,
                title_text=its.job.header.title_text,
                data=data,
                revision=revision,
                standing=standing,
                revisions=tuple(line.revision for line in its.revisions),
                open_for_draft=not locked,
            )
        finally:
            if not was_open:
                self.close_job(job_id)

    def note_printed(self, job_id: str, *, revision: int, standing: Standing, words: str) -> Change:
        """Keep in the trail that a sheet went to a printer; `words` name pages, copies and printer.

        It can be noted of a frozen job too: nothing in the job changes. Raises Refusal or StoreProblem where
        the store takes nothing.
        """
        was_open = job_id in self._open
        its = self._of(job_id)
        which = "draft" if standing == "draft" else f"revision {revision}, {standing}"
        to = {"printed_text": f"{which}: {words}"}
        try:
            self.store.append(job_id, self._act("print", its.job, {"job_id": job_id}, None, to))
            return self._changed(its, frozenset())
        finally:
            if not was_open:
                self.close_job(job_id)
