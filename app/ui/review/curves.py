"""The excitation curves that who decides looks at: this core, its sisters, certificate, earlier tests."""

from __future__ import annotations

import dataclasses
from typing import TYPE_CHECKING

from app.ui.archive.drawing import line_of
from app.ui.plots.content import PlotContent
from app.ui.texts import text
from app.ui.worksheet.plot_content import plot_content
from app.ui.worksheet.sheet import sheet
from ctcore.procedures import PROCEDURES

if TYPE_CHECKING:
    from app.desk import View
    from app.desk.archive.before import EarlierTest
    from app.ui.review.to_decide import DecideLine
    from app.ui.worksheet.curves import CurveStore
    from ctcore.takes import Take

_CURVED = frozenset(one.procedure_id for one in PROCEDURES if one.curve == "excitation")


def take_of(view: View, line: DecideLine) -> Take | None:
    """The excitation test that a line is about: the take that it names, else the last; None for another."""
    if line.procedure_id not in _CURVED:
        return None
    takes = view.takes.get((line.core_id, line.procedure_id), ())
    parts = line.key.split("/")
    named = next((one for one in takes if len(parts) > 2 and str(one.take) == parts[2]), None)
    return named or next(iter(takes[-1:]), None)


def content_of(view: View, take: Take, earlier: EarlierTest | None, curves: CurveStore) -> PlotContent:
    """What the worksheet draws of that test, with the curve of the archive beside it."""
    shown = sheet(
        view, take.core_id, take.procedure_id, take_number=take.take, why=lambda _reading: None, curves=curves
    )
    drawn = plot_content(shown, curves)
    own = dataclasses.replace(
        drawn.curves[-1], words=text("review.before.own", phase=shown.place.ct.phase_text)
    )
    made = dataclasses.replace(drawn, curves=(*drawn.curves[:-1], own), next_voltage_v=None)
    if earlier is None or earlier.curve is None:
        return made
    words = text("review.before.curve", day=earlier.tested_on, number=earlier.number_text)
    # The key of the curves tells it by its test, not by its phase.
    line = dataclasses.replace(line_of(earlier.curve, "previous", words), phase_text="")
    return dataclasses.replace(made, curves=(line, *made.curves))


def earlier_words(earlier: EarlierTest | None) -> str:
    """Which test it was, and how its curve compares."""
    if earlier is None:
        return text("review.before.none")
    said = text(
        "review.before.found", day=earlier.tested_on, number=earlier.number_text, revision=earlier.revision
    )
    if earlier.curve is None:
        return said
    if earlier.refusals:
        return f"{said} {text('review.before.refused', reasons='; '.join(earlier.refusals))}"
    return f"{said} {text('review.before.alike', most=earlier.largest_text)}"
