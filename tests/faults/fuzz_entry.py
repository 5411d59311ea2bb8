"""Mutated entries against a second reader that was written apart from the grammar.

An entry that is accepted is finite and is the one number the second reader finds in the text; an entry that
is refused is refused by `BadInput` alone; an unspoiled entry is accepted. Weakened parsers are put through
the same properties and have to be caught. Run: `python -m tests.faults.fuzz_entry [long]`.
"""

from __future__ import annotations

import math
import random
import sys
from collections.abc import Callable
from decimal import Decimal, localcontext

from ctcore.entry import Entry, parse
from ctcore.errors import BadInput

SHORT_COUNT = 20_000
LONG_COUNT = 1_000_000
CONTROL_COUNT = 5_000
MODES = (None, None, None, True, False)

SPACES = " \u00a0\u2007\u2009\u202f\u200a\u2002"
# text, unit, value in the base unit: unspoiled, and the stock the mutations start from
STOCK: tuple[tuple[str, str, str], ...] = (
    ("350", "mA", "0.35"), ("30.9", "mA", "0.0309"), ("0.35 A", "mA", "0.35"),
    ("350m", "A", "0.35"), ("265.2", "V", "265.2"), ("1 200", "V", "1200"),
    ("1\u202f200.5", "V", "1200.5"), ("11 kV", "V", "11000"), ("12,5", "V", "12.5"),
    ("0,123", "V", "0.123"), ("1,234,567", "V", "1234567"), ("1,234.5", "V", "1234.5"),
    ("1k2", "ohm", "1200"), ("4R7", "mohm", "4.7"), ("2m5", "mA", "0.0025"),
    ("0,75 k\u03a9", "ohm", "750"), ("1.20", "ohm", "1.2"), (">2000", "Mohm", "2000000000"),
    ("<0.1", "mA", "0.0001"), ("5 \u00b5A", "uA", "0.000005"), ("1e3", "V", "1000"),
    ("1.5e-3", "A", "0.0015"), ("\u22125", "degC", "-5"), ("23.5 \u00b0C", "degC", "23.5"),
    ("-0.35 %", "percent", "-0.35"), ("50 Hz", "Hz", "50"), ("15 VA", "VA", "15"),
    ("100 ms", "s", "0.1"), ("1.5", "min", "90"), ("12\u2032", "arcmin", "12"),
    ("0.5\u00b0", "arcmin", "30"), ("599.25", "1", "599.25"), ("2.5 mm\u00b2", "mm2", "2.5"),
    ("85 m", "m", "85"), ("1.5 G\u03a9", "Gohm", "1500000000"), ("+.5", "V", "0.5"),
)  # fmt: skip
SPICE = (
    "0123456789.,.,'eEkKmMuGTRVA\u03a9%-+\u2212\u2013<>\u2264 "
    + SPACES
    + "\u0660\u0665\u096b\uff15\u00b2\u00bd\u200b\x00\n_/x\u221e"
)
WORDS = ("inf", "nan", "e433", "e-9", "mA", "kV", "M\u03a9", "M", "m", ",234", ".234", " 200", "--", "min")

# The second reader's own list: base unit, scale of the column; then spelling -> power of ten or factor.
COLUMN_SCALES: dict[str, tuple[str, str]] = {
    "mA": ("A", "1e-3"), "A": ("A", "1"), "uA": ("A", "1e-6"), "V": ("V", "1"), "ohm": ("ohm", "1"),
    "mohm": ("ohm", "1e-3"), "Mohm": ("ohm", "1e6"), "Gohm": ("ohm", "1e9"), "degC": ("degC", "1"),
    "percent": ("percent", "1"), "Hz": ("Hz", "1"), "VA": ("VA", "1"), "s": ("s", "1"), "min": ("s", "60"),
    "arcmin": ("arcmin", "1"), "1": ("1", "1"), "mm2": ("mm2", "1"), "m": ("m", "1"),
}  # fmt: skip
SYMBOLS: dict[str, str] = {
    "A": "A a", "V": "V v", "ohm": "\u03a9 \u2126 ohm Ohm OHM ohms Ohms", "VA": "VA va", "Hz": "Hz hz HZ",
    "degC": "\u00b0C \u00baC \u2103 C degC", "percent": "% percent", "s": "s sec", "m": "m", "1": "",
    "arcmin": "\u2032 ' \u2019 arcmin min", "mm2": "mm\u00b2 mm2",
}  # fmt: skip
OTHERS: dict[str, dict[str, str]] = {
    "s": {"min": "60", "h": "3600"},
    "arcmin": {"\u00b0": "60", "\u00ba": "60", "deg": "60"},
    "percent": {"\u2030": "0.1", "ppm": "1e-4"},
}
PREFIXES = {"n": "1e-9", "u": "1e-6", "\u00b5": "1e-6", "\u03bc": "1e-6", "m": "1e-3", "k": "1e3", "K": "1e3"}
PREFIXES |= {"M": "1e6", "G": "1e9", "T": "1e12"}
BARE = ("A", "V", "ohm", "VA", "Hz")

Parser = Callable[[str, str, bool | None], Entry]


def _scales() -> dict[str, dict[str, Decimal]]:
    found: dict[str, dict[str, Decimal]] = {}
    for base, listed in SYMBOLS.items():
        signs = listed.split()
        table = {sign: Decimal(1) for sign in signs}
        table |= {p + sign: Decimal(power) for sign in signs for p, power in PREFIXES.items()}
        if base in BARE:
            table |= {prefix: Decimal(power) for prefix, power in PREFIXES.items()}
        if base == "ohm":
            table["R"] = Decimal(1)
        found[base] = table | {sign: Decimal(factor) for sign, factor in OTHERS.get(base, {}).items()}
    return found


SCALES = _scales()


def second_reading(text: str, unit: str, decimal_comma: bool | None) -> set[Decimal]:
    """Every number a careful reader could find in the text; a likely slip of the shift key counts."""
    base, column_scale = COLUMN_SCALES[unit]
    rest = text.strip(SPACES + "\t\r\n")
    for sign in (">=", "<=", ">", "<", "\u2265", "\u2264"):
        if rest.startswith(sign):
            rest = rest[len(sign) :].lstrip(SPACES)
            break
    minus = rest[:1] in ("-", "\u2212")
    rest = rest[1:] if rest[:1] in ("-", "\u2212", "+") else rest
    at = 0
    while at < len(rest) and (rest[at] in "0123456789.," or rest[at] in SPACES):
        at += 1
    head, tail = rest[:at].rstrip(SPACES), rest[at:]
    power = 0
    if tail[:1] in ("e", "E"):
        digits = tail[1:].replace("\u2212", "-")
        end = 1 if digits[:1] in ("-", "+") else 0
        while end < len(digits) and digits[end] in "0123456789":
            end += 1
        power, tail = int(digits[:end]), digits[end:].lstrip(SPACES)
    letter = tail.rstrip("0123456789")
    if tail not in SCALES[base] and letter != tail:  # 1k2
        numbers = {Decimal(f"{head or 0}.{tail[len(letter) :]}")}
        tail = letter
    else:
        numbers = _marks(head, decimal_comma)
    scales = _possible_scales(tail, base, Decimal(column_scale))
    lifted = {number.scaleb(power) * scale for number in numbers for scale in scales}
    return {-number for number in lifted} if minus else lifted


def _possible_scales(tail: str, base: str, column_scale: Decimal) -> set[Decimal]:
    """What the letters behind the digits can stand for; two where a slip of the shift key is as likely."""
    milli, mega = Decimal("1e-3"), Decimal("1e6")
    scale = SCALES[base][tail] if tail else column_scale
    if base in ("A", "V", "VA") and scale == mega:
        return {milli, mega}
    if base == "s" and tail == "m":
        return {milli, Decimal(60)}
    far_apart = (scale == mega and column_scale < 1) or (scale == milli and column_scale > 1)
    return {milli, mega} if base == "ohm" and tail and far_apart else {scale}


def _marks(head: str, decimal_comma: bool | None) -> set[Decimal]:
    found = set()
    for mark, other in ((".", ","), (",", ".")):
        if decimal_comma is not None and decimal_comma != (mark == ","):
            continue
        if decimal_comma is None and mark == "," and "." in head:
            continue  # unless told, a point is always the decimal mark
        whole, _, fraction = head.partition(mark)
        for gap in (other, *SPACES):
            whole_parts = whole.split(gap)
            in_threes = 1 <= len(whole_parts[0]) <= 3 and all(len(part) == 3 for part in whole_parts[1:])
            if len(whole_parts) > 1 and (not in_threes or whole_parts[0][0] == "0"):
                continue
            joined = "".join(whole_parts)
            if all(c in "0123456789" for c in joined + fraction) and joined + fraction:
                found.add(Decimal(f"{joined or 0}.{fraction or 0}"))
    if not found and set(head) & set(SPACES[1:]):  # gaps of two kinds in one number are gaps all the same
        return _marks("".join(" " if c in SPACES else c for c in head), decimal_comma)
    return found


def spoil(text: str, dice: random.Random) -> str:
    """One to three small injuries."""
    for _ in range(dice.randrange(1, 4)):
        at = int(dice.random() * (len(text) + 1))
        kind = int(dice.random() * 7)
        if kind == 0:
            text = text[:at] + SPICE[int(dice.random() * len(SPICE))] + text[at:]
        elif kind == 1:
            text = text[:at] + text[at + 1 :]
        elif kind == 2:
            text = text[:at] + SPICE[int(dice.random() * len(SPICE))] + text[at + 1 :]
        elif kind == 3:
            text = text[:at] + WORDS[int(dice.random() * len(WORDS))] + text[at:]
        elif kind == 4:
            text = text[:at] + text[at:].swapcase()
        elif kind == 5:
            text = text[at:] + text[:at]
        else:
            text = text[:at] + str(int(dice.random() * 1000)) + text[at:]
    return text


def strict(text: str, unit: str, decimal_comma: bool | None) -> Entry:
    """The parser under test."""
    return parse(text, unit, decimal_comma=decimal_comma)


def holds(parser: Parser, text: str, unit: str, decimal_comma: bool | None) -> bool:
    """Whether the properties hold for one text."""
    try:
        entry = parser(text, unit, decimal_comma)
    except BadInput:
        return True
    except Exception:
        return False
    if not math.isfinite(entry.value):
        return False
    try:
        readings = second_reading(text, unit, decimal_comma)
    except (ArithmeticError, ValueError, LookupError):
        return False  # accepted what the second reader cannot read at all
    first = text.strip(SPACES + "\t\r\n")[:1]
    bound = (first in (">", "\u2265"), first in ("<", "\u2264"))
    exact = float(entry.value_text) == entry.value and (entry.over_range, entry.under_range) == bound
    return exact and {float(reading) for reading in readings} == {entry.value}


def failures(parser: Parser, count: int, seed: int) -> list[tuple[str, str]]:
    """The texts for which a property fails; `count` of them spoiled, and the stock unspoiled."""
    dice = random.Random(seed)
    failed = []
    with localcontext() as exact:
        exact.prec = 60
        for text, unit, value in STOCK:
            try:
                kept = parser(text, unit, None).value == float(value) and holds(parser, text, unit, None)
            except BadInput:
                kept = False
            if not kept:
                failed.append((text, unit))
        for _ in range(count):
            text, unit, _value = STOCK[int(dice.random() * len(STOCK))]
            spoiled = spoil(text, dice)
            if not holds(parser, spoiled, unit, MODES[int(dice.random() * len(MODES))]):
                failed.append((spoiled, unit))
    return failed


def comma_is_point(text: str, unit: str, decimal_comma: bool | None) -> Entry:
    """Weakened: every comma is a point, and what the language calls a number is one."""
    try:
        number = Decimal(text.replace(",", ".").replace("\u2212", "-")) * Decimal(COLUMN_SCALES[unit][1])
    except ArithmeticError:
        return strict(text, unit, decimal_comma)
    value = float(number)
    return Entry(value, False, False, text, repr(value), 1.0)


def commas_dropped(text: str, unit: str, decimal_comma: bool | None) -> Entry:
    """Weakened: the two readings of `1,234` are not asked about."""
    try:
        return strict(text, unit, decimal_comma)
    except BadInput:
        return strict(text.replace(",", ""), unit, decimal_comma)


def mega_is_milli(text: str, unit: str, decimal_comma: bool | None) -> Entry:
    """Weakened: a mega that does not fit is taken for milli."""
    try:
        return strict(text, unit, decimal_comma)
    except BadInput:
        return strict(text.replace("M", "m"), unit, decimal_comma)


def refuses_all(text: str, unit: str, decimal_comma: bool | None) -> Entry:
    """Weakened: nothing is ever accepted."""
    raise BadInput("entry", text, f"no number in {unit}, mark {decimal_comma}")


CONTROLS: tuple[Parser, ...] = (comma_is_point, commas_dropped, mega_is_milli, refuses_all)


def run(long: bool) -> dict[str, object]:
    """The fuzz, and whether every weakened parser was caught by it."""
    count = LONG_COUNT if long else SHORT_COUNT
    failed = failures(strict, count, 20)
    return {
        "name": "fuzz_entry",
        "cases": count + len(STOCK),
        "failed": len(failed),
        "control_caught": all(failures(control, CONTROL_COUNT, 21) for control in CONTROLS),
        "examples": [f"{text!r} in a column of {unit}" for text, unit in failed[:10]],
    }


if __name__ == "__main__":
    report = run("long" in sys.argv[1:])
    print(report)
    sys.exit(0 if not report["failed"] and report["control_caught"] else 1)
