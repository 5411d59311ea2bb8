"""Which views of a test there are: one row for each, chosen by test and by what was keyed."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from functools import partial
from typing import Any, Final, Literal

from app.ui.plots.axes import Axis
from app.ui.plots.chart import ChartContent, LimitLine, Series
from app.ui.plots.limits import LimitRow, LimitRows, Spot
from app.ui.texts import text
from app.ui.worksheet.curves import CurveStore
from app.ui.worksheet.hookup_content import has_hookup, hookup_content
from app.ui.worksheet.pinned import pins
from app.ui.worksheet.plot_content import per_turn_content, phase_index, plot_content
from app.ui.worksheet.sheet import Sheet, row_on
from app.ui.worksheet.views_measured import growth, phasors, triangle
from app.words import figures, quantity
from app.words.figures import shown
from ctcore.classtable import Cell
from ctcore.findings import Finding, worst_first
from ctcore.job import Core
from ctcore.judgement.cells import Trouble
from ctcore.judgement.excitation_table import has_table, table_of
from ctcore.judgement.plate import classes_of, tap_fed
from ctcore.nameplate import AccuracyClass

Kind = Literal["curve", "chart", "limits", "hookup"]
_TURNS = Axis(unit="1", words="turns per primary turn", is_log=False)
_OHMS = Axis(unit="ohm", words="Ω", is_log=False)
_PERCENT_OF_RATED = Axis(unit="percent", words="% of rated current")
_ERROR = Axis(unit="percent", words="%", is_log=False)
_AT_75 = "r_winding_75degc_ohm"
_RATIO_ERROR = "ratio_error_percent"


@dataclass(frozen=True, slots=True, kw_only=True)
class ViewRow:
    """One view: its name, the tests that have it (all where empty), and what it shows of a sheet."""

    view_id: str
    kind: Kind
    make: Callable[[Sheet, CurveStore], Any]
    procedures: tuple[str, ...] = ()
    is_there: Callable[[Sheet], bool] = lambda _sheet: True
    opens_by_itself: bool = False

    def content(self, sheet: Sheet, curves: CurveStore) -> Any:
        """What it shows of a sheet, with the comments on what is drawn."""
        made = self.make(sheet, curves)
        marked = pins(sheet) if self.kind != "hookup" else ()
        return replace(made, pins=marked) if marked else made

    @property
    def words(self) -> str:
        """What the view is called."""
        return text(f"view.{self.view_id}")


def views_of(sheet: Sheet) -> list[ViewRow]:
    """The views of the test on the page."""
    procedure_id = sheet.procedure.procedure_id
    return [
        row for row in VIEWS if (not row.procedures or procedure_id in row.procedures) and row.is_there(sheet)
    ]


# Resistance against turns


def _resistance(sheet: Sheet, _curves: CurveStore) -> ChartContent:
    """Winding resistance at 75 °C over turns: sections of one winding lie on one line from zero."""
    series = [
        _by_turns(sheet, sister.core, sister.take.take, sister.phase_text, in_hand=False)
        for sister in sheet.sisters
        if sister.take is not None
    ]
    hand = _by_turns(sheet, sheet.core, sheet.take_number, sheet.place.ct.phase_text, in_hand=True)
    return ChartContent(
        title=text("view.turns.title"),
        axis_x=_TURNS,
        axis_y=_OHMS,
        series=tuple(one for one in (*series, hand) if one.x),
        from_zero=True,
        empty_words=text("view.empty"),
    )


def _by_turns(sheet: Sheet, core: Core, take_number: int, phase_text: str, *, in_hand: bool) -> Series:
    derived = sheet.view.derived.get((core.core_id, "resistance", take_number), ())
    ohms = {
        entry.row: entry.value
        for entry in derived
        if entry.quantity_id == _AT_75 and isinstance(entry.value, float)
    }
    taps = sorted((tap.ns_over_np_ratio, tap.tap_id) for tap in core.taps if tap.tap_id in ohms)
    return Series(
        words=phase_text,
        phase_index=phase_index(sheet.view.job, phase_text),
        x=tuple(turns for turns, _ in taps),
        y=tuple(ohms[tap_id] for _, tap_id in taps),
        rows=tuple(tap_id for _, tap_id in taps),
        in_hand=in_hand,
    )


# Error against current


def _errors(sheet: Sheet, curves: CurveStore) -> ChartContent:
    """The ratio error calculated from the curve over the current, inside the limits of the class."""
    content = partial(
        ChartContent, title=text("view.errors.title"), axis_x=_PERCENT_OF_RATED, axis_y=_ERROR,
        empty_words=text("view.errors.empty"),
    )  # fmt: skip
    accuracy, tap = _class_with_table(sheet.core), tap_fed(sheet.core, sheet.take)
    if accuracy is None or tap is None:
        return content()
    table = table_of(sheet.scene, sheet.take, tap, curves.view(sheet.scene, sheet.take), accuracy)
    if isinstance(table, Trouble):
        return content(empty_words=table.text)
    cells = [cell for cell in table.cells if cell.ratio_error_percent is not None]
    if not cells and table.cells:
        return content(empty_words=table.cells[0].reason or text("view.errors.empty"))
    by_burden: dict[str, list[Cell]] = {}
    for cell in sorted(cells, key=lambda one: one.percent_current):
        by_burden.setdefault(cell.burden_text, []).append(cell)
    series = [
        _error_series(words, index, found, high=high)
        for index, (words, found) in enumerate(by_burden.items())
        for high in ((False, True) if any(_is_wide(cell) for cell in found) else (False,))
    ]
    return content(series=tuple(series), limits=tuple(_error_limits(cells)))


def _class_with_table(core: Core) -> AccuracyClass | None:
    classes = classes_of(core)
    if isinstance(classes, Trouble):
        return None
    return next((entry for entry in classes if has_table(entry)), None)


def _is_wide(cell: Cell) -> bool:
    error = cell.ratio_error_percent
    return error is not None and error.low != error.high


def _error_series(words: str, index: int, cells: list[Cell], *, high: bool) -> Series:
    """The least or the greatest that the error can be; both are one line where the angle is known."""
    errors = [cell.ratio_error_percent for cell in cells]
    return Series(
        words=_range_words(words, high=high, wide=any(_is_wide(cell) for cell in cells)),
        # Burdens are no phases: ink, each with its own line and marker.
        phase_index=-1 - index,
        x=tuple(cell.percent_current for cell in cells),
        y=tuple((error.high if high else error.low) for error in errors if error is not None),
        in_hand=not high,
    )


def _range_words(burden_text: str, *, high: bool, wide: bool) -> str:
    if not wide:
        return burden_text
    return text("view.errors.high" if high else "view.errors.low", burden=burden_text)


def _error_limits(cells: Iterable[Cell]) -> list[LimitLine]:
    limits = {
        cell.percent_current: cell.ratio_limit_percent
        for cell in cells
        if cell.ratio_limit_percent is not None
    }
    x = tuple(sorted(limits))
    if not x:
        return []
    high = tuple(limits[percent] for percent in x)
    return [LimitLine(x, high, above=True), LimitLine(x, tuple(-value for value in high), above=False)]


def _errors_read(sheet: Sheet, _curves: CurveStore) -> ChartContent:
    """The ratio error of the whole winding read at each current, inside the limits of the class."""
    row = sheet.core.full_tap.tap_id
    series = [
        one
        for sister in sheet.sisters
        for one in _read_series(sheet, sister.core, sister.phase_text, in_hand=False)
    ]
    series += _read_series(sheet, sheet.core, sheet.place.ct.phase_text, in_hand=True)
    limits = {
        percent: finding.limit_high
        for percent, _burden, finding in _read_at(sheet, sheet.core, row)
        if finding.limit_high is not None
    }
    x = tuple(sorted(limits))
    high = tuple(limits[percent] for percent in x)
    edges = (LimitLine(x, high, above=True), LimitLine(x, tuple(-value for value in high), above=False))
    return ChartContent(
        title=text("view.errors_read.title", terminals=sheet.core.full_tap.terminals_text),
        axis_x=_PERCENT_OF_RATED,
        axis_y=_ERROR,
        series=tuple(series),
        limits=edges if x else (),
        empty_words=text("view.empty"),
    )


def _read_series(sheet: Sheet, core: Core, phase_text: str, *, in_hand: bool) -> list[Series]:
    """A series for each burden in circuit: readings of unlike burdens are on no common line."""
    row = core.full_tap.tap_id
    by_burden: dict[str, list[tuple[float, float]]] = {}
    for percent, burden_text, finding in _read_at(sheet, core, row):
        if isinstance(finding.value, float):
            by_burden.setdefault(burden_text, []).append((percent, finding.value))
    return [
        Series(
            words=f"{phase_text} {burden_text}".strip(),
            phase_index=phase_index(sheet.view.job, phase_text),
            x=tuple(percent for percent, _ in sorted(found)),
            y=tuple(value for _, value in sorted(found)),
            rows=(row,) * len(found),
            in_hand=in_hand,
        )
        for burden_text, found in by_burden.items()
    ]


def _read_at(sheet: Sheet, core: Core, row: str) -> list[tuple[float, str, Finding]]:
    """Current in percent of the rated one, burden in circuit, and finding of the ratio error of one tap."""
    takes = {take.take: take for take in sheet.view.takes.get((core.core_id, "ratio"), ())}
    found = []
    for finding in sheet.view.findings.get(core.core_id, ()):
        take = takes.get(finding.take)
        if take is None or (finding.quantity, finding.row) != (_RATIO_ERROR, row):
            continue
        percent = take.row(row).cell("i_percent_rated_percent").number
        burden = take.method.cell("burden_in_circuit_va").number
        if percent is not None and percent > 0.0:
            found.append((percent, "" if burden is None else figures.with_unit(burden, "VA"), finding))
    return found


def _has_two_currents(sheet: Sheet) -> bool:
    if not sheet.core.taps:
        return False
    found = _read_at(sheet, sheet.core, sheet.core.full_tap.tap_id)
    return len({percent for percent, _burden, _finding in found}) > 1


# Value against limit


def _limits(sheet: Sheet, _curves: CurveStore) -> LimitRows:
    """Every judged figure of the step against its limit, worst first, the sister phases beside."""
    rows = [_limit_row(sheet, finding) for finding in worst_first(sheet.findings) if _has_limit(finding)]
    return LimitRows(title=text("view.limits.title"), rows=tuple(rows), empty_words=text("view.limits.empty"))


def _has_limit(finding: Finding) -> bool:
    numbers = (finding.limit, finding.limit_low, finding.limit_high)
    return isinstance(finding.value, float) and any(isinstance(entry, float) for entry in numbers)


def _limit_row(sheet: Sheet, finding: Finding) -> LimitRow:
    value = finding.value
    assert isinstance(value, float)
    low, high = _ends(finding, value)
    names = {line.row: line.words for line in sheet.rows}
    name = quantity(finding.quantity).name
    words = f"{names[finding.row]}: {name}" if finding.row in names else name
    spots = [Spot(phase_index(sheet.view.job, sheet.place.ct.phase_text), value, in_hand=True)]
    spots += [spot for sister in sheet.sisters for spot in _sister_spots(sheet, sister.core, finding)]
    return LimitRow(
        words=words,
        shown=_range_sign(sheet, finding) + shown(finding.quantity, value),
        spots=tuple(spots),
        low=low,
        high=high,
        low_text="" if low is None else shown(finding.quantity, low),
        high_text="" if high is None else shown(finding.quantity, high),
        is_log=sheet.procedure.procedure_id in ("insulation", "insulation_time"),
        row=finding.row,
    )


def _range_sign(sheet: Sheet, finding: Finding) -> str:
    """The sign of a reading over or under the range of its instrument, where the figure is that reading."""
    line = next((line for line in sheet.rows if line.row == finding.row), None)
    fields = line.fields if line is not None else ()
    typed = next((field.shown for field in fields if field.quantity.quantity_id == finding.quantity), "")
    return f"{typed[0]}{figures.UNIT_GAP}" if typed[:1] in (">", "<") else ""


def _ends(finding: Finding, value: float) -> tuple[float | None, float | None]:
    """Both limits; of one alone the margin tells on which side it stands."""
    if finding.limit_low is not None or finding.limit_high is not None:
        return finding.limit_low, finding.limit_high
    limit = finding.limit
    if not isinstance(limit, float):
        return None, None
    is_upper = (limit >= value) == ((finding.margin or 0.0) >= 0.0)
    return (None, limit) if is_upper else (limit, None)


def _sister_spots(sheet: Sheet, core: Core, finding: Finding) -> list[Spot]:
    phase_text = next(sister.phase_text for sister in sheet.sisters if sister.core is core)
    return [
        Spot(phase_index(sheet.view.job, phase_text), other.value, in_hand=False)
        for other in sheet.view.findings.get(core.core_id, ())
        if _judged_alike(finding, other, row_on(core, sheet.core, finding.row))
        and isinstance(other.value, float)
    ]


def _judged_alike(one: Finding, other: Finding, row: str) -> bool:
    """Whether two findings are of the same figure by the same limit, in that row of the other core."""
    return (one.rule, one.quantity, row, one.limit_low, one.limit_high, one.source) == (
        other.rule, other.quantity, other.row, other.limit_low, other.limit_high, other.source,
    )  # fmt: skip


def _has_two_taps(sheet: Sheet) -> bool:
    takes = sheet.view.takes.get((sheet.core.core_id, sheet.procedure.procedure_id), ())
    fed = {take.method.cell("tap_id").value_text for take in takes}
    return len(fed) > 1


VIEWS: Final[tuple[ViewRow, ...]] = (
    ViewRow(
        view_id="curve", kind="curve", make=plot_content, procedures=("excitation",), opens_by_itself=True
    ),
    ViewRow(
        view_id="per_turn", kind="curve", make=per_turn_content, procedures=("excitation",),
        is_there=_has_two_taps,
    ),
    ViewRow(
        view_id="errors", kind="chart", make=_errors, procedures=("excitation",),
        is_there=lambda sheet: _class_with_table(sheet.core) is not None,
    ),
    ViewRow(
        view_id="turns", kind="chart", make=_resistance, procedures=("resistance",),
        is_there=lambda sheet: len(sheet.core.taps) > 1,
    ),
    ViewRow(
        view_id="errors_read", kind="chart", make=_errors_read, procedures=("ratio",),
        is_there=_has_two_currents,
    ),
    ViewRow(
        view_id="growth", kind="chart", make=growth, procedures=("insulation_time",), opens_by_itself=True,
    ),
    ViewRow(view_id="triangle", kind="chart", make=triangle, procedures=("burden",)),
    ViewRow(view_id="phasors", kind="chart", make=phasors, procedures=("injection",)),
    ViewRow(view_id="limits", kind="limits", make=_limits),
    ViewRow(view_id="hookup", kind="hookup", make=hookup_content, is_there=has_hookup),
)  # fmt: skip
