"""What can be done from anywhere: one row per verb with its key, in the order of the menu."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True, slots=True)
class Verb:
    """One line of the menu; its words stand in the text table under `verb.<verb_id>`."""

    verb_id: str
    key: str
    group: str
    wants_job: bool = False


VERBS: Final = (
    Verb("jobs", "Ctrl+J", "jobs"),
    Verb("new_job", "Ctrl+N", "jobs"),
    Verb("take_in", "Ctrl+O", "jobs"),
    Verb("training", "Ctrl+T", "jobs"),
    Verb("worksheet", "Ctrl+W", "job", wants_job=True),
    Verb("board", "Shift+F8", "job", wants_job=True),
    Verb("plate", "Ctrl+L", "job", wants_job=True),
    Verb("day", "Shift+F12", "job", wants_job=True),
    Verb("references", "Ctrl+Shift+B", "job", wants_job=True),
    Verb("title", "Ctrl+B", "job", wants_job=True),
    Verb("people", "Ctrl+I", "job", wants_job=True),
    Verb("add_set", "Ctrl+D", "job", wants_job=True),
    Verb("plates_in", "Ctrl+Shift+L", "bring", wants_job=True),
    Verb("readings_in", "Ctrl+Shift+V", "bring", wants_job=True),
    Verb("attach", "Ctrl+Shift+A", "bring", wants_job=True),
    Verb("attached", "Ctrl+Shift+I", "bring", wants_job=True),
    Verb("hand_in", "Ctrl+H", "paper", wants_job=True),
    Verb("revise", "Ctrl+R", "paper", wants_job=True),
    Verb("preview", "Ctrl+P", "paper"),
    Verb("sheet", "Ctrl+Shift+S", "paper"),
    Verb("field_forms", "Ctrl+Shift+F", "paper", wants_job=True),
    Verb("give_out", "Ctrl+E", "paper", wants_job=True),
    Verb("hand_out", "Ctrl+Shift+M", "paper", wants_job=True),
    Verb("supersede", "", "end", wants_job=True),
    Verb("void", "", "end", wants_job=True),
    Verb("review", "Ctrl+Shift+R", "record"),
    Verb("trail", "Ctrl+Shift+T", "record", wants_job=True),
    Verb("questions", "Ctrl+Shift+Q", "record", wants_job=True),
    Verb("sending", "Ctrl+Shift+U", "record"),
    Verb("exchange", "Ctrl+Shift+X", "record"),
    Verb("check", "Ctrl+Shift+C", "record"),
    Verb("my_key", "Ctrl+Shift+K", "record"),
    Verb("office", "Ctrl+Shift+O", "record"),
    Verb("archive", "Ctrl+Shift+J", "record"),
    Verb("fleet", "Shift+F9", "record"),
    Verb("registers", "Ctrl+Shift+N", "record"),
    Verb("print_list", "Ctrl+Alt+P", "record"),
    Verb("undo", "Ctrl+Z", "go", wants_job=True),
    Verb("redo", "Ctrl+Y", "go", wants_job=True),
    Verb("find", "F3", "go"),
    Verb("next_part", "F6", "go"),
    Verb("sets", "F8", "go", wants_job=True),
    Verb("theme", "F9", "program"),
    Verb("larger", "Ctrl++", "program"),
    Verb("smaller", "Ctrl+-", "program"),
    Verb("small", "Ctrl+1", "program"),
    Verb("field", "Ctrl+2", "program"),
    Verb("gloves", "Ctrl+3", "program"),
    Verb("draw_again", "Ctrl+Shift+D", "program"),
    Verb("copies", "Ctrl+Shift+Y", "program"),
    Verb("data_place", "Ctrl+Shift+H", "program"),
    Verb("who", "Ctrl+Shift+E", "program"),
    Verb("practice", "Ctrl+Shift+P", "program"),
    Verb("practice_anew", "", "program"),
    Verb("preferences", "Ctrl+,", "program"),
    Verb("keys", "F1", "program"),
    Verb("help", "Shift+F1", "program"),
    Verb("walk", "Ctrl+Shift+W", "program"),
    Verb("walk_again", "", "program"),
    Verb("notices", "", "program"),
    Verb("diagnostics", "", "program"),
    Verb("about", "", "program"),
    Verb("menu", "F10", "go"),
    Verb("quit", "Ctrl+Q", "program"),
)
