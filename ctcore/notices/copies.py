"""Values that nobody measures twice: equal to the last digit across phases, or with an earlier test."""

from __future__ import annotations

from ctcore.judgement.excitation_curve import frequency_factor
from ctcore.notices.notice import Answer, Figure, Notice, NoticeRow
from ctcore.notices.sight import Curved, Sight, listed
from ctcore.takes import Take

IDENTICAL, COPIED = "identical_phases", "copied_from_before"
_ROWS_ALIKE = 3
# Equal by chance: two readings of four digits in one of a few dozen, eight digits in none of a lifetime.
_DIGITS_ALIKE = 9


def _digits(text: str) -> int:
    return len(text.split("E")[0].replace(".", "").replace("-", "").lstrip("0"))


def _numbers(take: Take, quantity_id: str) -> tuple[tuple[str, str], ...]:
    """Row and kept text of every reading of one column."""
    cells = [(row.row, row.cell(quantity_id)) for row in take.rows]
    return tuple(
        (row, cell.value_text)
        for row, cell in cells
        if cell.value_text is not None and cell.number is not None
    )


def _alike(one: Take, other: Take, quantity_id: str) -> bool:
    mine, theirs = _numbers(one, quantity_id), _numbers(other, quantity_id)
    return bool(mine) and mine == theirs and sum(_digits(text) for _, text in mine) >= _DIGITS_ALIKE


_COLUMNS = (("resistance", "r_measured_ohm"), ("excitation", "i_excitation_a"))


def identical_phases(sight: Sight) -> Answer:
    """Every resistance, or every current of a curve, of two phases or more equal to the last digit."""
    phases = sight.set_of_phases()
    tested = {
        test: [(one, take) for one in phases if (take := one.scene.of_record(test)) is not None]
        for test, _ in _COLUMNS
    }
    if all(len(group) < 2 for group in tested.values()):
        return sight.not_judged(IDENTICAL, "Fewer than two phases are tested.")
    found = []
    for test, quantity_id in _COLUMNS:
        own = sight.scene.of_record(test)
        same = (
            []
            if own is None
            else [(one, take) for one, take in tested[test] if _alike(own, take, quantity_id)]
        )
        if own is not None and len(same) > 1:
            found.append(_identical(sight, test, same, len(_numbers(own, quantity_id))))
    return tuple(found)


def _identical(sight: Sight, test: str, same: list[tuple[Sight, Take]], count: int) -> Notice:
    names = listed([one.scene.ct.phase_text for one, _ in same])
    what = "currents of the curve" if test == "excitation" else "resistances"
    sentence = (
        f"Core {sight.core.number}: all {count} {what} of {names} are the same to the last digit, which no "
        "two windings give. Was one column copied?"
    )
    cores = tuple(one.core.core_id for one, _ in same)
    return Notice(IDENTICAL, cores, test, "", sentence, (Figure("readings alike", float(count), "1"),))


def copied_from_before(sight: Sight) -> Answer:
    """A curve whose points are those of an earlier test or a certificate to the last digit."""
    core_id = sight.core.core_id
    references = [entry for entry in sight.job.references.curves if entry.core_id == core_id]
    curved = sight.curved()
    if not references or not curved:
        return sight.not_judged(COPIED, "No curve, or no earlier one in the references of the job.")
    found = []
    for entry in curved:
        points = _as_read(sight, entry)
        for reference in references:
            count = len(points & {(point.voltage_v, point.current_a) for point in reference.points})
            if count >= _ROWS_ALIKE and count * 2 > len(points):
                sentence = (
                    f"{sight.scene.ct.phase_text} core {sight.core.number}: {count} of {len(points)} points "
                    f"are those of {reference.source_text} to the last digit. Are these readings of today?"
                )
                figures = (Figure("points alike", float(count), "1"),)
                found.append(
                    Notice(COPIED, (core_id,), "excitation", "", sentence, figures, take=entry.take.take)
                )
    return tuple(found)


def _as_read(sight: Sight, curved: Curved) -> set[tuple[float, float]]:
    factor = frequency_factor(sight.scene, curved.take)
    return {(point.voltage_v / factor, point.current_a) for point in curved.view.kept}


COPIES = (
    NoticeRow(notice_id=IDENTICAL, name="phases identical to the last digit", look=identical_phases),
    NoticeRow(notice_id=COPIED, name="copied from an earlier test", look=copied_from_before),
)
