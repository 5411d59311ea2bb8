"""A limit set of the office: what jobs are judged by beside their plates, limits with source and edition."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass

from app.desk.view import Refusal
from ctcore.job import DecisionRule, LimitOverride, References
from ctcore.judgement.office_rules import OFFICE_RULES


@dataclass(frozen=True, slots=True, kw_only=True)
class SetLimit:
    """A limit of a set in the base unit: for cores whose plate states that class, or for every core.

    `rule` is one of `OFFICE_RULES`; `clause_text` is where in the document of the set it stands.
    """

    rule: str
    class_text: str
    limit_low: float | None
    limit_high: float | None
    clause_text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitSet:
    """What a job is judged by beside its plates, under a name of the office.

    `source_text` is the document that its limits are from, with its edition; `set_by_text` is who of the
    office answers for them.
    """

    set_id: str
    name_text: str
    decision_rule: DecisionRule = "simple"
    insulation_limit_set: str = "tradition_1_mohm"
    insulation_correction: str = "halving_per_10k"
    client_insulation_limit_ohm: float | None = None
    voltage_ceiling_v: float | None = None
    source_text: str = ""
    set_by_text: str = ""
    limits: tuple[SetLimit, ...] = ()

    @property
    def references(self) -> References:
        """The same as a job holds it."""
        return self.put_into(References())

    def put_into(self, references: References) -> References:
        """What a job is judged by, with this set in the place of the one before.

        Figures to compare with stay, and so does a limit that was set for one core alone.
        """
        own = tuple(one for one in references.limit_overrides if one.core_id)
        return dataclasses.replace(
            references,
            limit_overrides=(*(self._as_held(one) for one in self.limits), *own),
            decision_rule=self.decision_rule,
            insulation_limit_set=self.insulation_limit_set,
            insulation_correction=self.insulation_correction,
            client_insulation_limit_ohm=self.client_insulation_limit_ohm,
            voltage_ceiling_v=self.voltage_ceiling_v,
        )

    def _as_held(self, one: SetLimit) -> LimitOverride:
        said = ", ".join(filter(None, (self.source_text, one.clause_text)))
        return LimitOverride(
            rule=one.rule,
            core_id="",
            class_text=one.class_text,
            limit_low=one.limit_low,
            limit_high=one.limit_high,
            # Safety: without a document there is no reason, and a limit without reason says no "within".
            reason_text=f"{said} (limit set {self.name_text})" if self.source_text.strip() else "",
            person_text=self.set_by_text,
        )


def demand_founded(entry: LimitSet) -> None:
    """A limit without its source or the name of who set it says no "within": it is refused at once."""
    if entry.limits and not (entry.source_text.strip() and entry.set_by_text.strip()):
        raise Refusal(
            "Nothing was changed. Limits want the document that they are from, with its edition, and the "
            "name of who of the office set them: fill in both fields of the set first."
        )
    for one in entry.limits:
        if one.rule not in OFFICE_RULES:
            raise Refusal(f"Nothing was changed. No limit of the name {one.rule} is known here.")
        low, high = one.limit_low, one.limit_high
        if low is None and high is None:
            raise Refusal("Nothing was changed. A limit needs a lower or an upper figure.")
        if low is not None and high is not None and low > high:
            raise Refusal("Nothing was changed. The lower limit lies above the upper one.")
