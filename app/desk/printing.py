"""Verbs around paper: the sheet as the bytes that are shown and printed, and the note that it was printed."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Collection, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from app import progress
from app.desk.core import OpenJob
from app.desk.papers import PaperVerbs, next_revision
from app.desk.states import row_of
from app.desk.view import Change
from app.record.files import write_whole

if TYPE_CHECKING:
    from app.report.forms import Forms
    from app.report.sheet import SheetInput

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
        """The sheet as bytes: of a signed revision the signed ones, else as it would be written now."""
        return self.sheet_maker(job_id, revision=revision)()

    def sheet_maker(self, job_id: str, *, revision: int | None = None) -> Callable[[], SheetPdf]:
        """What makes that sheet from the job as it stands now, on any thread: it asks the store for nothing.

        A job that is not on the table is put back before.
        """
        with self._put_back_after(job_id) as its:
            standing: Standing = "signed"
            make: Callable[[], SheetInput] | None = None
            locked = row_of(its.job.state).locked and bool(its.revisions)
            if revision is None and locked:
                revision = its.revisions[-1].revision
            data = self._signed_sheet(job_id, revision)
            if data is None:
                make, standing = (
                    self._input_maker(job_id, revision),
                    "draft" if revision is None else "frozen",
                )
                revision = revision or next_revision(its)
            assert revision is not None
            sheet = SheetPdf(
                job_id=job_id,
                number_text=its.job.header.number_text,
                title_text=its.job.header.title_text,
                data=data or b"",
                revision=revision,
                standing=standing,
                revisions=tuple(line.revision for line in its.revisions),
                open_for_draft=not locked,
            )
            return lambda: sheet if make is None else _drawn(sheet, make())

    def note_printed(self, job_id: str, *, revision: int, standing: Standing, words: str) -> Change:
        """Keep in the trail that a sheet went to a printer; `words` name pages, copies and printer.

        It can be noted of a frozen job too: nothing in the job changes. Raises Refusal or StoreProblem where
        the store takes nothing.
        """
        which = "draft" if standing == "draft" else f"revision {revision}, {standing}"
        to = {"printed_text": f"{which}: {words}"}
        with self._put_back_after(job_id) as its:
            self.store.append(job_id, self._act("print", its.job, {"job_id": job_id}, None, to))
            return self._changed(its, frozenset())

    def field_forms(
        self,
        job_id: str,
        path: Path,
        *,
        core_ids: Collection[str] = (),
        procedure_ids: Collection[str] = (),
        paper: str = "",
    ) -> Change:
        """Write blank forms of cores and tests, prefilled from plate and limits; nothing named means all.

        The trail keeps their number, so that what is keyed from them later can be traced. Raises OSError
        where the place cannot be written, BadInput where nothing asked for is planned.
        """
        write = self.forms_writer(job_id, path, core_ids=core_ids, procedure_ids=procedure_ids, paper=paper)
        return self.note_forms(job_id, write(), core_ids=core_ids)

    def forms_writer(
        self,
        job_id: str,
        path: Path,
        *,
        core_ids: Collection[str],
        procedure_ids: Collection[str],
        paper: str,
    ) -> Callable[[], Forms]:
        """What writes those forms of the job as it stands now, on any thread, without the store."""
        job = self._of(job_id).job

        def write() -> Forms:
            from app.report.forms import FormsInput, render  # drawing is imported when it is asked for

            made = render(FormsInput(job, tuple(sorted(core_ids)), tuple(sorted(procedure_ids)), paper))
            progress.write_whole()
            write_whole(path, made.data)
            return made

        return write

    def note_forms(self, job_id: str, made: Forms, *, core_ids: Collection[str]) -> Change:
        """Keep in the trail the number of forms that were written. Raises StoreProblem where it cannot."""
        pages = f"{made.page_count} page{'' if made.page_count == 1 else 's'}"
        note = f"Field forms {made.number} are written: {pages}, to be printed."
        with self._put_back_after(job_id) as its:
            if not self.store.read_only:
                where: dict[str, object] = {"job_id": job_id, "core_ids": sorted(core_ids)}
                to = {"forms_text": f"number {made.number}, {pages}"}
                self.store.append(job_id, self._act("field_forms", its.job, where, None, to))
            return self._changed(its, frozenset(), note_text=note)

    @contextmanager
    def _put_back_after(self, job_id: str) -> Iterator[OpenJob]:
        """The job; one that is not on the table is put back."""
        was_open = job_id in self._open
        try:
            yield self._of(job_id)
        finally:
            if not was_open:
                self.close_job(job_id)


def _drawn(sheet: SheetPdf, made: SheetInput) -> SheetPdf:
    from app.report.sheet import render  # drawing is imported when it is asked for

    return dataclasses.replace(sheet, data=render(made))
