"""What a verdict rests on: its limit and who set it, how sure it is, and the uncertainty line by line."""

from __future__ import annotations

from dataclasses import dataclass

from app.ui.texts import text
from app.ui.worksheet.sheet import Sheet
from app.words import figures, quantity, retold
from app.words.figures import shown
from ctcore.findings import Finding, conformance_text
from ctcore.job import LimitOverride
from ctcore.judge import budget_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Basis:
    """Words about one finding, and a row of texts for each line of its budget, the sum last."""

    heading: str
    told: str
    budget: tuple[tuple[str, ...], ...]
    has_limit: bool
    override: LimitOverride | None


def basis_of(sheet: Sheet, finding: Finding) -> Basis:
    """All that is known of how a finding came about."""
    asked = quantity(finding.quantity)
    row = next((line.words for line in sheet.rows if line.row == finding.row), "")
    name = f"{asked.name[:1].upper()}{asked.name[1:]}"
    sentences = [retold(finding.text), finding.source and text("basis.source", source=retold(finding.source))]
    sure = retold(conformance_text(finding))
    sentences.append(sure and text("basis.sure", words=sure))
    rule = sheet.view.job.references.decision_rule
    if finding.u_expanded is not None and finding.limit is not None:
        sentences.append(text(f"basis.rule.{rule}"))
    return Basis(
        heading=f"{name}, {row}" if row else name,
        told="\n".join(part for part in sentences if part),
        budget=_budget(sheet, finding),
        has_limit=finding.limit_low is not None or finding.limit_high is not None,
        override=_override(sheet, finding),
    )


def _budget(sheet: Sheet, finding: Finding) -> tuple[tuple[str, ...], ...]:
    takes = sheet.view.takes.get((finding.core, finding.procedure), ())
    take = next((one for one in takes if one.take == finding.take), None)
    found = None if take is None else budget_of(sheet.scene, take, finding.row, finding.quantity)
    if found is None:
        return ()
    lines = [
        (retold(line.name), _size(finding, abs(line.contribution)), _percent(line.share_percent),
         ", ".join(retold(part) for part in (line.source, line.distribution) if part))
        for line in found.rows()
    ]  # fmt: skip
    whole = (
        text("basis.whole"), _size(finding, found.u_combined), "",
        text("basis.expanded", u=_size(finding, found.u_expanded)),
    )  # fmt: skip
    return (*lines, whole)


def _size(finding: Finding, base_value: float) -> str:
    # Practice: an uncertainty is stated with two digits (JCGM 100:2008, 7.2.6).
    return figures.with_unit(base_value, quantity(finding.quantity).unit or "1", significant=2)


def _percent(share: float) -> str:
    return figures.with_unit(share, "percent", decimals=0)


def _override(sheet: Sheet, finding: Finding) -> LimitOverride | None:
    """The limit of the office that holds for this core alone."""
    every = sheet.view.job.references.limit_overrides
    return next((one for one in every if (one.rule, one.core_id) == (finding.rule, finding.core)), None)


def limit_words(finding: Finding, limit: float | None) -> str:
    """A limit with its unit, as it is keyed; empty where there is none."""
    return "" if limit is None else shown(finding.quantity, limit)
