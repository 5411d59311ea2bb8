"""What has to hold of a merge, told as a sentence where it does not; empty where all is well.

What was said by whom, who knew of it, and which readings there are is taken from the laptops' own books, not
from the code that merges.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from random import Random

from app.desk.merging import Form
from app.record.canonical import canonical
from tests.app.desk.merging.laptops import Laptop, Told

Merge = Callable[[Form, Form], Form]
_NEVER_ASKED = ("state", "steps", "attached")


def failure(laptops: Sequence[Laptop], merge: Merge, chance: Random) -> str:
    """What is wrong with the union of what the laptops have."""
    forms = [laptop.form for laptop in laptops]
    orders = [chance.sample(forms, len(forms)) for _ in range(3)]
    together, *others = [_in_turn(order, merge) for order in orders]
    others += [_in_halves(forms, merge), merge(together, forms[-1]), merge(forms[0], together)]
    if any(other != together for other in others):
        return "the result depends on the order"
    return _readings(laptops, together) or _files(laptops, together) or _unasked(laptops, together)


def _in_turn(forms: Sequence[Form], merge: Merge) -> Form:
    result = forms[0]
    for form in forms[1:]:
        result = merge(result, form)
    return result


def _in_halves(forms: Sequence[Form], merge: Merge) -> Form:
    """Each half by itself, and then both."""
    middle = len(forms) // 2
    if not middle:
        return forms[0]
    return merge(_in_halves(forms[:middle], merge), _in_halves(forms[middle:], merge))


def _readings(laptops: Sequence[Laptop], together: Form) -> str:
    made = {one.reading_id: one for laptop in laptops for one in laptop.made}
    found = [one.reading_id for one in together.job.readings]
    if sorted(made) != sorted(found):
        return f"{len(made.keys() - set(found))} readings lost, {len(set(found) - made.keys())} invented"
    if any(made[one.reading_id] != one for one in together.job.readings):
        return "a reading says something else"
    return ""


def _files(laptops: Sequence[Laptop], together: Form) -> str:
    named = {(one.name_text, one.digest_hex) for laptop in laptops for one in laptop.job.attached}
    there = {(one.name_text, one.digest_hex) for one in together.job.attached}
    if lost := named - there:
        return f"{len(lost)} attached files lost"
    said = {step for laptop in laptops for remark in laptop.job.remarks for step in remark.steps}
    kept = {step for remark in together.job.remarks for step in remark.steps}
    return f"{len(said - kept)} answers to remarks lost" if said - kept else ""


def _unasked(laptops: Sequence[Laptop], together: Form) -> str:
    """A part of which two things stand that nobody knew both of, and no question has them."""
    books: dict[str, list[Told]] = {}
    for told in (one for one in laptops[0].ledger if not one.part_id.startswith("question:")):
        books.setdefault(told.part_id, []).append(told)
    asked = {
        (question.part_id, dot)
        for question in together.job.questions
        for side in question.sides
        for dot in side.events
    }
    for part_id, its in books.items():
        stand = {_spelled(one) for one in its if not any(one.dot in other.known for other in its)}
        if len(stand) > 1 and stand - {_spelled(one) for one in its if (part_id, one.dot) in asked}:
            return f"nobody is asked about {part_id}"
    return ""


def _spelled(told: Told) -> bytes:
    kept = {name: value for name, value in (told.body or {}).items() if name not in _NEVER_ASKED}
    return canonical(kept)
