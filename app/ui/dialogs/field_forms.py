"""Blank forms for the field: of what, on which paper, and where the PDF goes."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from app.desk.folder import safe_name
from app.ui.dialogs.papers import DoneDialog
from app.ui.dialogs.path import PathDialog, in_folder
from app.ui.shell.titles import place_of
from app.ui.texts import text
from app.words import procedure_in_words
from ctcore.job import Place
from ctcore.procedures import planned, procedure

if TYPE_CHECKING:
    from app.report.forms import Forms
    from app.ui.window import MainWindow


class FieldFormsDialog(PathDialog):
    """Asks first for the cores and tests, the ones in hand among the answers, then for the file."""

    def __init__(self, window: MainWindow) -> None:
        view = window.session.view
        assert view is not None
        name = f"{safe_name(view.job.header.number_text)} {text('field_forms.ending')}.pdf"
        super().__init__(
            text("field_forms.heading"), text("field_forms.intro"), main=text("field_forms.main"),
            saving=True, start=window.settings.folder / "sheets" / name, kind="*.pdf", parent=window,
        )  # fmt: skip
        self._window, self._job_id = window, view.job.job_id
        core_id, self._procedure_id = window.place
        self._place = place_of(view, core_id)
        self.cores = self.add_field(text("field_forms.cores"), "job", choices=self._scopes())
        self.tests = self.add_field(text("field_forms.tests"), "all", choices=self._tests())
        self.paper = self.add_field(
            text("field_forms.paper"), view.job.header.paper,
            choices=[("A4", text("print.a4")), ("Letter", text("print.letter"))],
        )  # fmt: skip
        # The file is asked for last.
        self.form.fields.append(self.form.fields.pop(0))
        self.body.addWidget(self.field)
        self.path_chosen.connect(self._write)

    def _scopes(self) -> list[tuple[str, str]]:
        scopes = [("job", text("field_forms.job"))]
        if self._place is not None:
            name = f"{self._place.position.name_text} {self._place.ct.phase_text}".strip()
            scopes.append(("ct", text("field_forms.ct", name=name)))
            scopes.append(("core", text("field_forms.core", name=name, number=self._place.core.number)))
        return scopes

    def _tests(self) -> list[tuple[str, str]]:
        tests = [("all", text("field_forms.all_tests"))]
        if self._place is not None and self._procedure_id:
            test = procedure(self._procedure_id)
            if test in planned(self._place.core):
                name = procedure_in_words(test).name
                tests.append((test.procedure_id, text("field_forms.one_test", name=name)))
        return tests

    def _core_ids(self, place: Place) -> tuple[str, ...]:
        if self.cores.value() == "job":
            return ()
        if self.cores.value() == "core":
            return (place.core.core_id,)
        return tuple(core.core_id for core in place.ct.cores)

    def _write(self, path: Path) -> None:
        core_ids = self._core_ids(self._place) if self._place is not None else ()
        test, paper = self.tests.value(), self.paper.value()

        tests = () if test == "all" else (test,)
        window, job_id = self._window, self._job_id

        def come(made: Forms) -> None:
            self.accept()
            done, main = text("field_forms.done"), text("sheet.open")
            DoneDialog(done, path, main=main, window=window).open()
            window.session.fetch(
                lambda desk: desk.note_forms(job_id, made, core_ids=core_ids),
                done=window.session.take,
                refused=lambda reason: window.bar.say(text("field_forms.not_noted", reason=reason)),
            )

        window.works.made(
            "field_forms",
            lambda desk: desk.forms_writer(
                job_id, in_folder(path), core_ids=core_ids, procedure_ids=tests, paper=paper
            ),
            done=come,
            refused=self.refuse,
            aside=self,
        )
