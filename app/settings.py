"""Preferences: one row each, kept in one small file in the folder of the program's data."""

from __future__ import annotations

import errno
import json
import os
import re
import shutil
import uuid
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from app.place import data_folder as data_folder  # known here by its old name too
from app.place import why_gone
from app.record.files import write_whole
from app.words.tables import LANGUAGES


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """One preference: its name, default, allowed words, label and help."""

    name: str
    default: str
    label: str
    help_text: str
    choices: tuple[tuple[str, str], ...] = ()
    asked_first: bool = False
    group: str = "kept"
    needed: bool = False
    most_signs: int = 200


ROWS: Final[tuple[Setting, ...]] = (
    Setting(
        name="organisation_text",
        group="office",
        needed=True,
        default="",
        label="Testing organisation",
        asked_first=True,
        help_text="Printed at the head of every sheet.",
    ),
    Setting(
        name="organisation_address_text",
        group="office",
        default="",
        label="Address",
        asked_first=True,
        help_text="Printed under the organisation.",
    ),
    Setting(
        name="organisation_mark_text",
        group="office",
        most_signs=12,
        default="",
        label="Mark",
        asked_first=True,
        help_text="A few letters that begin the number of every sheet.",
    ),
    Setting(
        name="paper",
        group="office",
        default="A4",
        label="Paper",
        asked_first=True,
        choices=(("A4", "A4"), ("Letter", "Letter")),
        help_text="Size of the printed sheet.",
    ),
    Setting(
        name="decimal_mark",
        group="keying",
        default="point",
        label="Decimal mark",
        asked_first=True,
        choices=(("point", "point: 12.5"), ("comma", "comma: 12,5"), ("ask", "either; ask when in doubt")),
        help_text="Of entry and of figures shown, and of new sheets. The numeric pad's key always means it.",
    ),
    Setting(
        name="insulation_limit_set",
        group="judging",
        default="tradition_1_mohm",
        label="Insulation limits",
        asked_first=True,
        help_text="The set that a new job starts with; each job can choose another.",
        choices=(
            ("tradition_1_mohm", "1 MΩ tradition (from memory)"),
            ("neta_100_1", "NETA table 100.1 by nominal voltage"),
            ("kv_plus_1_mohm", "(kV + 1) MΩ"),
            ("client", "client's own value"),
        ),
    ),
    Setting(
        name="decision_rule",
        group="judging",
        default="simple",
        label="Decision rule",
        asked_first=True,
        choices=(
            ("simple", "simple acceptance"),
            ("guard_band", "guard band of U"),
            ("four_way", "four-way, ILAC-G8"),
        ),
        help_text="How uncertainty enters a verdict; printed on the sheet.",
    ),
    Setting(
        name="person_name_text",
        group="person",
        needed=True,
        default="",
        label="Who I am",
        asked_first=True,
        help_text="Your name as it stands beside every reading and under the sheet.",
    ),
    Setting(
        name="person_id",
        group="kept",
        default="",
        label="My number in the records",
        help_text="Made by the program; it keeps two people of one name apart.",
    ),
    Setting(
        name="people_text",
        default="",
        label="Who sat here lately",
        help_text="Offered where another person sits down; people with a key here are offered as well.",
    ),
    Setting(
        name="copies_folder_text",
        group="safety",
        default="",
        label="Second folder for copies",
        help_text="On another device, such as a stick; copies beside the store are made all the same.",
    ),
    Setting(
        name="store_name_text",
        group="kept",
        default="store.sqlite",
        label="Store in use",
        help_text="Changes where a copy is brought back and worked on.",
    ),
    Setting(
        name="archive_place_text",
        group="safety",
        default="",
        label="Archive of the office",
        help_text=(
            "A path, or postgresql://user@server/database. What is issued goes there by itself when there is "
            "a network."
        ),
    ),
    Setting(
        name="language",
        group="look",
        default="en",
        label="Language of the screen",
        choices=LANGUAGES,
        help_text="The window opens anew in its place.",
    ),
    Setting(
        name="sheet_language",
        group="office",
        default="en",
        label="Language of new sheets",
        choices=LANGUAGES,
        help_text="What a new job starts with; its sheet stays with the language of its title block.",
    ),
    Setting(
        name="exchange_folder_text",
        group="safety",
        default="",
        label="Exchange folder",
        help_text="A share or stick where laptops leave jobs for the office; what lies there is offered.",
    ),
    Setting(
        name="theme",
        group="look",
        default="day",
        label="Theme",
        choices=(("day", "day"), ("night", "night"), ("system", "as the system")),
        help_text="Day is made for the sun.",
    ),
    Setting(
        name="density",
        group="look",
        default="field",
        label="Size of rows and buttons",
        choices=(("small", "small"), ("field", "field"), ("gloves", "gloves")),
        help_text="Gloves want larger targets.",
    ),
    Setting(
        name="review_order",
        group="look",
        default="worst",
        label="Order of what waits for review",
        choices=(("worst", "worst finding"), ("age", "longest wait"), ("outage", "end of outage")),
        help_text="The list of what waits remembers how it was ordered last.",
    ),
    Setting(
        name="size_percent",
        group="look",
        default="100",
        label="Size of everything",
        choices=tuple((size, f"{size} %") for size in ("100", "125", "150", "175", "200")),
        help_text="Letters and targets together; the window opens anew in its place.",
    ),
    Setting(
        name="place",
        group="kept",
        default="",
        label="Where the window was left",
        help_text="Kept while the window opens anew at another size.",
    ),
)

# The groups in the order in which they are shown; those of "kept" the program keeps by itself.
GROUPS: Final = ("office", "person", "keying", "judging", "safety", "look", "kept")
_BY_NAME: Final = {row.name: row for row in ROWS}
_WITH_PASSWORD: Final = re.compile(r"//[^/@:]*:[^/@]*@")


def row_of(name: str) -> Setting:
    """The row of that name. Raises KeyError where there is none."""
    return _BY_NAME[name]


def why_not(row: Setting, value: str) -> str:
    """Why a value is not taken, as the last part of the id of its text; "" where it is."""
    if row.needed and not value.strip():
        return "needed"
    if len(value) > row.most_signs:
        return "too_long"
    if row.name == "copies_folder_text" and value and not Path(value).expanduser().is_dir():
        return "no_folder"
    if row.name == "archive_place_text" and _WITH_PASSWORD.search(value):
        return "with_password"
    return ""


TRAINING: Final = "training"
# What belongs to one store, one person's number or one place is not taken along into training.
NOT_TAKEN_ALONG: Final = (
    "person_id",
    "people_text",
    "copies_folder_text",
    "store_name_text",
    "archive_place_text",
    "place",
)
_MARK: Final = "training-not-a-record.txt"
_ANEW: Final = "begin-anew"
_MARK_TEXT: Final = "Everything in this folder was keyed for practice. Nothing of it is a record.\n"


def training_folder(folder: Path) -> Path:
    """The folder of training within a folder of data, made and marked where it is not there yet.

    Where it was asked to begin anew, everything in it goes first; a folder without the mark is never emptied.
    """
    found = folder / TRAINING
    if (found / _ANEW).exists() and (found / _MARK).exists():
        shutil.rmtree(found, ignore_errors=True)
    found.mkdir(parents=True, exist_ok=True)
    if not (found / _MARK).exists():
        write_whole(found / _MARK, _MARK_TEXT.encode())
    return found


def empty_training(folder: Path) -> None:
    """Let training begin anew when it is entered next; what is open now stays until then."""
    if (folder / _MARK).exists():
        write_whole(folder / _ANEW, b"")


def profile_folder(folder: Path) -> Path:
    """Where what must not lie beside the store is remembered: the user's folder of settings.

    A folder of data that was stated, or that of a demonstration, keeps it within itself.
    """
    if os.environ.get("CORELEAF_HOME") or folder != data_folder():
        return folder / "profile"
    from platformdirs import user_config_path

    return user_config_path("coreleaf", appauthor=False)


class Settings:
    """The preferences of one user on one computer; a damaged file is set aside, never lost."""

    def __init__(
        self, folder: Path, values: dict[str, str], note_text: str = "", later: dict[str, Any] | None = None
    ) -> None:
        self.folder = folder
        self.note_text = note_text
        # What a newer program keeps in the same file goes back into it as it was.
        self._later = later or {}
        self.training = (folder / _MARK).exists()
        self._values = values

    @classmethod
    def load(cls, folder: Path) -> Settings:
        """The settings of that folder; defaults where there are none yet."""
        path = folder / "settings.json"
        try:
            found: Any = json.loads(path.read_text(encoding="utf-8"))
            values = {name: found[name] for name in _BY_NAME if isinstance(found.get(name), str)}
        except (FileNotFoundError, NotADirectoryError):
            return cls(folder, {})
        except (ValueError, AttributeError):
            aside = path.with_name(f"settings.unreadable-{uuid.uuid4().hex[:8]}.json")
            path.replace(aside)
            return cls(folder, {}, f"The settings could not be read; they were kept as {aside.name}.")
        later = {name: value for name, value in found.items() if name not in values}
        return cls(folder, values, later=later)

    def get(self, name: str) -> str:
        """The value of a preference; its default where none was chosen, or one that a newer program knows."""
        row, value = _BY_NAME[name], self._values.get(name)
        known = value is not None and (not row.choices or value in {choice for choice, _ in row.choices})
        return value if value is not None and known else row.default

    def change(self, **values: str) -> None:
        """Set preferences and save them all; a value that the row does not allow is refused."""
        for name, value in values.items():
            row = _BY_NAME[name]
            if row.choices and value not in {choice for choice, _ in row.choices}:
                raise ValueError(f"{row.label}: {value!r} is none of its choices")
        self._values.update(values)
        self._save()

    @property
    def store_path(self) -> Path:
        """The store that is worked on."""
        return self.folder / Path(self.get("store_name_text")).name

    def complete(self) -> bool:
        """Whether everything that the sheet needs was answered once."""
        return bool(self.get("organisation_text") and self.get("person_name_text"))

    def me(self) -> tuple[str, str]:
        """The number and the name of the person at this computer; the number is made on first use."""
        if not self.get("person_id"):
            # A folder that takes no file is looked at under a number of this run alone.
            with suppress(OSError):
                self.change(person_id=str(uuid.uuid4()))
        return self.get("person_id"), self.get("person_name_text") or "name not stated"

    def decimal_comma(self) -> bool | None:
        """What `ctcore.entry.parse` is told about the decimal mark."""
        return {"point": False, "comma": True, "ask": None}[self.get("decimal_mark")]

    def _save(self) -> None:
        if gone := why_gone(self.folder):
            raise FileNotFoundError(errno.ENOENT, gone, str(self.folder))
        self.folder.mkdir(parents=True, exist_ok=True)
        values = {**self._later, **self._values}
        data = json.dumps(values, indent=1, ensure_ascii=False, sort_keys=True).encode()
        write_whole(self.folder / "settings.json", data)
