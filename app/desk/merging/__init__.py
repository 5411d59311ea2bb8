"""Two forms of one job made into one: a union of readings, parts by id, a question where both differ.

Pure: no store and no clock. What stands comes from the events of both sides alone, so that the result does
not depend on who takes in whom, or in which order.
"""

from app.desk.merging.answering import answered, open_questions, value_of
from app.desk.merging.uniting import Form, Unlike, form_of, united
from app.desk.merging.wording import field_words, part_words, value_words

__all__ = [
    "Form",
    "Unlike",
    "answered",
    "field_words",
    "form_of",
    "open_questions",
    "part_words",
    "united",
    "value_of",
    "value_words",
]
