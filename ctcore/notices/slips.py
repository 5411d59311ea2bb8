"""Slips of the keyboard: a factor of a thousand by a wrong unit, a factor of ten by a wrong place."""

from __future__ import annotations

import math
from collections.abc import Iterator
from decimal import Decimal, InvalidOperation
from statistics import median

from ctcore.entry.units import column
from ctcore.job import Tap
from ctcore.judgement.cells import Number, Trouble, number, value_of
from ctcore.judgement.limit import shown
from ctcore.judgement.plate import classes_of, plate_trouble, same_tap, tap_fed
from ctcore.notices.notice import Answer, Entry, Figure, Notice, NoticeRow, Offer
from ctcore.notices.sight import Curved, Sight, phase_words
from ctcore.quantities import quantity
from ctcore.takes import Row, Take

THOUSAND, TEN = "factor_1000", "decimal_slip"
VOLTS, AMPERES, OHMS, INSULATION = (
    "v_excitation_v",
    "i_excitation_a",
    "r_measured_ohm",
    "insulation_resistance_ohm",
)
# Practice: how far from a pure factor a slip may lie, sisters and neighbours being no exact copies; common
# practice, no source.
_WHOLE_CURVE, _POINT, _SINGLE, _INSULATION = 0.30, 0.25, 0.10, 0.15
# A third of a decade from row to row beside the slip itself.
_ROW_STEP = 0.33
_LEAST_POINTS = 4


def text_to_key(take: Take, row: str, quantity_id: str, decades: int) -> str | None:
    """A reading with its decimal point moved, as it would be keyed in its column; None without one."""
    current = take.row(row).cell(quantity_id).current
    if current is None or current.value_text is None:
        return None
    unit = column(quantity(quantity_id).unit).unit
    try:
        base = Decimal(current.value_text)
    except InvalidOperation:
        return None
    factor = unit.factor if unit.factor is not None else Decimal(1).scaleb(unit.power)
    return format((base / factor).scaleb(decades), "f")


def _entry(sight: Sight, take: Take, row: str, quantity_id: str, decades: int) -> Entry | None:
    text = text_to_key(take, row, quantity_id, decades)
    if text is None:
        return None
    return Entry(sight.core.core_id, take.procedure_id, take.take, row, quantity_id, text)


def _decades(ratio: float, *, within: float) -> int | None:
    """The whole decades of a ratio, where it lies so near to them (in decades)."""
    if ratio <= 0.0:
        return None
    size = math.log10(ratio)
    return round(size) if abs(size - round(size)) <= within else None


def _offer(sight: Sight, take: Take, rows: list[str], quantity_id: str, decades: int) -> Offer | None:
    entries = [entry for row in rows if (entry := _entry(sight, take, row, quantity_id, decades)) is not None]
    if not entries:
        return None
    name = quantity(quantity_id).name
    words = f"Key {name} of {len(entries)} row{'s' if len(entries) > 1 else ''} {_factor_words(decades)}"
    return Offer(words, tuple(entries))


def _factor_words(decades: int) -> str:
    return f"{10 ** abs(decades)} times {'larger' if decades > 0 else 'smaller'}"


# Points of a curve


def _points(take: Take) -> list[tuple[str, float, float]]:
    found = []
    for row in take.rows:
        volts, amperes = number(row, VOLTS), number(row, AMPERES)
        if row.struck or not isinstance(volts, Number) or not isinstance(amperes, Number):
            continue
        if volts.value > 0.0 and amperes.value > 0.0:
            found.append((row.row, volts.value, amperes.value))
    return found


def slipped_points(take: Take) -> list[tuple[str, str, int]]:
    """Row, quantity and decades to move it by, for every point a decade or three off its neighbours.

    A slip stands out of its own column between the rows before and after, and lies on the log-log line of
    these two once it is moved. The ends come last, when nothing beside them is off any more.
    """
    points = _points(take)
    if len(points) < _LEAST_POINTS:
        return []
    logs = [[math.log10(volts), math.log10(amperes)] for _, volts, amperes in points]
    found = []
    for index in (*range(1, len(points) - 1), 0, len(points) - 1):
        slip = _slip_at(logs, index)
        if slip is not None:
            column_index, decades = slip
            logs[index][column_index] += decades
            found.append((points[index][0], (VOLTS, AMPERES)[column_index], decades))
    return found


def _beside(logs: list[list[float]], index: int) -> tuple[list[float], list[float], list[float]]:
    """Two neighbours of a point, and where the point is expected by rows alone."""
    if index == 0 or index == len(logs) - 1:
        near, far = (logs[1], logs[2]) if index == 0 else (logs[-2], logs[-3])
        return near, far, [2.0 * near[0] - far[0], 2.0 * near[1] - far[1]]
    before, after = logs[index - 1], logs[index + 1]
    return before, after, [(before[0] + after[0]) / 2.0, (before[1] + after[1]) / 2.0]


def _slip_at(logs: list[list[float]], index: int) -> tuple[int, int] | None:
    one, other, expected = _beside(logs, index)
    span = other[0] - one[0]
    if span == 0.0:
        return None
    slope = (other[1] - one[1]) / span
    for column_index in (0, 1):
        off = expected[column_index] - logs[index][column_index]
        decades = round(off)
        if abs(decades) not in (1, 3) or abs(off - decades) > _ROW_STEP:
            continue
        moved = list(logs[index])
        moved[column_index] += decades
        if slope > 0.0 and abs(moved[1] - (one[1] + slope * (moved[0] - one[0]))) <= _POINT:
            return column_index, decades
    return None


def decimal_slip(sight: Sight) -> Answer:
    """One reading a factor of ten off: a point off its neighbours, a resistance off its sisters."""
    curves = [take for take in sight.takes_of_record("excitation") if len(_points(take)) >= _LEAST_POINTS]
    resistances = list(_against_sisters(sight))
    if not curves and not resistances:
        return sight.not_judged(
            TEN, "No curve of four points, and no resistance that a sister phase has too."
        )
    found = [
        _point_notice(sight, take, slip)
        for take in curves
        for slip in slipped_points(take)
        if abs(slip[2]) == 1
    ]
    for take, tap, own, others in resistances:
        decades = _decades(others / own, within=_SINGLE / 2)
        if decades in (-1, 1):
            found.append(_single_notice(TEN, sight, take, tap.tap_id, OHMS, decades, (own, others)))
    return tuple(found)


def _point_notice(sight: Sight, take: Take, slip: tuple[str, str, int]) -> Notice:
    row, quantity_id, decades = slip
    value = value_of(take.row(row), quantity_id) or 0.0
    sentence = (
        f"{phase_words(sight)}, row {row}: {shown(quantity_id, value)} lies off the line of its neighbours; "
        f"{_factor_words(decades)}, {shown(quantity_id, value * 10.0**decades)}, it lies on it. "
        "What did the meter show?"
    )
    notice_id = TEN if abs(decades) == 1 else THOUSAND
    figures = (Figure(quantity(quantity_id).name, value, column(quantity(quantity_id).unit).dimension.base),)
    return Notice(
        notice_id, (sight.core.core_id,), "excitation", row, sentence, figures,
        _offer(sight, take, [row], quantity_id, decades), take.take,
    )  # fmt: skip


def _against_sisters(sight: Sight) -> Iterator[tuple[Take, Tap, float, float]]:
    """Take, tap, own resistance as read and the middle of the sisters'."""
    for tap in sight.core.taps:
        take = sight.scene.of_row("resistance", tap.tap_id)
        if take is None:
            return
        own = value_of(take.row(tap.tap_id), OHMS)
        others = []
        for sister in sight.sisters():
            twin = same_tap(sister.core, tap)
            its = None if twin is None else sister.scene.of_row("resistance", twin.tap_id)
            found = None if its is None or twin is None else value_of(its.row(twin.tap_id), OHMS)
            others += [] if found is None or found <= 0.0 else [found]
        if own is not None and own > 0.0 and others:
            yield take, tap, own, median(others)


def _single_notice(
    notice_id: str,
    sight: Sight,
    take: Take,
    row: str,
    quantity_id: str,
    decades: int,
    pair: tuple[float, float],
) -> Notice:
    own, others = pair
    sentence = (
        f"{phase_words(sight)}: {quantity(quantity_id).name} {shown(quantity_id, own)} stands against "
        f"{shown(quantity_id, others)} of the sister phases; {_factor_words(decades)} it fits. "
        "What did the meter show?"
    )
    unit = column(quantity(quantity_id).unit).dimension.base
    figures = (Figure("own reading", own, unit), Figure("middle of the sisters", others, unit))
    return Notice(
        notice_id, (sight.core.core_id,), take.procedure_id, row, sentence, figures,
        _offer(sight, take, [row], quantity_id, decades), take.take,
    )  # fmt: skip


# A factor of a thousand


def factor_1000(sight: Sight) -> Answer:
    """mA keyed for A, kV for V, GΩ for MΩ: a whole curve, one point, or a resistance."""
    if plate_trouble(sight.core) is not None:
        return sight.not_judged(THOUSAND, "The plate of this core is not complete.")
    curves = [
        (curved, seen) for curved in sight.curved() if (seen := _curve_decades(sight, curved)) is not None
    ]
    points = [take for take in sight.takes_of_record("excitation") if len(_points(take)) >= _LEAST_POINTS]
    resistances, insulations = list(_against_sisters(sight)), list(_insulations(sight))
    if not curves and not resistances and not insulations:
        return sight.not_judged(
            THOUSAND, "No reading that a sister phase, a certificate or the plate has too."
        )
    found = [
        _curve_notice(sight, curved, quantity_id, decades)
        for curved, (quantity_id, decades) in curves
        if abs(decades) == 3
    ]
    found += [
        _point_notice(sight, take, slip)
        for take in points
        for slip in slipped_points(take)
        if abs(slip[2]) == 3
    ]
    for take, tap, own, others in resistances:
        decades = _decades(others / own, within=_SINGLE)
        if decades in (-3, 3):
            found.append(_single_notice(THOUSAND, sight, take, tap.tap_id, OHMS, decades, (own, others)))
    for take, row, own, others in insulations:
        decades = _decades(others / own, within=_INSULATION)
        if decades in (-3, 3):
            found.append(_single_notice(THOUSAND, sight, take, row.row, INSULATION, decades, (own, others)))
    return tuple(found)


def _insulations(sight: Sight) -> Iterator[tuple[Take, Row, float, float]]:
    take = sight.scene.of_record("insulation")
    if take is None:
        return
    for row in take.rows:
        own = value_of(row, INSULATION)
        others = []
        for sister in sight.sisters():
            its = sister.scene.of_record("insulation")
            found = None if its is None else value_of(its.row(row.row), INSULATION)
            others += [] if found is None or found <= 0.0 else [found]
        if own is not None and own > 0.0 and others:
            yield take, row, own, median(others)


def _curve_decades(sight: Sight, curved: Curved) -> tuple[str, int] | None:
    """Which column is how many decades off, seen from a sister phase, or from Ie on the plate; zero decades
    where it fits, None where there is nothing to see it from."""
    middle = curved.view.kept[len(curved.view.kept) // 2]
    found: list[tuple[str, int]] = []
    others = _same_tap_curves(sight, curved)
    for other in others:
        current = other.current_a(middle.voltage_v)
        volts = _voltage_at(other, middle.current_a)
        decades = None
        if current is not None:
            decades = _decades(current / middle.current_a, within=_WHOLE_CURVE)
        elif volts is not None:
            decades = _decades(volts / middle.voltage_v, within=_WHOLE_CURVE)
        # A sister with a fault of its own fits nothing and has no say.
        if decades is not None:
            found.append((VOLTS if current is None else AMPERES, decades))
    if not others:
        return _by_plate(sight, curved)
    slips = [entry for entry in found if abs(entry[1]) == 3]
    fits = [entry for entry in found if entry[1] == 0]
    # Where two of three are alike the odd one is the slip; two alone cannot tell which.
    if len(slips) > len(fits) and _is_odd(sight, curved, len(slips)):
        return slips[0]
    return AMPERES, 0


def _is_odd(sight: Sight, curved: Curved, count: int) -> bool:
    """Whether this curve, and not its sister, is the one that slipped: by majority, else by V A per turn."""
    if count > 1:
        return True
    other = _same_tap_curves(sight, curved)[0]
    return _strange(curved) > _strange(other)


def _strange(curved: Curved) -> float:
    """How far the exciting current in ampere-turns at the middle of a curve lies from 10 A, in decades.

    Practice: cores of switchgear take 1 to 100 ampere-turns below the knee; common practice, no source.
    """
    middle = curved.view.kept[len(curved.view.kept) // 2]
    return abs(math.log10(middle.current_a * curved.tap.ns_over_np_ratio / 10.0))


def _same_tap_curves(sight: Sight, curved: Curved) -> list[Curved]:
    return [
        other
        for sister in sight.sisters()
        for other in sister.curved()
        if same_tap(sister.core, curved.tap) is other.tap
    ]


def _voltage_at(curved: Curved, current_a: float) -> float | None:
    kept = curved.view.kept
    near = min(kept, key=lambda point: abs(math.log(point.current_a / current_a)))
    return near.voltage_v if abs(math.log(near.current_a / current_a)) <= 0.7 else None


def _by_plate(sight: Sight, curved: Curved) -> tuple[str, int] | None:
    classes = classes_of(sight.core)
    if isinstance(classes, Trouble) or curved.tap is not sight.core.full_tap:
        return None
    for accuracy in classes:
        if accuracy.ek_v is not None and accuracy.ie_a is not None:
            current = curved.current_a(accuracy.ek_v)
            if current is not None:
                # The plate states a greatest current: a core takes between a tenth of it and all of it.
                decades = _decades(0.3 * accuracy.ie_a / current, within=0.5)
                return (AMPERES, decades or 0)
    return None


def _curve_notice(sight: Sight, curved: Curved, quantity_id: str, decades: int) -> Notice:
    middle = curved.view.kept[len(curved.view.kept) // 2]
    own = middle.current_a if quantity_id == AMPERES else middle.voltage_v
    what = "current" if quantity_id == AMPERES else "volts"
    rows = [point.row for point in (*curved.view.kept, *curved.view.reversed)]
    tap = tap_fed(sight.core, curved.take)
    sentence = (
        f"{phase_words(sight)}, {tap.terminals_text if tap else ''}: the {what} of the whole curve would fit "
        f"{_factor_words(decades)} ({shown(quantity_id, own)} at row {middle.row} against "
        f"{shown(quantity_id, own * 10.0**decades)}). Was another unit read than that of the column?"
    )
    unit = column(quantity(quantity_id).unit).dimension.base
    figures = (Figure(f"{what} of row {middle.row}", own, unit), Figure("decades off", float(decades), "1"))
    return Notice(
        THOUSAND, (sight.core.core_id,), "excitation", middle.row, sentence, figures,
        _offer(sight, curved.take, rows, quantity_id, decades), curved.take.take,
    )  # fmt: skip


SLIPS = (
    NoticeRow(notice_id=THOUSAND, name="factor of a thousand", look=factor_1000),
    NoticeRow(notice_id=TEN, name="decimal slip", look=decimal_slip),
)
