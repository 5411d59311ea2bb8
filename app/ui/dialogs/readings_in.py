"""A block of readings out of the clipboard or a file: what each column was taken for, then Enter keeps it."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from PySide6.QtCore import Qt
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QGridLayout, QWidget

from app.exchange import mappings, tsv
from app.exchange.columns import ROWS, Layout
from app.exchange.tables import Table
from app.exchange.tsv import Preview
from app.ui.dialogs.frame import DialogFrame
from app.ui.dialogs.path import browse_for
from app.ui.models.block import BlockModel
from app.ui.shell.fields import FormField
from app.ui.shell.lettering import Words
from app.ui.shell.ruled_table import RuledTable
from app.ui.texts import text
from app.ui.widgets.fieldedit import unit_cycle
from app.words import figures, quantity, retold

_ABREAST: Final = 3
_MARKS: Final = {"": None, "point": False, "comma": True}
_PARTED: Final = ("\t", ";", ",")
_LONGEST_SAMPLE: Final = 18
_ROOM: Final = (76, 190, 340)

# What keeps a preview tells that it is done, or in a sentence why it is not; the block stays till then.
Kept = Callable[[Preview, Callable[[], None], Callable[[str], None]], None]
Read = Callable[[Path, bool | None, str, Callable[[Table], None], Callable[[str], None]], None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Target:
    """Where a block goes: a test, its columns and rows from the field in hand on, and who may have read it.

    `quantity_ids` are the columns that a block without headings fills in order, `choices` all of the table.
    `read` reads a file beside the window: path, decimal mark, what parts columns, then the two answers.
    """

    procedure_id: str
    quantity_ids: tuple[str, ...]
    choices: tuple[str, ...]
    rows: tuple[str, ...]
    row_words: dict[str, str]
    decimal_comma: bool | None
    folder: Path
    instruments: tuple[str, ...]
    read: Read


class ReadingsDialog(DialogFrame):
    """Enter keeps what is not refused, Escape keeps nothing; a column can be said to hold something else."""

    def __init__(self, parent: QWidget, target: Target, kept: Kept, *, block: str | None = None) -> None:
        name = "paste" if block is not None else "readings_in"
        super().__init__(
            text(f"{name}.title"), main=text("paste.keep"), intro=text(f"{name}.intro"), width=1120,
            parent=parent,
        )  # fmt: skip
        self._target, self._kept = target, kept
        self._block = self._known_words = ""
        self.table: Table | None = None
        self._from_file = block is None
        self.preview = Preview()
        self.columns: list[tuple[FormField, FormField]] = []
        self.summary, self.notes = Words(role="value", bold=True), Words(role="second")
        self._add_file()
        for words in (self.summary, self.notes):
            self.body.addWidget(words)
        self._add_questions()
        self._grid = QGridLayout()
        self._grid.setSpacing(8)
        self.body.addLayout(self._grid)
        self.model = BlockModel(self)
        self.cells = RuledTable()
        self.cells.setModel(self.model)
        self.cells.setAccessibleName(text("paste.cells"))
        self.cells.setMinimumHeight(200)
        self.cells.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAsNeeded)
        self.cells.chosen.connect(lambda _row: self._confirm())
        self.body.addWidget(self.cells)
        for part in (self.summary, self.notes, self.cells):
            part.hide()
        self.confirmed.connect(self._keep)
        if block is not None:
            self.look(block)

    # What is asked

    def _add_file(self) -> None:
        self.path = self.add_field(text("plates_in.file"))
        self.path.setVisible(self._from_file)
        self.path.kept.connect(lambda _typed: self._read())
        if self._from_file:
            browse = self.add_button(text("path.browse"), "Alt+B")
            browse.answer_key()
            browse.clicked.connect(lambda: browse_for(self, self.path.value(), self._chosen))

    def _add_questions(self) -> None:
        self.heading = FormField(text("readings_in.heading_line"), choices=[("0", text("readings_in.none"))])
        mark = {None: "ask", False: "point", True: "comma"}[self._target.decimal_comma]
        marks = [("", text("readings_in.mark.as_sheet", mark=text(f"readings_in.mark.{mark}")))]
        marks += [(name, text(f"readings_in.mark.{name}")) for name in ("point", "comma")]
        self.mark = FormField(text("readings_in.mark"), choices=marks)
        parted = [("", text("readings_in.parted.found"))]
        parted += [(sign, text(f"readings_in.parted.{n}")) for n, sign in enumerate(_PARTED)]
        self.parted = FormField(text("readings_in.parted"), choices=parted)
        instruments = [("", text("readings_in.nobody")), *((one, one) for one in self._target.instruments)]
        self.instrument = FormField(text("readings_in.instrument"), choices=instruments)
        for field in (self.mark, self.parted, self.instrument):
            field.show_text(field.line.choices[0][1])
        self.add_row(self.heading, self.mark, self.parted, self.instrument)
        for field in (self.heading, self.mark, self.parted, self.instrument):
            field.hide()
        self.heading.kept.connect(lambda _value: self._look_again(heading=True))
        self.mark.kept.connect(lambda _value: self._mark_told())
        self.parted.kept.connect(lambda _value: self._read())
        self.instrument.kept.connect(lambda _value: self._look_again())

    # Where the block comes from

    def _chosen(self, path: str) -> None:
        self.path.line.setText(path)
        self._read()

    def _read(self) -> None:
        if not self.path.value():
            return
        self.path.note(text("plates_in.reading"))
        comma = _MARKS[self.mark.value()] if self.mark.value() else self._target.decimal_comma
        self._target.read(
            Path(self.path.value()).expanduser(), comma, self.parted.value(), self._took, self._refused
        )

    def _took(self, table: Table) -> None:
        self.path.note("")
        again = self.table is not None and self.table.rows[:1] == table.rows[:1]
        self.table = table
        self.parted.setVisible(bool(table.mark))
        self.look(table.as_tabs(), as_told=again)
        if table.mark_in_doubt:
            self.preview = dataclasses.replace(
                self.preview, refusal_text=text("readings_in.mark_in_doubt"), rows=()
            )
            self._show()
            self.parted.line.setFocus(Qt.FocusReason.OtherFocusReason)

    def _refused(self, sentence: str) -> None:
        """What is wrong with the file stands at its field; nothing of an earlier one stays in the preview."""
        self.path.note("")
        self.path.say(sentence)
        self.table, self._block, self.preview = None, "", Preview()
        self._ask_columns([])
        self._show()

    # How it is understood

    def look(self, block: str, *, as_told: bool = False) -> None:
        """Read a block as it was understood last time under these headings, else as its words say."""
        self._block = block
        refusal, lines = tsv.lines(block)
        if refusal:
            self.preview = Preview(refusal_text=refusal)
            self._ask_columns([])
            self._show()
            return
        if as_told:
            self._look_as_told()
            return
        line, known = mappings.recognised(self._target.folder, self._target.procedure_id, lines)
        mine = [name for name in known if name in self._target.instruments]
        name = (mine or list(known) or [""])[0]
        self._offer_headings(lines)
        layout = dataclasses.replace(known[name], heading_line=line) if known else Layout()
        self._understand(layout, text("readings_in.known", name=name or text("readings_in.nobody"))
                         if known else "")  # fmt: skip
        if name in self._target.instruments:
            self.instrument.show_text(name)

    def _offer_headings(self, lines: list[list[str]]) -> None:
        choices = [("0", text("readings_in.none"))]
        for number, line in enumerate(lines[: tsv.MOST_LINES_ABOVE], start=1):
            words = _cut(", ".join(filter(None, line)), 2 * _LONGEST_SAMPLE)
            choices.append((str(number), text("readings_in.line", number=number, words=words)))
        self.heading.offer(choices, "0")

    def _understand(self, layout: Layout, known_words: str = "") -> None:
        """Take a layout, and show what it makes of the block in the fields of the columns."""
        self._known_words = known_words
        if layout.decimal_comma is not None:
            self.mark.show_text("comma" if layout.decimal_comma else "point")
        elif _MARKS[self.mark.value()] is not None:
            layout = dataclasses.replace(layout, decimal_comma=_MARKS[self.mark.value()])
        self.preview = self._seen(layout)
        self.heading.show_text(str(self.preview.heading_line))
        self._ask_columns(
            [
                (column.heading_text, ROWS if column.taken_by == "rows" else column.quantity_id or "",
                 column.unit)
                for column in self.preview.columns
            ]
        )  # fmt: skip
        self._show()

    def _seen(self, layout: Layout) -> Preview:
        target = self._target
        return tsv.preview(
            self._block, target.quantity_ids, rows=target.rows, row_words=target.row_words,
            decimal_comma=target.decimal_comma, layout=layout,
        )  # fmt: skip

    def _layout(self) -> Layout:
        """What the fields say now."""
        return Layout(
            columns=tuple((name.value(), unit.value()) for name, unit in self.columns),
            heading_line=int(self.heading.value() or 0),
            decimal_comma=_MARKS[self.mark.value()],
        )

    def _look_again(self, *, heading: bool = False) -> None:
        """Another heading row or instrument may be one that is known; else the columns are read afresh."""
        refusal, lines = tsv.lines(self._block)
        if refusal:
            return
        line = int(self.heading.value() or 0)
        known = mappings.recognised(
            self._target.folder, self._target.procedure_id, lines[line - 1 : line] if line else []
        )[1]
        name = self.instrument.value()
        if name in known:
            words = text("readings_in.known", name=name or text("readings_in.nobody"))
            self._understand(dataclasses.replace(known[name], heading_line=line), words)
        elif heading:
            self._understand(Layout(heading_line=line))

    def _look_as_told(self) -> None:
        self.preview = self._seen(self._layout())
        self._show()

    def _mark_told(self) -> None:
        """Numbers of a workbook are written with the mark that was told, so it is read again."""
        if self.table is not None and not self.table.mark:
            self._read()
        elif self._block:
            self._look_as_told()

    def _ask_columns(self, taken: list[tuple[str, str, str]]) -> None:
        for field in [one for pair in self.columns for one in pair]:
            self.form.fields.remove(field)
            field.hide()
            field.deleteLater()
        names = [("", text("plates_in.left_out"))]
        names += [(ROWS, text("readings_in.rows"))] if self._target.row_words else []
        names += [(one, quantity(one).name) for one in self._target.choices]
        self.columns = []
        for number, (heading, name, unit) in enumerate(taken):
            words = heading or text("plates_in.unnamed", number=number + 1)
            sample = next(
                (row.cells[number].text for row in self.preview.rows if row.cells[number].text), "–"
            )
            caption = text("plates_in.column", heading=words, sample=_cut(sample, _LONGEST_SAMPLE))
            what = FormField(caption, choices=names)
            what.show_text(name)
            its_unit = FormField(
                text("readings_in.unit"), choices=[("", "")], spoken=text("readings_in.unit_of", column=words)
            )
            _offer_units(its_unit, name, unit)
            what.kept.connect(lambda value, its_unit=its_unit: self._column_told(value, its_unit))
            its_unit.kept.connect(lambda _value: self._look_as_told())
            self.columns.append((self.form.adopt(what), self.form.adopt(its_unit)))
            row, place = divmod(number, _ABREAST)
            for shift, field in enumerate((what, its_unit)):
                self._grid.addWidget(field, row, 2 * place + shift, Qt.AlignmentFlag.AlignTop)
                self._grid.setColumnStretch(2 * place + shift, 1 if shift else 3)
                field.show()

    def _column_told(self, name: str, its_unit: FormField) -> None:
        _offer_units(its_unit, name, its_unit.value())
        self._look_as_told()

    # What is shown

    def _show(self) -> None:
        seen = self.preview
        self.model.put(seen, {row: words for words, row in self._target.row_words.items()})
        widths = _ROOM[:1] + tuple(
            _ROOM[2 if any(row.cells[place].refused for row in seen.rows) else 1]
            for place in range(len(seen.columns))
        )
        for column, wide in enumerate(widths[: self.model.columnCount()]):
            self.cells.setColumnWidth(column, wide)
        said = text("paste.summary", count=len(seen.entries()), refused=seen.refused_count)
        self.summary.setText(retold(seen.refusal_text) or said)
        self.notes.setText(" ".join(self._notes()))
        self.summary.setVisible(bool(self._block))
        self.notes.setVisible(bool(self._block and self._notes()))
        self.cells.setVisible(bool(seen.rows))
        for field in (self.heading, self.mark, self.instrument):
            field.setVisible(bool(self._block and self.columns))
        self.parted.setVisible(self.table is not None and bool(self.table.mark))
        self.fit()
        if seen.asks_mark:
            self.mark.line.setFocus(Qt.FocusReason.OtherFocusReason)

    def _notes(self) -> list[str]:
        seen = self.preview
        found = [retold(note) for note in self.table.notes] if self.table is not None else []
        if self._known_words:
            found.insert(0, self._known_words)
        if seen.heading_line > 1:
            found.append(text("readings_in.above", count=seen.heading_line - 1))
        nowhere = sum(row.row is None for row in seen.rows)
        if nowhere:
            found.append(text("readings_in.nowhere", count=nowhere))
        return found

    # Keeping it

    def _keep(self) -> None:
        if not self._block:
            # Enter in the field of the file reads it; what is wrong with it is said there.
            self.say("" if self.path.value() else text("readings_in.first"))
            return
        if self.preview.refusal_text or not self.preview.entries():
            self.say(retold(self.preview.refusal_text) or text("readings_in.nothing"))
            return
        if self.preview.heading_line:
            headings = tsv.lines(self._block)[1][self.preview.heading_line - 1]
            mappings.remember_layout(
                self._target.folder, self._target.procedure_id, self.instrument.value(), headings,
                self._layout(),
            )  # fmt: skip
        self._kept(self.preview, self.accept, self.say)

    def showEvent(self, event: QShowEvent) -> None:
        """A block that was pasted is kept by Enter alone; a question that it raises is gone to first."""
        super().showEvent(event)
        if not self._from_file:
            asked = self.mark.line if self.preview.asks_mark else self.main
            asked.setFocus(Qt.FocusReason.TabFocusReason)


def _offer_units(field: FormField, name: str, unit: str) -> None:
    """The units that bare numbers of a column can have; none for words."""
    row = quantity(name) if name and name != ROWS else None
    units = list(unit_cycle(row.unit)) if row is not None and row.kind == "number" and row.unit else []
    if unit and row is not None and unit not in units and units:
        units.append(unit)
    field.offer([(one, figures.symbol(one)) for one in units] or [("", "–")], unit if unit in units else "")
    field.set_locked(len(units) < 2)


def _cut(words: str, longest: int) -> str:
    return words if len(words) <= longest else words[: longest - 1] + "…"
