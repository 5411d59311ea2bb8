"""The readings of an open job by their field, and the takes that they make, kept up reading by reading."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping

from app.desk.view import Address
from ctcore.job import Reading
from ctcore.takes import Take, entry_order, renewed, takes_of, with_entry

Takes = Mapping[tuple[str, str], tuple[Take, ...]]


class ReadingIndex:
    """Finds the readings of one field and of one test without going through those of the whole job."""

    def __init__(self, readings: Iterable[Reading]) -> None:
        self._by_test: dict[tuple[str, str], list[Reading]] = defaultdict(list)
        self._by_field: dict[Address, list[Reading]] = defaultdict(list)
        self._rows: set[tuple[str, str, int, str]] = set()
        self._last: dict[tuple[str, str], tuple[str, str, int]] = {}
        for entry in readings:
            self._add(entry)

    def in_field(self, address: Address) -> tuple[Reading, ...]:
        """Every reading ever entered in a field, in the order of the job."""
        return tuple(self._by_field.get(address, ()))

    def superseded_by(self, entry: Reading) -> Reading | None:
        """The reading that stood in the field before this one; None where it was the first."""
        before = self._by_field.get(address_of(entry), ())
        return next((old for old in reversed(before) if old.reading_id == entry.supersedes_id), None)

    def add(self, entries: Iterable[Reading], takes: Takes) -> dict[tuple[str, str], tuple[Take, ...]]:
        """Take readings in; the takes that they change, what did not change in them the same objects."""
        changed: dict[tuple[str, str], tuple[Take, ...]] = {}
        for entry in entries:
            key = (entry.core_id, entry.procedure_id)
            before = changed.get(key, takes.get(key, ()))
            follows = self._follows(entry, before)
            self._add(entry)
            if follows:
                changed[key] = with_entry(before, entry)
            else:
                changed[key] = renewed(before, takes_of(self._by_test[key])[key])
        return changed

    def _follows(self, entry: Reading, takes: tuple[Take, ...]) -> bool:
        """Whether an entry comes after all others of its test, in a row that stands or that never was."""
        last = self._last.get((entry.core_id, entry.procedure_id))
        if last is not None and entry_order(entry) < last:
            return False
        if (entry.core_id, entry.procedure_id, entry.take, entry.row) not in self._rows:
            return True
        take = next((take for take in takes if take.take == entry.take), None)
        return take is not None and (entry.row == take.method.row or bool(take.row(entry.row).cells))

    def _add(self, entry: Reading) -> None:
        key = (entry.core_id, entry.procedure_id)
        self._by_test[key].append(entry)
        self._by_field[address_of(entry)].append(entry)
        self._rows.add((entry.core_id, entry.procedure_id, entry.take, entry.row))
        self._last[key] = max(self._last.get(key, entry_order(entry)), entry_order(entry))


def address_of(entry: Reading) -> Address:
    """The field that a reading stands in."""
    return Address(entry.core_id, entry.procedure_id, entry.take, entry.row, entry.quantity_id)
