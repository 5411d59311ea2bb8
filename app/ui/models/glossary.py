"""Every word that the program explains, from the rows behind it: quantities, fields, tests, verdicts."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from app.settings import ROWS
from app.ui.models.quantity_words import name_of, words_of
from app.ui.models.setting_words import help_of, label_of
from app.ui.pages import plate_edits, title
from app.ui.shell.lines_view import LinesModel
from app.ui.texts import text
from app.words import procedure, quantity_in_words, told, verdict_word
from ctcore.findings import VERDICTS
from ctcore.plan import WHY
from ctcore.quantities import QUANTITIES

NOT_ASKED = ("person_id", "place")
OF_ARCHIVE = ("changed", "no_change_shown", "cannot_tell", "hold", "kept", "recall", "registers")
OF_THE_SET = ("name_text", "p1_faces_text", "serial_text")


@dataclass(frozen=True, slots=True)
class Entry:
    """One word: what it is, its name, and what is known of it."""

    kind: str
    name: str
    words: str


def entries() -> tuple[Entry, ...]:
    """Every entry by its name, whatever it is."""
    found = [
        *(Entry("quantity", name_of(row), words_of(row)) for row in map(quantity_in_words, QUANTITIES)),
        *(Entry("field", caption, text(f"help.field.{name}")) for name, caption in fields().items()),
        *(Entry("setting", label_of(row), help_of(row)) for row in ROWS if row.name not in NOT_ASKED),
        *(Entry("archive", text(f"help.name.{name}"), text(f"help.archive.{name}")) for name in OF_ARCHIVE),
        *(Entry("test", procedure(name).name, told(f"plan.{name}", why)) for name, why in WHY.items()),
        *(
            Entry("verdict", verdict_word(word), text(f"help.verdict.{word.replace(' ', '_')}"))
            for word in VERDICTS
        ),
    ]
    return tuple(sorted(found, key=lambda entry: (entry.name.casefold(), entry.kind)))


def fields() -> dict[str, str]:
    """Names and captions of every field of plate and title block."""
    set_fields = {name: text(f"plate.{name}") for name in OF_THE_SET[:2]}
    return {
        **{ask.name: text(f"header.{ask.name}") for ask in title.ASKS},
        **{ask.name: text(f"tap.{ask.name}") for ask in plate_edits.TAP_ASKS},
        **{ask.name: text(f"plate.{ask.name}") for ask in (*plate_edits.CT_ASKS, *plate_edits.CORE_ASKS)},
        **set_fields,
        "serial_text": text("plate.serial", phase="L1"),
    }


class GlossaryModel(LinesModel):
    """The entries that have every word that was typed."""

    def __init__(self, parent: Any = None) -> None:
        super().__init__(parent)
        self.all = entries()
        self.put(self.all)

    def look_for(self, typed: str) -> None:
        """Keep what has all typed words in it."""
        wanted = typed.casefold().split()
        self.put(
            [entry for entry in self.all if all(word in self.words(entry).casefold() for word in wanted)]
        )

    def words(self, line: Any) -> str:
        """Kind, name and meaning in one sentence."""
        return f"{line.name}. {text(f'help.kind.{line.kind}')}. {line.words}"
