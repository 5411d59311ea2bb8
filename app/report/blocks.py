"""What a page is filled with: blocks that know their height, can be split, and draw themselves.

Practice: the page flow is the sheet's own and small, because every block must be measured before any page is
drawn ("page n of N"), must never lose a line, and takes no mark-up from what was typed.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from typing import Literal

from app.report.fonts import BODY, TITLE, face, printable
from app.report.pen import HAIR, RULE, Pen

Align = Literal["left", "right", "middle"]
BODY_SIZE = 8.5
SMALL_SIZE = 7.5
LEAST_SIZE = 5.5
_LONGEST_FIGURE = 24
# What is lower than this is moved to the next page rather than parted.
_LOW = 200.0


class Block(ABC):
    """One thing on the page. `keep_next`: it is not left alone at the foot of a page."""

    keep_next = False

    @abstractmethod
    def height(self, width: float) -> float:
        """Height in points at that width."""

    @abstractmethod
    def draw(self, pen: Pen, x: float, top: float, width: float) -> None:
        """Draw with the upper left corner at (x, top)."""

    def least(self, width: float) -> float:
        """The height without which not even a beginning of the block can be placed."""
        return self.height(width)

    def split(self, width: float, space: float) -> tuple[Block, Block] | None:
        """Two blocks of which the first fits into `space`, or None where it cannot be parted there."""
        del width, space
        return None


class Space(Block):
    """Nothing, so high; vanishes at the top of a page."""

    def __init__(self, points: float) -> None:
        self.points = points

    def height(self, width: float) -> float:
        return self.points

    def draw(self, pen: Pen, x: float, top: float, width: float) -> None:
        return


class NewPage(Block):
    """What follows begins a page; `running_text` stands in its running head.

    On a page of which less than `stays_below` is filled it goes on under what is there; the running head of
    that page stays, since what is at its top does.
    """

    def __init__(self, running_text: str, *, stays_below: float = 0.0) -> None:
        self.running_text = running_text
        self.stays_below = stays_below

    def height(self, width: float) -> float:
        return 0.0

    def draw(self, pen: Pen, x: float, top: float, width: float) -> None:
        return


@dataclass(frozen=True, slots=True)
class Run:
    """A stretch of text in one face."""

    text: str
    font: str = BODY


Line = tuple[tuple[Run, ...], float]


@dataclass(slots=True)
class Words(Block):
    """Text that wraps at its width, in one or several faces of one size; nothing in it is mark-up."""

    runs: tuple[Run, ...]
    size: float = BODY_SIZE
    align: Align = "left"
    leading: float = 1.32
    keep_next: bool = False
    indent: float = 0.0
    struck: bool = False
    _lines: dict[float, list[Line]] = field(default_factory=dict)

    def lines(self, width: float) -> list[Line]:
        """The lines at that width, each with its length."""
        known = self._lines.get(width)
        if known is None:
            known = self._lines[width] = _wrapped(self.runs, self.size, width - self.indent)
        return known

    def height(self, width: float) -> float:
        return len(self.lines(width)) * self.size * self.leading

    def least(self, width: float) -> float:
        return min(len(self.lines(width)), 2) * self.size * self.leading

    def draw(self, pen: Pen, x: float, top: float, width: float) -> None:
        step = self.size * self.leading
        x, span = x + self.indent, width - self.indent
        base = top + (step + self.size * 0.72) / 2.0
        for number, (runs, length) in enumerate(self.lines(width)):
            at = x + {"left": 0.0, "right": span - length, "middle": (span - length) / 2.0}[self.align]
            if self.struck:
                y = base + number * step - self.size * 0.27
                pen.line(at - 1.5, y, at + length + 1.5, y, width=0.7)
            for run in runs:
                pen.text(at, base + number * step, run.text, font=run.font, size=self.size)
                at += face(run.font).width(run.text, self.size)

    def split(self, width: float, space: float) -> tuple[Block, Block] | None:
        lines = self.lines(width)
        fits = int(space // (self.size * self.leading))
        if fits < 1 or fits >= len(lines):
            return None
        return self._part(lines[:fits], width), self._part(lines[fits:], width)

    def _part(self, lines: list[Line], width: float) -> Words:
        part = replace(self, _lines={width: lines})
        part.runs = tuple(run for runs, _ in lines for run in runs)
        return part


def words(
    text: str, *, font: str = BODY, size: float = BODY_SIZE, align: Align = "left", indent: float = 0.0
) -> Words:
    """Text in one face."""
    return Words((Run(text, font),), size=size, align=align, indent=indent)


class Figure(Block):
    """A figure at the right of its column; it grows smaller rather than being cut, for half a number lies."""

    def __init__(self, text: str, *, font: str = BODY, size: float = BODY_SIZE, light: bool = False) -> None:
        self.text = printable(text)
        self.font = font
        self.size = size
        self.light = light

    def _fitted(self, width: float) -> Words:
        widest = max((face(self.font).width(word, self.size) for word in self.text.split(" ")), default=0.0)
        size = self.size if widest <= width else self.size * width / widest * 0.999
        if max(map(len, self.text.split(" "))) > _LONGEST_FIGURE:
            # No number is so long: what was typed is parted rather than printed too small to be seen.
            size = max(size, LEAST_SIZE)
        return words(self.text, font=self.font, size=size, align="right")

    def height(self, width: float) -> float:
        return max(self._fitted(width).height(width), self.size * 1.32)

    def draw(self, pen: Pen, x: float, top: float, width: float) -> None:
        fitted = self._fitted(width)
        if not self.light:
            fitted.draw(pen, x, top + (self.height(width) - fitted.height(width)) / 2.0, width)
            return
        lines = fitted.lines(width)
        length = max(length for _, length in lines)
        high = self.height(width)
        pen.box(x + width - length - 3.0, top - 0.6, length + 6.0, high + 1.2, width=0.2, fill=0.0)
        step = high / len(lines)
        for number, (runs, _) in enumerate(lines):
            text = "".join(run.text for run in runs)
            base = top + number * step + (step + fitted.size * 0.72) / 2.0
            pen.text(x + width, base, text, font=self.font, size=fitted.size, align="right", light=True)


def _wrapped(runs: Sequence[Run], size: float, width: float) -> list[Line]:
    single = _on_one_line(runs, size, width)
    if single is not None:
        return [single]
    lines: list[Line] = []
    current: list[Run] = []
    length = 0.0
    for token, font in _tokens(runs):
        if token == "\n":
            lines.append((tuple(_merged(current)), length))
            current, length = [], 0.0
            continue
        for part in _fitting(token, font, size, width):
            extent = face(font).width(part, size)
            if current and length + face(font).width(part.rstrip(" "), size) > width + 0.01:
                lines.append(_ended(current, length, size))
                current, length = [], 0.0
                if not part.strip(" "):
                    continue
            current.append(Run(part, font))
            length += extent
    lines.append(_ended(current, length, size))
    return lines


def _on_one_line(runs: Sequence[Run], size: float, width: float) -> Line | None:
    """The line of a text that needs no wrapping, as most cells do not."""
    if any("\n" in run.text for run in runs):
        return None
    shown = [Run(printable(run.text), run.font) for run in runs]
    length = sum(face(run.font).width(run.text, size) for run in shown)
    return None if length > width else _ended(shown, length, size)


def _ended(current: list[Run], length: float, size: float) -> Line:
    merged = _merged(current)
    if merged:
        last = merged[-1]
        bare = last.text.rstrip(" ")
        length -= face(last.font).width(last.text[len(bare) :], size)
        merged[-1] = Run(bare, last.font)
    return tuple(merged), length


def _merged(runs: Iterable[Run]) -> list[Run]:
    merged: list[Run] = []
    for run in runs:
        if merged and merged[-1].font == run.font:
            merged[-1] = Run(merged[-1].text + run.text, run.font)
        else:
            merged.append(run)
    return merged


def _tokens(runs: Sequence[Run]) -> Iterable[tuple[str, str]]:
    """Words with the gap behind them, and line ends."""
    for run in runs:
        for number, paragraph in enumerate(run.text.replace("\r\n", "\n").split("\n")):
            if number:
                yield "\n", run.font
            word = ""
            for sign in printable(paragraph):
                if word.endswith(" ") and sign != " ":
                    yield word, run.font
                    word = ""
                word += sign
            if word:
                yield word, run.font


def _fitting(token: str, font: str, size: float, width: float) -> Iterable[str]:
    """The token, cut where it alone is longer than the line."""
    this = face(font)
    while True:
        cut = this.fitting(token, size, width)
        if not token[cut:].strip(" "):
            break
        # A long number of a document reads better parted after its strokes than amid its letters.
        stroke = max(token.rfind(sign, 0, cut) for sign in "-/_")
        cut = stroke + 1 if stroke > 0 else cut
        yield token[:cut]
        token = token[cut:]
    yield token


class Heading(Block):
    """A heading over a rule, with a note at the right end."""

    keep_next = True

    def __init__(self, text: str, note: str = "", *, size: float = 10.5, above: float = 9.0) -> None:
        self.words = words(text, font=TITLE, size=size)
        self.note = words(note, size=SMALL_SIZE, align="right")
        self.above = above

    def height(self, width: float) -> float:
        return self.above + max(self.words.height(self._left(width)), self.note.size) + 3.5

    def _left(self, width: float) -> float:
        if not self.note.runs[0].text:
            return width
        return width - min(width * 0.5, self.note.lines(width)[0][1]) - 8.0

    def draw(self, pen: Pen, x: float, top: float, width: float) -> None:
        left = self._left(width)
        self.words.draw(pen, x, top + self.above, left)
        under = top + self.height(width) - 3.0
        if self.note.runs[0].text:
            self.note.draw(
                pen, x + left + 8.0, under - self.note.height(width - left - 8.0) - 0.5, width - left - 8.0
            )
        pen.line(x, under, x + width, under, width=RULE)


class Ruled(Block):
    """A rule across the page."""

    def __init__(self, width: float = HAIR) -> None:
        self.weight = width

    def height(self, width: float) -> float:
        return 3.0

    def draw(self, pen: Pen, x: float, top: float, width: float) -> None:
        pen.line(x, top + 1.5, x + width, top + 1.5, width=self.weight)


class Framed(Block):
    """A block in a black frame: cautions, and what must not be overlooked."""

    def __init__(self, inner: Block, *, weight: float = 1.4, pad: float = 5.0) -> None:
        self.inner = inner
        self.weight = weight
        self.pad = pad

    def height(self, width: float) -> float:
        return self.inner.height(width - 2 * self.pad) + 2 * self.pad

    def draw(self, pen: Pen, x: float, top: float, width: float) -> None:
        pen.box(x, top, width, self.height(width), width=self.weight)
        self.inner.draw(pen, x + self.pad, top + self.pad, width - 2 * self.pad)

    def least(self, width: float) -> float:
        return self.inner.least(width - 2 * self.pad) + 2 * self.pad

    def split(self, width: float, space: float) -> tuple[Block, Block] | None:
        parts = self.inner.split(width - 2 * self.pad, space - 2 * self.pad)
        if parts is None:
            return None
        return (
            Framed(parts[0], weight=self.weight, pad=self.pad),
            Framed(parts[1], weight=self.weight, pad=self.pad),
        )


class Stack(Block):
    """Blocks one above the other that stay together where they can; low ones always do if `whole`."""

    def __init__(self, *blocks: Block, keep_next: bool = False, whole: bool = False) -> None:
        self.blocks = blocks
        self.keep_next = keep_next
        self.whole = whole

    def height(self, width: float) -> float:
        return sum(block.height(width) for block in self.blocks)

    def draw(self, pen: Pen, x: float, top: float, width: float) -> None:
        for block in self.blocks:
            block.draw(pen, x, top, width)
            top += block.height(width)

    def least(self, width: float) -> float:
        if self._stays(width):
            return self.height(width)
        high = 0.0
        for block in self.blocks:
            if not block.keep_next and not isinstance(block, Space):
                return high + block.least(width)
            high += block.height(width)
        return high

    def _stays(self, width: float) -> bool:
        return self.whole and self.height(width) <= _LOW

    def split(self, width: float, space: float) -> tuple[Block, Block] | None:
        if self._stays(width):
            return None
        used = 0.0
        for number, block in enumerate(self.blocks):
            high = block.height(width)
            if used + high <= space:
                used += high
                continue
            parts = block.split(width, space - used)
            head = [*self.blocks[:number], *([parts[0]] if parts else [])]
            tail = [*([parts[1]] if parts else [block]), *self.blocks[number + 1 :]]
            while head and (head[-1].keep_next or isinstance(head[-1], Space)):
                tail.insert(0, head.pop())
            return (Stack(*head), Stack(*tail, keep_next=self.keep_next)) if head else None
        return None


class Beside(Block):
    """Blocks side by side with given widths; the last takes what is left."""

    def __init__(self, *columns: tuple[float, Block], gap: float = 8.0) -> None:
        self.columns = columns
        self.gap = gap

    def _placed(self, width: float) -> list[tuple[float, float, Block]]:
        at, placed = 0.0, []
        for number, (asked, block) in enumerate(self.columns):
            here = width - at if number == len(self.columns) - 1 else asked
            placed.append((at, here, block))
            at += here + self.gap
        return placed

    def height(self, width: float) -> float:
        return max(block.height(here) for _, here, block in self._placed(width))

    def draw(self, pen: Pen, x: float, top: float, width: float) -> None:
        for at, here, block in self._placed(width):
            block.draw(pen, x + at, top, here)
