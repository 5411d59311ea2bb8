"""Texts too long for a heading, a cell or a foot: shortened wherever they stand, and printed whole once.

Safety: a text is never cut without a sign. What is left out stands under its number at the end of the sheet.
"""

from __future__ import annotations

import dataclasses
from typing import TYPE_CHECKING, Any, Final, TypeVar

from ctcore.job import Job

if TYPE_CHECKING:
    from app.report.content import SheetInput

LONGEST: Final = 240
_SHOWN: Final = 90
# Remarks and what is said of a deviation stand in rows that go on over pages.
_FREE: Final = ("remarks", "deviations", "acknowledgements")

T = TypeVar("T")


class WholeTexts:
    """The long texts of a job in the order in which they were met, each with its number."""

    def __init__(self) -> None:
        self.numbers: dict[str, int] = {}

    def short(self, text: str) -> str:
        """The text as it stands wherever it is used."""
        if len(text) <= LONGEST:
            return text
        number = self.numbers.setdefault(text, len(self.numbers) + 1)
        return f"{text[:_SHOWN].rstrip()}… [{mark(number)}]"

    def of(self, value: T) -> T:
        """A frozen value with the long ones of its texts shortened; names and numbers of parts stay."""
        changed: dict[str, Any] = {}
        for field in dataclasses.fields(value):  # type: ignore[arg-type]
            old = getattr(value, field.name)
            new = self._field(field.name, old)
            if new is not old:
                changed[field.name] = new
        return dataclasses.replace(value, **changed) if changed else value  # type: ignore[type-var]

    def _field(self, name: str, old: Any) -> Any:
        if isinstance(old, str):
            return self.short(old) if name.endswith("text") else old
        if isinstance(old, tuple) and old and name not in _FREE:
            new = tuple(self._item(name, entry) for entry in old)
            return new if any(one is not other for one, other in zip(new, old, strict=True)) else old
        return self.of(old) if dataclasses.is_dataclass(old) and not isinstance(old, type) else old

    def _item(self, name: str, entry: Any) -> Any:
        if isinstance(entry, str):
            return self.short(entry) if name == "phase_names" else entry
        return self.of(entry) if dataclasses.is_dataclass(entry) and not isinstance(entry, type) else entry


def mark(number: int) -> str:
    """What a shortened text is followed by, and what its whole text begins with."""
    return f"whole text {number}"


def shortened(given: SheetInput) -> tuple[SheetInput, dict[str, int]]:
    """The input with its long texts shortened, and the whole ones with their numbers."""
    texts = WholeTexts()
    readings = tuple(
        texts.of(entry) if len(entry.as_typed_text) + len(entry.reason_text) > LONGEST else entry
        for entry in given.job.readings
    )
    # Thousands of readings hold no other text of any length.
    plain: Job = texts.of(dataclasses.replace(given.job, readings=()))
    declared = texts.of(given.declaration) if given.declaration is not None else None
    job = dataclasses.replace(plain, readings=readings)
    return dataclasses.replace(given, job=job, declaration=declared), texts.numbers
