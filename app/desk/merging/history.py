"""Which event knew of which, and by that the forms of a part that stand beside each other.

A merge names the heads that it took in; it knows of all that lies behind them, and says nothing of its own.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from app.record.act import Event

MERGE: Final = "merge"
KEEP: Final = "keep"
# They change the list of attached files in the title block and nothing else of it; that list is united.
_ATTACHING: Final = ("attach", "strike_attached")
_TAKEN_IN: Final = "take_in"
_QUESTION: Final = "question:"


@dataclass(frozen=True, slots=True)
class Touch:
    """An event that put a part in a form, or took it out where `digest_hex` is empty."""

    event: Event
    digest_hex: str

    @property
    def dot(self) -> str:
        """The event by device and number."""
        return dot_of(self.event)


def dot_of(event: Event) -> str:
    """How an event is named."""
    return f"{event.device_id}/{event.n}"


class History:
    """The events of a job from any number of computers."""

    def __init__(self, events: Iterable[Event]) -> None:
        by_place = {(event.device_id, event.n): event for event in events}
        self.events = tuple(by_place[place] for place in sorted(by_place))
        self._past: dict[tuple[str, int], dict[str, int]] = {}
        self._touches: dict[str, list[Touch]] = defaultdict(list)
        self._marks: dict[str, list[Touch]] = defaultdict(list)
        self._orders: dict[str, tuple[str, str, int]] = {}
        for event in self._in_causal_order():
            self._note(event)

    @property
    def part_ids(self) -> frozenset[str]:
        """Every part that was ever put or taken out."""
        return frozenset(self._touches)

    def knew(self, later: Event, earlier: Event) -> bool:
        """Whether the one was made by somebody who had the other."""
        return self._past[(later.device_id, later.n)].get(earlier.device_id, 0) >= earlier.n

    def standing(self, part_id: str) -> tuple[Touch, ...]:
        """The touches of a part that no later one knew of, by device and number; more than one are apart."""
        touches = self._touches.get(part_id, [])
        stand: list[Touch] = []
        for one in reversed(touches):
            if not any(self.knew(other.event, one.event) for other in stand):
                stand.append(one)
        kept = [one for one in stand if not self._said_before(one, stand, touches)]
        return tuple(sorted(kept, key=lambda one: (one.event.device_id, one.event.n)))

    def touches(self, part_id: str) -> tuple[Touch, ...]:
        """Everything that was ever made of a part."""
        return tuple(self._touches.get(part_id, ()))

    def order_of(self, part_id: str, untold: int) -> int:
        """The place in its list that a part was given last; `untold` where no event gave one."""
        return self._orders.get(part_id, ("", "", untold))[2]

    def first_at_utc(self, part_id: str) -> str:
        """When a part was first put."""
        return min((one.event.act.at_utc for one in self._touches.get(part_id, ())), default="")

    def last_content(self, part_id: str) -> Touch | None:
        """The last touch that put a part, whatever came after it."""
        return next((one for one in reversed(self._touches.get(part_id, [])) if one.digest_hex), None)

    def gone_over(self, question_id: str, part_id: str) -> bool:
        """Whether somebody who had the question changed its part."""
        marks = self._marks.get(question_id, [])
        return any(self._had(touch.event, marks) for touch in self._touches.get(part_id, ()))

    def _had(self, event: Event, marks: list[Touch]) -> bool:
        """Whether who made an event had what was put and taken out by these."""
        before = [one for one in marks if one.event is not event and self.knew(event, one.event)]
        return any(
            one.digest_hex
            and not any(self.knew(other.event, one.event) for other in before if other is not one)
            for one in before
        )

    def _said_before(self, one: Touch, stand: list[Touch], touches: list[Touch]) -> bool:
        """Whether it only brought what a file said, and somebody else went on from the very same."""
        if one.event.act.kind != _TAKEN_IN:
            return False
        others = [other for other in stand if other.event.act.kind != _TAKEN_IN]
        return any(
            before.digest_hex == one.digest_hex and self.knew(other.event, before.event)
            for other in others
            for before in touches
        )

    def _note(self, event: Event) -> None:
        put = {str(name): str(its) for name, its in event.content.get("parts", {}).items()}
        put |= {str(name): "" for name in event.content.get("removed_parts", ())}
        for name in [name for name in put if name.startswith(_QUESTION)]:
            self._marks[name.removeprefix(_QUESTION)].append(Touch(event, put.pop(name)))
        if event.act.kind in (MERGE, *_ATTACHING) or event.act.where.get("heads"):
            return
        orders = event.content.get("part_orders", {})
        for part_id, digest_hex in put.items():
            touch = Touch(event, digest_hex)
            if digest_hex:
                given = (event.act.at_utc, touch.dot, int(orders.get(part_id, 0)))
                self._orders[part_id] = max(self._orders.get(part_id, given), given)
            # An answer says what holds, also where it leaves the part as it was.
            if event.act.kind == KEEP or not self._only_moved(self._touches[part_id], touch):
                self._touches[part_id].append(touch)

    def _only_moved(self, touches: list[Touch], touch: Touch) -> bool:
        """Whether it puts the part as the one before it had it, only elsewhere in its list."""
        known: list[Touch] = []
        for one in reversed(touches):
            if self.knew(touch.event, one.event) and not any(
                self.knew(other.event, one.event) for other in known
            ):
                known.append(one)
        return bool(known) and all(one.digest_hex == touch.digest_hex for one in known)

    def _in_causal_order(self) -> list[Event]:
        """Each event after all that it knew of."""
        waiting: dict[str, list[Event]] = defaultdict(list)
        for event in reversed(self.events):
            waiting[event.device_id].append(event)
        done: list[Event] = []
        reached: dict[str, int] = {}
        while waiting:
            free = [its[-1] for its in waiting.values() if self._may_come(its[-1], waiting)]
            # Assumption: honest trails have no ring; one that claims it is taken by number.
            event = min(free or [its[-1] for its in waiting.values()], key=lambda one: (one.device_id, one.n))
            waiting[event.device_id].pop()
            if not waiting[event.device_id]:
                del waiting[event.device_id]
            self._learn(event, reached)
            done.append(event)
        return done

    def _may_come(self, event: Event, waiting: dict[str, list[Event]]) -> bool:
        return all(
            device_id not in waiting or waiting[device_id][-1].n > n
            for device_id, n in _heads(event)
            if device_id != event.device_id
        )

    def _learn(self, event: Event, reached: dict[str, int]) -> None:
        past = dict(self._past.get((event.device_id, reached.get(event.device_id, 0)), {}))
        for device_id, n in _heads(event):
            last = max((m for its, m in self._past if its == device_id and m <= n), default=0)
            for other, m in self._past.get((device_id, last), {}).items():
                past[other] = max(past.get(other, 0), m)
            past[device_id] = max(past.get(device_id, 0), n)
        past[event.device_id] = event.n
        self._past[(event.device_id, event.n)] = past
        reached[event.device_id] = event.n


def _heads(event: Event) -> list[tuple[str, int]]:
    return [(str(one[0]), int(one[1])) for one in event.act.where.get("heads", ())]
