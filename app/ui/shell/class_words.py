"""A class text checked while it is typed: what was understood, or the reason why nothing was."""

from __future__ import annotations

from app.ui.shell.fields import FormField
from app.ui.texts import text
from app.words import retold
from ctcore.errors import BadInput
from ctcore.nameplate import parse_class


def check(field: FormField) -> bool:
    """Say at the field how its class text is read; an empty one is not stated yet, which is no fault."""
    words = field.value()
    if not words:
        field.say("")
        return True
    try:
        found = parse_class(words)
    except BadInput as problem:
        said = retold(problem.reason)
        field.say(f"{said[:1].upper()}{said[1:]}.")
        return False
    field.say("")
    field.note("" if str(found) == words else text("field.read_as", found=found))
    return True
