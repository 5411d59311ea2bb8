"""The one refusal of a job file: a sentence that names the file, the place in it and the reason."""

from __future__ import annotations

from ctcore.errors import BadInput


class JobFileProblem(BadInput):
    """A job file that is not taken, or could not be written; `sentence` is one line for the user.

    >>> JobFileProblem("bay.json", "job.header.number_text", None, "is missing").sentence
    'bay.json: job.header.number_text: is missing'
    >>> JobFileProblem("bay.json", "job.frequency_rated_hz", -50.0, "is above zero").sentence
    'bay.json: job.frequency_rated_hz: -50.0: is above zero'
    """

    def __init__(self, file_text: str, place: str, value: object, reason: str) -> None:
        super().__init__(place, value, reason)
        self.file_text = file_text
        self.place = place

    @property
    def sentence(self) -> str:
        """File, place, value where it is short, and reason, on one line."""
        # A place holds whatever names the file holds.
        parts = [self.file_text, _cut(self.place, 160), short(self.value), _cut(self.reason, 300)]
        return _one_line(": ".join(part for part in parts if part))

    def __str__(self) -> str:
        return self.sentence

    def __reduce__(self) -> tuple[type[JobFileProblem], tuple[str, str, object, str]]:  # type: ignore[override]
        return (type(self), (self.file_text, self.place, self.value, self.reason))


def short(value: object) -> str:
    """A value as it can stand in a sentence; nothing for groups, lists and what is absent."""
    if value is None or isinstance(value, dict | list | tuple):
        return ""
    text = f'"{value}"' if isinstance(value, str) else str(value)
    return _cut(text, 60)


def _cut(text: str, longest: int) -> str:
    return text if len(text) <= longest else text[: longest - 3] + "..."


def _one_line(text: str) -> str:
    """Whatever a file name or a value holds, the sentence stays one printable line."""
    return "".join(mark if mark.isprintable() else "\N{REPLACEMENT CHARACTER}" for mark in text)
