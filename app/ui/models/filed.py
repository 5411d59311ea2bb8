"""What was found in the archive as tables: records, their cores and results, years, curves beside."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any, ClassVar, Final

from PySide6.QtCore import QModelIndex, QObject, Qt

from app.ui.models.jobs import MARK_ROLE
from app.ui.models.lines import Index, LinesModel
from app.ui.texts import text
from app.words import all_procedures, figures, quantity_in_words, verdict_word
from ctcore.findings import VERDICTS

if TYPE_CHECKING:
    from app.desk.archive.over_years import Beside, YearLine
    from app.jobstore.archive import CoreHit, Hit

_DIGITS: Final = 4


class MarkedLines(LinesModel[Any]):
    """Lines of which one column is a verdict, told by mark and word."""

    marked: ClassVar[str]

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """The text of a cell, and the mark of a verdict."""
        if role == MARK_ROLE and index.isValid() and self.columns[index.column()] == self.marked:
            line = self.line(index.row())
            verdict = self.verdict(line) if line is not None else ""
            return verdict if verdict in VERDICTS else None
        return super().data(index, role)

    def verdict(self, one: Any) -> str:
        """The verdict of a line."""
        return str(one.worst)


class HitsModel(MarkedLines):
    """A row per record that was found; more of them come behind."""

    columns: ClassVar = ("number", "tested", "site", "cores", "worst", "findings")
    heads: ClassVar = "archive.head"
    marked: ClassVar = "worst"

    def words(self, one: Hit, column: str) -> str:
        """What a record says in a column."""
        filed = one.filed
        if column == "number":
            standing = "" if filed.standing == "current" else f", {text(f'archive.{filed.standing}')}"
            return f"{filed.number_text} r{filed.revision}{standing}"
        if column == "cores":
            return cores_words(one.cores, filed.core_count)
        if column == "findings":
            return " ".join(one.findings)
        return {"tested": filed.tested_on, "site": filed.site_text, "worst": verdict_word(filed.worst)}[
            column
        ]

    def verdict(self, one: Hit) -> str:
        """The worst of the record."""
        return one.filed.worst

    def add_lines(self, lines: Sequence[Hit]) -> None:
        """Put more rows behind those that are shown."""
        if lines:
            first = len(self._rows)
            self.beginInsertRows(QModelIndex(), first, first + len(lines) - 1)
            self._rows = (*self._rows, *lines)
            self.endInsertRows()


def cores_words(cores: Sequence[CoreHit], count: int) -> str:
    """The first cores by serial and phase, and how many there are."""
    named = dict.fromkeys(
        " ".join(part for part in (one.serial_text or one.position_text, one.phase_text) if part)
        for one in cores
    )
    shown = next(iter(named), "")
    return text("archive.cores", shown=shown, count=count) if count > 1 else shown


class CoresModel(MarkedLines):
    """A row per core of a record."""

    columns: ClassVar = ("place", "core", "serial", "class", "worst")
    heads: ClassVar = "filed.core"
    marked: ClassVar = "worst"

    def words(self, one: CoreHit, column: str) -> str:
        """What a core says in a column."""
        return {
            "place": f"{one.position_text} {one.phase_text}".strip(),
            "core": str(one.core_number),
            "serial": one.serial_text,
            "class": one.class_text,
            "worst": verdict_word(one.worst),
        }[column]


class ResultsModel(MarkedLines):
    """A row per result of a core, as it was judged when it was signed."""

    columns: ClassVar = ("test", "row", "quantity", "value", "verdict")
    heads: ClassVar = "filed.result"
    marked: ClassVar = "verdict"

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        from ctcore.quantities import QUANTITIES

        self._tests = {one.procedure_id: one.short_name for one in all_procedures()}
        self._quantities = {one.quantity_id: quantity_in_words(one) for one in QUANTITIES}

    def words(self, one: dict[str, Any], column: str) -> str:
        """What a result says in a column."""
        if column == "test":
            name = str(one.get("procedure_id") or "")
            return self._tests.get(name, name)
        if column == "quantity":
            known = self._quantities.get(str(one.get("quantity_id") or ""))
            return quantity_in_words(known).name if known is not None else str(one.get("quantity_id") or "")
        if column == "value":
            known = self._quantities.get(str(one.get("quantity_id") or ""))
            return value_words(one, known.unit if known is not None else str(one.get("unit") or ""))
        if column == "verdict":
            return verdict_word(self.verdict(one)) if self.verdict(one) else ""
        return str(one.get("row") or "").replace("_", " ")

    def verdict(self, one: dict[str, Any]) -> str:
        """The verdict of a result; empty where nothing judges it."""
        return str(one.get("verdict") or "")


def value_words(one: dict[str, Any], unit: str) -> str:
    """A value with its unit, and its expanded uncertainty where it has one."""
    value, u_expanded = one.get("value"), one.get("u_expanded")
    if not isinstance(value, int | float) or isinstance(value, bool):
        return "" if value is None else str(value)
    if not unit:
        return figures.text(float(value), "1", significant=_DIGITS)
    told = figures.with_unit(float(value), unit, significant=_DIGITS)
    if isinstance(u_expanded, int | float):
        told += f" ± {figures.text(float(u_expanded), unit, significant=2)}"
    return told


class GroupsModel(LinesModel["tuple[str, YearLine]"]):
    """What is followed of a core over the years, with what its last step shows."""

    columns: ClassVar = ("what", "last")
    heads: ClassVar = "years.group"

    def words(self, one: tuple[str, YearLine], column: str) -> str:
        """What is followed, or what its last step shows."""
        name, last = one
        if column == "what":
            return f"{name[:1].upper()}{name[1:]}"
        return answer_words(last)


class YearsModel(LinesModel["YearLine"]):
    """A row per test of what is followed."""

    columns: ClassVar = ("tested", "number", "value", "step", "answer")
    heads: ClassVar = "years.head"

    def words(self, one: YearLine, column: str) -> str:
        """What a test says in a column."""
        return {
            "tested": one.tested_on,
            "number": one.number_text,
            "value": one.shown_text,
            "step": one.change_text,
            "answer": answer_words(one),
        }[column]


def answer_words(one: YearLine) -> str:
    """What the step from the test before shows."""
    if one.change is None:
        return text("years.first")
    return text(f"years.{one.change.answer.replace(' ', '_')}")


class BesidesModel(LinesModel["Beside"]):
    """A row per curve that the core's own is held against."""

    columns: ClassVar = ("kind", "which", "answer")
    heads: ClassVar = "beside"

    def words(self, one: Beside, column: str) -> str:
        """What it is, where it is from, and the difference or the reason why there is none."""
        if column == "kind":
            return text(f"beside.{one.kind}")
        if column == "which":
            return curve_words(one)
        if one.refusals:
            return text("beside.refused", reasons="; ".join(one.refusals))
        if one.largest_percent is None or one.at_voltage_v is None:
            return ""
        return text(
            "beside.largest",
            percent=figures.signed(one.largest_percent, "percent", decimals=1),
            volts=figures.with_unit(one.at_voltage_v, "V", significant=3),
        )


def curve_words(one: Beside) -> str:
    """Where a curve beside the core's own is from."""
    if one.kind == "sister":
        return " ".join(part for part in (one.curve.phase_text, one.curve.serial_text) if part)
    return " ".join(part for part in (one.curve.number_text, one.curve.tested_on) if part)
