"""Which cautions stand at a step, in words, and who has read them."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Final

from app.ui.texts import text
from app.ui.worksheet.caution import CautionLine
from app.ui.worksheet.sheet import Sheet
from app.words import caution, figures
from ctcore import safety
from ctcore.job import Acknowledgement, Job
from ctcore.landing import Landing
from ctcore.safety import SafetyFigures

PARTS: Final = ("hazard", "can_do", "so")
_last: dict[str, tuple[Sheet, SafetyFigures]] = {}


def figures_of(sheet: Sheet) -> SafetyFigures:
    """The computed volts and times of the step on the page; asked for twice at each redraw."""
    kept = _last.get("figures")
    if kept is None or kept[0] is not sheet:
        kept = (sheet, safety.figures_of(sheet.scene, sheet.procedure.procedure_id, sheet.take))
        _last["figures"] = kept
    return kept[1]


def cautions_of(sheet: Sheet) -> tuple[CautionLine, ...]:
    """The cautions of the step on the page in the order of the procedure."""
    placed = safety.placeholders(figures_of(sheet))
    known = {name: figures.marked(words) for name, words in placed.items()}
    lines = []
    for caution_id in sheet.procedure.cautions:
        hazard, can_do, so = (caution(caution_id, part).format(**known) for part in PARTS)
        known_words = [_without_unknown(words) for words in (hazard, can_do, so)]
        lines.append(
            CautionLine(
                caution_id, known_words[0], known_words[1], known_words[2], _read_by(sheet, caution_id)
            )
        )
    return tuple(lines)


def band_text(sheet: Sheet) -> str:
    """The computed volts of the step in one sentence; empty where none are known.

    Safety: only figures that the step's own cautions speak of; volts of another test would mislead.
    """
    known = figures_of(sheet)
    spoken = " ".join(caution(caution_id, part) for caution_id in sheet.procedure.cautions for part in PARTS)
    named = (("{v_applied_v}", known.v_applied_v), ("{v_highest_v}", known.v_highest_v))
    volts = [value for name, value in named if name in spoken and value is not None]
    if not volts:
        return ""
    highest = max(volts)
    said = figures.with_unit(highest, "V", significant=3)
    where = known.terminals_text or text("caution.terminals")
    if known.v_applied_v and known.v_primary_v is not None:
        primary = known.v_primary_v * highest / known.v_applied_v
        shown = figures.with_unit(primary, "V", significant=2)
        return text("caution.band_primary", volts=said, terminals=where, primary=shown)
    return text("caution.band", volts=said, terminals=where)


def _without_unknown(words: str) -> str:
    """The sentences whose figures are known: nobody is helped by a gap in a warning."""
    sentences = words.split(". ")
    kept = [entry for entry in sentences if safety.NOT_KNOWN not in entry]
    return ". ".join(kept) + ("." if kept and not kept[-1].endswith(".") else "")


def _read_by(sheet: Sheet, caution_id: str) -> str:
    job = sheet.view.job
    found = [
        entry
        for entry in job.acknowledgements
        if (entry.caution_id, entry.core_id, entry.procedure_id)
        == (caution_id, sheet.core.core_id, sheet.procedure.procedure_id)
    ]
    return who_and_when(job, found[-1]) if found else ""


def who_and_when(job: Job, entry: Acknowledgement | Landing) -> str:
    """Initials and clock of who confirmed something: "J.V. 10:06"."""
    return f"{_initials(job, entry)} {_clock(entry)}"


def _initials(job: Job, entry: Acknowledgement | Landing) -> str:
    name = next((person.name_text for person in job.people if person.person_id == entry.person_id), "")
    return "".join(f"{part[0]}." for part in name.split() if part) or "read"


def _clock(entry: Acknowledgement | Landing) -> str:
    at = datetime.fromisoformat(entry.at_utc) + timedelta(minutes=entry.utc_offset_minutes)
    return at.strftime("%H:%M")
