"""The class designation on a rating plate, read into its parts and written back."""

from __future__ import annotations

from dataclasses import dataclass, fields
from decimal import Decimal
from functools import lru_cache

from ctcore.errors import BadInput

MEASURING_FAMILIES = ("measuring", "measuring_s")
PROTECTION_FAMILIES = ("protection", "protection_pr", "px", "pxr", "tp")
RELAY_FAMILIES = ("c", "t", "k", "x")


@dataclass(frozen=True, slots=True, kw_only=True)
class AccuracyClass:
    """One accuracy class as the plate states it; what is not on the plate is None.

    `designation` is the class with its own numbers ("5P20", "0.5S", "C400", "PX"), `class_name` the bare name
    under which the standards hold its row ("5P", "0.5S", "C", "PX"). `burden_name` is the largest of
    `burden_names`. `ie_at_ek_percent` is the percentage of Ek at which `ie_a` holds, None for Ek itself.
    `further` holds the other classes of a core with several.

    >>> str(parse_class("5P20 15VA"))
    '5P20 15 VA'
    """

    standard: str
    family: str
    class_name: str
    designation: str
    output_va: float | None = None
    output_low_va: float | None = None
    limit_factor: float | None = None
    security_factor: float | None = None
    extended_percent: float | None = None
    ek_v: float | None = None
    ie_a: float | None = None
    ie_at_ek_percent: float | None = None
    rct_ohm: float | None = None
    c_voltage_v: float | None = None
    burden_name: str | None = None
    burden_names: tuple[str, ...] = ()
    rating_factor: float | None = None
    kx: float | None = None
    kssc: float | None = None
    ktd: float | None = None
    tp_s: float | None = None
    ts_s: float | None = None
    rb_ohm: float | None = None
    further: tuple[AccuracyClass, ...] = ()

    @property
    def is_metering(self) -> bool:
        """True for a class whose duty is measurement."""
        return self.family in (*MEASURING_FAMILIES, "ieee_metering")

    @property
    def all_classes(self) -> tuple[AccuracyClass, ...]:
        """This class, then the other classes of the same core."""
        return (self, *self.further)

    def __str__(self) -> str:
        return "; ".join(_text_of_one(one) for one in self.all_classes)


def parse_class(text: str) -> AccuracyClass:
    """Read a class designation such as "5P20 15 VA", "0.5S FS5 10 VA" or "C400".

    Formula: none, a reading of text. Order, spaces and case are free; a decimal comma is taken where the text
    has no decimal point; several classes of one core are parted by ";", "/" or "+".
    Args: text as it stands on the plate.
    Result: `AccuracyClass`; writing it with `str` and reading it again gives the same class.
    Valid for the classes of IEC 61869-2 and IEEE C57.13.
    Raises BadInput for text that holds no class, a part that is not understood, a part stated twice with two
    values, or parts that do not belong to one class (a security factor on 5P20).
    Source: IEC 61869-2:2012, 6.13; IEEE C57.13-2016, nameplate clause (from memory).

    >>> parse_class("0.5S FS5 10 VA").security_factor
    5.0
    >>> parse_class("PX Ek 200 V Ie 30 mA Rct 2.5 ohm").ie_a
    0.03
    """
    # The grammar is imported here: it needs the result class above.
    from ctcore.classtext import read

    return read(text)


@lru_cache(maxsize=4096)
def parts_held(stated: str, plate: str) -> int:
    """Return how many parts of a class text a plate states alike, 0 where one of them differs.

    Formula: the bare class counts as one part, each number stated with it as one more; a number that is not
    stated is free.
    Args: stated, a class text such as "5P", "5P20" or "5P20 15 VA"; plate, the class of a core.
    Result: the count of parts that hold; with several classes on either side each stated one has to be found.
    Valid for the classes that `parse_class` reads; other texts hold where they are the same but for spaces
    and case, as one part.
    Raises nothing for texts.
    Source: arithmetic.

    >>> [parts_held(text, "5P20 15 VA") for text in ("5P", "5P20", "5p20 15va", "5P20 30 VA", "10P20")]
    [1, 2, 3, 0, 0]
    """
    try:
        asked, there = parse_class(stated), parse_class(plate)
    except BadInput:
        plain = ["".join(text.casefold().split()) for text in (stated, plate)]
        return int(bool(plain[0]) and plain[0] == plain[1])
    counts = [max(_parts_alike(one, other) for other in there.all_classes) for one in asked.all_classes]
    return sum(counts) if all(counts) else 0


def _parts_alike(asked: AccuracyClass, there: AccuracyClass) -> int:
    bare = ("standard", "family", "class_name")
    if any(getattr(asked, name) != getattr(there, name) for name in bare):
        return 0
    # The designation is the bare class with a number that has a field of its own.
    other = (entry.name for entry in fields(asked) if entry.name not in (*bare, "designation", "further"))
    stated = [name for name in other if getattr(asked, name) not in (None, ())]
    alike = all(getattr(asked, name) == getattr(there, name) for name in stated)
    return 1 + len(stated) if alike else 0


def plain_number(value: float) -> str:
    """Return a number in plain digits that reads back as the same number.

    Formula: the shortest digits that identify the value, without exponent.
    Args: a finite number.
    Result: text with a decimal point where it is needed.
    Valid for every finite number.
    Raises BadInput for a value that is not finite.
    Source: arithmetic.

    >>> plain_number(0.00003), plain_number(15.0)
    ('0.00003', '15')
    """
    number = Decimal(repr(float(value)))
    if not number.is_finite():
        raise BadInput("number", value, "the value is not finite")
    digits = f"{number:f}"
    return digits.rstrip("0").rstrip(".") if "." in digits else digits


def _text_of_one(one: AccuracyClass) -> str:
    parts = [one.designation]
    if one.security_factor is not None:
        parts.append(f"FS{plain_number(one.security_factor)}")
    if one.extended_percent is not None:
        parts.append(f"ext. {plain_number(one.extended_percent)} %")
    if one.output_va is not None:
        low = "" if one.output_low_va is None else f"{plain_number(one.output_low_va)}-"
        parts.append(f"{low}{plain_number(one.output_va)} VA")
    parts.extend(one.burden_names)
    for label, value, unit in (
        ("RF", one.rating_factor, ""),
        ("Kx", one.kx, ""),
        ("Ek", one.ek_v, " V"),
        ("Ie", one.ie_a, " A"),
        ("at", one.ie_at_ek_percent, " % Ek"),
        ("Rct", one.rct_ohm, " ohm"),
        ("Kssc", one.kssc, ""),
        ("Ktd", one.ktd, ""),
        ("Tp", one.tp_s, " s"),
        ("Ts", one.ts_s, " s"),
        ("Rb", one.rb_ohm, " ohm"),
    ):
        if value is not None:
            parts.append(f"{label} {plain_number(value)}{unit}")
    return " ".join(parts)
