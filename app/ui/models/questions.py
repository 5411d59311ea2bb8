"""The values that stand against each other, as a table: a row per value, the field named once."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

from app.ui.models.lines import LinesModel
from app.words import retold

if TYPE_CHECKING:
    from app.desk.questions import QuestionLine, SideLine


@dataclass(frozen=True, slots=True)
class SideRow:
    """One value of a question."""

    question: QuestionLine
    side: int

    @property
    def its(self) -> SideLine:
        """What it says, who said it and when."""
        return self.question.sides[self.side]


class QuestionsModel(LinesModel[SideRow]):
    """Where, field, value, who, when."""

    columns: ClassVar = ("where", "field", "value", "who", "when")
    heads: ClassVar = "questions.head"

    def put(self, questions: Iterable[QuestionLine]) -> None:
        """Show these questions."""
        self.show_lines(SideRow(one, side) for one in questions for side in range(len(one.sides)))

    def words(self, one: SideRow, column: str) -> str:
        """What a value says in a column."""
        if column in ("where", "field"):
            told = retold(one.question.where_text if column == "where" else one.question.field_text)
            return "" if one.side else f"{told[:1].upper()}{told[1:]}"
        its = one.its
        return {"value": retold(its.value_text), "who": its.who_text, "when": retold(its.when_text)}[column]
