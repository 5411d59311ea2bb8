"""Plates of a whole board out of a list: what the columns were taken for, what each row gives, then Enter."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Final

from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QGridLayout

from app.desk.core import new_id
from app.exchange import mappings, plates, tables
from app.exchange.plates import PlatesPreview
from app.exchange.tables import Table
from app.ui.dialogs.frame import DialogFrame
from app.ui.dialogs.path import browse_for
from app.ui.models.plates import PlatesModel
from app.ui.shell.fields import FormField
from app.ui.shell.lettering import Words
from app.ui.shell.ruled_table import RuledTable
from app.ui.texts import text

if TYPE_CHECKING:
    from app.ui.window import MainWindow

KIND: Final = "plates"
_ABREAST: Final = 4


class PlatesDialog(DialogFrame):
    """Shows how the list is understood; a column can be said to hold something else."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(
            text("plates_in.heading"), main=text("plates_in.main"), intro=text("plates_in.intro"),
            width=1180, parent=window,
        )  # fmt: skip
        self._window = window
        self.table: Table | None = None
        self.seen = PlatesPreview()
        self.path = self.add_field(text("plates_in.file"))
        self.path.kept.connect(self._read_file)
        self.columns: list[FormField] = []
        self._grid = QGridLayout()
        self._grid.setSpacing(8)
        self.body.addLayout(self._grid)
        self.summary = Words(role="value", bold=True)
        self.notes = Words(role="second")
        self.model = PlatesModel(self)
        self.rows = RuledTable()
        self.rows.setModel(self.model)
        self.rows.setAccessibleName(text("plates_in.heading"))
        self.rows.setMinimumHeight(220)
        for part in (self.summary, self.notes, self.rows):
            self.body.addWidget(part)
            part.hide()
        paste = self.add_button(text("plates_in.paste"), "Alt+V")
        paste.answer_key()
        paste.clicked.connect(self.paste)
        browse = self.add_button(text("plates_in.browse"), "Alt+B")
        browse.answer_key()
        browse.clicked.connect(lambda: browse_for(self, self.path.value(), self._read_chosen))
        self.confirmed.connect(self._take)

    # Where the list comes from

    def paste(self) -> None:
        """Take the cells of the clipboard."""
        clipboard = QGuiApplication.clipboard()
        held = clipboard.mimeData()
        if not held.hasText():
            self.say(text("plates_in.picture" if held.hasImage() else "plates_in.no_text"))
            return
        self._look(tables.from_text(clipboard.text()))

    def _read_chosen(self, path: str) -> None:
        self.path.line.setText(path)
        self._read_file(path)

    def _read_file(self, typed: str) -> None:
        if not typed:
            return
        path, comma = Path(typed).expanduser(), self._window.settings.decimal_comma()
        self.path.note(text("plates_in.reading"))
        self._window.session.fetch(
            lambda _desk: tables.from_file(path, decimal_comma=comma), done=self._took, refused=self._refuse
        )

    def _took(self, table: Table) -> None:
        self.path.note("")
        self._look(table)

    def _refuse(self, sentence: str) -> None:
        self.path.say(sentence)
        self.fit()

    # How it is understood

    def _look(self, table: Table) -> None:
        if table.refusal_text:
            self.say(table.refusal_text)
            return
        self.say("")
        self.table = table
        headings = table.rows[0]
        names = mappings.remembered(self._window.settings.folder, KIND, headings) or plates.guess(headings)
        self._ask_columns(table, names)
        self._show()

    def _ask_columns(self, table: Table, names: list[str]) -> None:
        for field in self.columns:
            self.form.fields.remove(field)
            field.hide()
            field.deleteLater()
        choices = [("", text("plates_in.left_out")), *((row.name, row.words) for row in plates.FIELDS)]
        self.columns = []
        for number, (heading, name) in enumerate(zip(table.rows[0], names, strict=True)):
            sample = next((row[number] for row in table.rows[1:] if row[number]), "–")
            words = heading or text("plates_in.unnamed", number=number + 1)
            field = FormField(text("plates_in.column", heading=words, sample=sample), choices=choices)
            field.show_text(dict(choices)[name])
            field.kept.connect(lambda _value: self._show())
            self.columns.append(self.form.adopt(field))
            self._grid.addWidget(field, number // _ABREAST, number % _ABREAST)
            field.show()

    def _show(self) -> None:
        if self.table is None:
            return
        view = self._window.session.view
        assert view is not None
        self.seen = plates.preview(
            self.table,
            mapping=[field.value() for field in self.columns],
            decimal_comma=self._window.settings.decimal_comma(),
            new_id=new_id,
            phase_names=view.job.phase_names,
        )
        self.model.put(self.seen)
        for column in range(self.model.columnCount()):
            self.rows.setColumnWidth(column, (70, 300)[column] if column < 2 else 140)
        self.summary.setText(self.seen.refusal_text or self._summary())
        self.notes.setText(" ".join(self.seen.notes))
        self.summary.show()
        self.notes.setVisible(bool(self.seen.notes))
        self.rows.setVisible(bool(self.seen.rows))
        self.fit()

    def _summary(self) -> str:
        seen = self.seen
        return text(
            "plates_in.summary", positions=len(seen.positions), cores=seen.core_count,
            refused=seen.refused_count, rows=len(seen.rows),
        )  # fmt: skip

    # Taking it

    def _take(self) -> None:
        if self.table is None:
            # Enter in the field of the file reads it; what is wrong with it is said there.
            self.say("" if self.path.value() else text("plates_in.first"))
            return
        self._show()
        if self.seen.refusal_text or not self.seen.core_count:
            self.say(self.seen.refusal_text or text("plates_in.nothing"))
            return
        headings = self.table.rows[0]
        mappings.remember(
            self._window.settings.folder, KIND, headings, [field.value() for field in self.columns]
        )
        positions = [position for position in self.seen.positions if position.cts]
        self._window.session.do(
            self._window.works.watched(
                "import_plates", lambda desk, job_id: desk.add_plates(job_id, positions), aside=self
            ),
            refused=self.say,
            done=lambda _change: self._taken(),
        )

    def _taken(self) -> None:
        self.accept()
        self._window.deeds.board()
