"""Words for title block and status line, out of a view."""

from __future__ import annotations

from app.desk import View
from app.ui.texts import text
from app.words import figures
from ctcore.job import CT, Core, Place, Position, Tap, places


def place_of(view: View, core_id: str) -> Place | None:
    """The core of that id with its transformer and position."""
    return next((place for place in places(view.job) if place.core.core_id == core_id), None)


def ct_words(position: Position, ct: CT) -> str:
    """A transformer by position, phase and serial number."""
    serial = text("title.serial", serial=ct.serial_text) if ct.serial_text else ""
    return ", ".join(part for part in (position.name_text, ct.phase_text, serial) if part)


def ratio_words(tap: Tap) -> str:
    """The rated currents of a tap as on a plate, such as 600/5."""
    return f"{_amperes(tap.i_primary_rated_a)}/{_amperes(tap.i_secondary_rated_a)}"


def core_words(core: Core) -> str:
    """Class and ratios of a core in a few signs."""
    ratios = "-".join(dict.fromkeys(_amperes(tap.i_primary_rated_a) for tap in reversed(core.taps)))
    ratio = f"{ratios}/{_amperes(core.taps[0].i_secondary_rated_a)}" if len(core.taps) <= 3 else ""
    if not ratio:
        ratio = text("title.multi_ratio", ratio=ratio_words(core.full_tap))
    return " ".join(part for part in (core.class_text or text("title.no_class"), ratio) if part)


def title_cells(view: View, core_id: str) -> dict[str, str]:
    """What the cells of the title block say."""
    header = view.job.header
    cells = {"job": " ".join(part for part in (header.number_text, header.title_text) if part)}
    place = place_of(view, core_id)
    if place is not None:
        terminals = place.core.full_tap.terminals_text
        cells["set_and_ct"] = ct_words(place.position, place.ct)
        cells["core"] = f"{place.core.number}, {terminals}" if terminals else str(place.core.number)
        cells["plate"] = core_words(place.core)
    return cells


def limits_words(view: View) -> str:
    """What the job is judged by, and its state."""
    references = view.job.references
    limits = text(f"limit_set.{references.insulation_limit_set}")
    rule = text(f"decision.{references.decision_rule}")
    state = text(f"state.{view.job.state}")
    return text("foot.limits", limits=limits, rule=rule, state=state)


def _amperes(value: float) -> str:
    return figures.trimmed(value, "A", significant=6) if value % 1 else f"{value:.0f}"
