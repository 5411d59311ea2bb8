"""The grammar of class designations: pieces of text, what each sets, and what may stand together."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from decimal import Decimal
from functools import lru_cache
from typing import Any

from ctcore.errors import BadInput
from ctcore.nameplate import AccuracyClass, plain_number
from ctcore.standards import ieee_c57_13_2016 as ieee
from ctcore.standards import row
from ctcore.standards.iec_61869_2_2012 import STANDARD as IEC
from ctcore.standards.rows import RelayRow

QUANTITY = "accuracy class"
LONGEST_TEXT_COUNT = 400

_PLAIN = r"(?:\d+(?:\.\d+)?|\.\d+)"
_NUMBER = rf"({_PLAIN})"
_RELATION = r"\s*(?:<=|>=|[<>=≤≥:])?\s*"
_UNIT_SCALE = {
    "v": "1", "kv": "1000", "mv": "0.001",
    "a": "1", "ma": "0.001", "ua": "0.000001",
    "ohm": "1", "mohm": "0.001", "kohm": "1000",
    "s": "1", "ms": "0.001",
}  # fmt: skip
_SIGNS = (("Ω", "ohm"), ("μ", "u"), ("–", "-"), ("—", "-"), ("−", "-"), ("‐", "-"), ("°", "deg"))
_BURDEN_NAMES = {burden.name: burden for burden in ieee.BURDENS}


@dataclass(slots=True)
class _Part:
    """What has been read of one class so far."""

    names: list[str] = field(default_factory=list)
    values: dict[str, float] = field(default_factory=dict)
    burdens: list[str] = field(default_factory=list)

    def put(self, text: str, name: str, value: float) -> None:
        """Keep a value; a second, different one is a contradiction."""
        before = self.values.setdefault(name, value)
        if before != value:
            numbers = f"{plain_number(before)} and {plain_number(value)}"
            raise BadInput(QUANTITY, text, f"{_WORDS[name]} is stated twice: {numbers}")


_WORDS = {
    "output_va": "the rated output",
    "output_low_va": "the lower end of the burden range",
    "limit_factor": "the accuracy limit factor",
    "security_factor": "the instrument security factor FS",
    "extended_percent": "the extended current",
    "ek_v": "the knee e.m.f. Ek",
    "ie_a": "the exciting current Ie",
    "ie_at_ek_percent": "the percentage of Ek at which Ie holds",
    "rct_ohm": "the winding resistance Rct",
    "c_voltage_v": "the class voltage",
    "rating_factor": "the rating factor",
    "kx": "the dimensioning factor Kx",
    "kssc": "Kssc",
    "ktd": "Ktd",
    "tp_s": "the primary time constant Tp",
    "ts_s": "the secondary time constant Ts",
    "rb_ohm": "the burden Rb",
}

_ALLOWED: dict[str, set[str]] = {
    "measuring": {"output_va", "output_low_va", "security_factor", "extended_percent", "rct_ohm"},
    "measuring_s": {"output_va", "output_low_va", "security_factor", "extended_percent", "rct_ohm"},
    "protection": {"output_va", "limit_factor", "rct_ohm", "ek_v", "ie_a", "ie_at_ek_percent"},
    "protection_pr": {"output_va", "limit_factor", "rct_ohm", "ek_v", "ie_a", "ie_at_ek_percent", "ts_s"},
    "px": {"ek_v", "ie_a", "ie_at_ek_percent", "rct_ohm", "kx", "rb_ohm"},
    "pxr": {"ek_v", "ie_a", "ie_at_ek_percent", "rct_ohm", "kx", "rb_ohm", "ts_s"},
    "tp": {"kssc", "ktd", "tp_s", "ts_s", "rb_ohm", "rct_ohm"},
    "c": {"c_voltage_v", "rating_factor", "rct_ohm"},
    "t": {"c_voltage_v", "rating_factor", "rct_ohm"},
    "k": {"c_voltage_v", "rating_factor", "rct_ohm"},
    "x": {"ek_v", "ie_a", "ie_at_ek_percent", "rct_ohm", "rating_factor"},
    "ieee_metering": {"rating_factor"},
}

_Handler = Callable[[str, _Part, re.Match[str]], None]


def read(text: str) -> AccuracyClass:
    """Read class text; `ctcore.nameplate.parse_class` is the front door and says what is understood.

    >>> read("cl. 0.5 FS5 10VA").designation
    '0.5'
    """
    if not isinstance(text, str):
        raise BadInput(QUANTITY, text, "a text is needed")
    if not text.strip():
        raise BadInput(QUANTITY, text, "the text is empty")
    if len(text) > LONGEST_TEXT_COUNT:
        raise BadInput(QUANTITY, text[:40] + " ...", f"the text is longer than {LONGEST_TEXT_COUNT} signs")
    return _read(text)


# A job names a dozen classes hundreds of times; the result is frozen, so it may be kept.
@lru_cache(maxsize=512)
def _read(text: str) -> AccuracyClass:
    classes = [one for part in _parts(text) for one in _finish(text, part)]
    first, *further = classes
    return replace(first, further=tuple(further))


def _normal(text: str) -> str:
    plain = unicodedata.normalize("NFKC", text)
    for sign, written in _SIGNS:
        plain = plain.replace(sign, written)
    if re.search(r"\d\.\d", plain):
        # With a decimal point in the text a comma only parts.
        return plain.replace(",", " ")
    plain = re.sub(r"(?<=\d),(?=\d)", ".", plain)
    return plain.replace(",", " ")


def _parts(text: str) -> list[_Part]:
    """Read piece after piece; a separator begins the next class."""
    rest = _normal(text)
    parts = [_Part()]
    while rest := rest.lstrip():
        separator = re.match(r"[;/+]", rest)
        if separator:
            parts.append(_Part())
            rest = rest[1:]
            continue
        for pattern, handler in _PIECES:
            found = pattern.match(rest)
            if found:
                handler(text, parts[-1], found)
                rest = rest[found.end() :]
                break
        else:
            raise BadInput(QUANTITY, text, f"'{rest[:20].strip()}' is not understood")
    return parts


def _number(text: str, digits: str, unit: str | None = None) -> float:
    scale = Decimal(_UNIT_SCALE[(unit or "ohm").lower()])
    value = float(Decimal(digits) * scale)
    if not 0.0 < value < 1e12:
        raise BadInput(QUANTITY, text, f"{digits} is no possible value: it is above zero and below 1e12")
    return value


def _skip(_text: str, _part: _Part, _found: re.Match[str]) -> None:
    """A word that only introduces."""


def _refuse(reason: str) -> _Handler:
    def refuse(text: str, _part: _Part, _found: re.Match[str]) -> None:
        raise BadInput(QUANTITY, text, reason)

    return refuse


def _set(name: str) -> _Handler:
    def put(text: str, part: _Part, found: re.Match[str]) -> None:
        unit = found.group(2) if found.re.groups > 1 else None
        part.put(text, name, _number(text, found.group(1), unit))

    return put


def _named(name: str) -> _Handler:
    def put(_text: str, part: _Part, _found: re.Match[str]) -> None:
        part.names.append(name)

    return put


def _output_range(text: str, part: _Part, found: re.Match[str]) -> None:
    low, high = _number(text, found.group(1)), _number(text, found.group(2))
    if low >= high:
        raise BadInput(QUANTITY, text, "the burden range runs from the smaller to the larger output")
    part.put(text, "output_low_va", low)
    part.put(text, "output_va", high)


def _protection(text: str, part: _Part, found: re.Match[str]) -> None:
    part.names.append(f"{found.group(1)}P{(found.group(2) or '').upper()}")
    if found.group(3):
        part.put(text, "limit_factor", _number(text, found.group(3)))


def _upper_name(_text: str, part: _Part, found: re.Match[str]) -> None:
    part.names.append(re.sub(r"\s+", "", found.group(1)).upper())


def _whole_name(_text: str, part: _Part, found: re.Match[str]) -> None:
    part.names.append(found.group(1))


def _relay(text: str, part: _Part, found: re.Match[str]) -> None:
    part.names.append(found.group(1).upper())
    part.put(text, "c_voltage_v", _number(text, found.group(2)))


def _burden(text: str, part: _Part, found: re.Match[str]) -> None:
    letter = found.group(1).upper()
    for digits in re.findall(_NUMBER, found.group(2)):
        name = f"{letter}-{plain_number(_number(text, digits))}"
        if name not in _BURDEN_NAMES:
            raise BadInput(QUANTITY, text, f"{name} is no standard burden ({', '.join(_BURDEN_NAMES)})")
        if name not in part.burdens:
            part.burdens.append(name)


def _burdens_through(text: str, part: _Part, found: re.Match[str]) -> None:
    names = [burden.name for burden in ieee.BURDENS if burden.power_factor == 0.9]
    first, last = (f"B-{plain_number(_number(text, digits))}" for digits in found.groups())
    if first not in names or last not in names or names.index(first) >= names.index(last):
        reason = f"a range of burdens runs upwards through {', '.join(names)}"
        raise BadInput(QUANTITY, text, reason)
    chosen = names[names.index(first) : names.index(last) + 1]
    part.burdens.extend(name for name in chosen if name not in part.burdens)


def _ie_at_part_of_ek(text: str, part: _Part, found: re.Match[str]) -> None:
    percent = _number(text, found.group(1))
    if percent != 100.0:
        part.put(text, "ie_at_ek_percent", percent)


def _ie_at_ek_over(text: str, part: _Part, found: re.Match[str]) -> None:
    part.put(text, "ie_at_ek_percent", 100.0 / _number(text, found.group(1)))


def _piece(pattern: str, handler: _Handler) -> tuple[re.Pattern[str], _Handler]:
    return re.compile(pattern, re.IGNORECASE), handler


_ALONE = r"(?![\w.%])"
# "5P20-15VA": a dash between two parts, spaced on both sides or on neither, so that no minus is swallowed.
_DASH = r"(?:(?:-|\s+-\s+)(?=\d))?"
_PIECES: tuple[tuple[re.Pattern[str], _Handler], ...] = (
    _piece(r"(?:accuracy\s+)?(?:class|cl|kl)\b\.?:?|(?:rated\s+)?output\b:?|burden\b:?|and\b|&", _skip),
    _piece(r"(?:at|@)(?=\s*[BE]\s*-?\s*[\d.])", _skip),
    _piece(_NUMBER + r"\s*(?:-|\.\.\.?|to\b)\s*" + _NUMBER + r"\s*VA(?![A-Z])" + _DASH, _output_range),
    _piece(_NUMBER + r"\s*VA(?![A-Z])" + _DASH, _set("output_va")),
    _piece(r"(5|10)\s?P(R?)\s*" + _NUMBER + r"(?![\d.]|\s*VA|\s*%)" + _DASH, _protection),
    _piece(r"(5|10)\s?P(R?)(?![A-QS-Z\w])()", _protection),
    _piece(r"(PXR|PX|TP\s?[XYZ])" + _ALONE, _upper_name),
    _piece(r"\d+(?:\.\d+)?\s?PR?(?![A-Z])", _refuse("the classes of this kind are 5P, 10P, 5PR and 10PR")),
    _piece(r"(?:ALF|n)" + _RELATION + _NUMBER + _ALONE, _set("limit_factor")),
    _piece(r"FS" + _RELATION + _NUMBER + _ALONE, _set("security_factor")),
    _piece(r"ext(?:ended)?\.?(?:\s+current)?" + _RELATION + _NUMBER + r"\s*%", _set("extended_percent")),
    _piece(r"(?:[EVU]_?kp?|Ekp)" + _RELATION + _NUMBER + r"\s*(kV|mV|V)\b", _set("ek_v")),
    _piece(r"I_?(?:exc|mag|e|o)" + _RELATION + _NUMBER + r"\s*(mA|uA|A)\b", _set("ie_a")),
    _piece(r"(?:at|@)\s*[EVU]_?k\s*/\s*" + _NUMBER + _ALONE, _ie_at_ek_over),
    _piece(r"(?:at|@)\s*" + _NUMBER + r"\s*%\s*(?:of\s+)?[EVU]_?k\b", _ie_at_part_of_ek),
    _piece(r"(?:at|@)\s*[EVU]_?k\b|(?:at|@)\s*75\s*(?:deg\s*)?C\b", _skip),
    _piece(r"R_?ct" + _RELATION + _NUMBER + r"\s*(mohm|kohm|ohm)\b", _set("rct_ohm")),
    _piece(r"R_?b" + _RELATION + _NUMBER + r"\s*(mohm|kohm|ohm)\b", _set("rb_ohm")),
    _piece(r"T_?s" + _RELATION + _NUMBER + r"\s*(ms|s)\b", _set("ts_s")),
    _piece(r"T_?p" + _RELATION + _NUMBER + r"\s*(ms|s)\b", _set("tp_s")),
    _piece(r"K_?ssc" + _RELATION + _NUMBER + _ALONE, _set("kssc")),
    _piece(r"K_?td" + _RELATION + _NUMBER + _ALONE, _set("ktd")),
    _piece(r"K_?x" + _RELATION + _NUMBER + _ALONE, _set("kx")),
    _piece(r"(?:T?RF)" + _RELATION + _NUMBER + _ALONE, _set("rating_factor")),
    _piece(
        r"(?:[EVU]_?kp?|I_?(?:exc|mag|e|o)|R_?ct|R_?b|T_?s|T_?p)" + _RELATION + r"\d",
        _refuse("a value after Ek, Ie, Rct, Rb, Ts or Tp needs its unit, such as V, mA, ohm or s"),
    ),
    _piece(rf"B\s*-?\s*{_NUMBER}\s*(?:thru|through|to)\s*(?:B\s*-?\s*)?{_NUMBER}(?![\w%])", _burdens_through),
    _piece(r"(B|E)\s*-?\s*(" + _PLAIN + r"(?:\s*/\s*-?" + _PLAIN + r")*)(?![\w%])", _burden),
    _piece(r"([CTK])\s*-?\s*" + _NUMBER + _ALONE, _relay),
    _piece(r"([CTKX])" + _ALONE, _upper_name),
    _piece(r"(?:0?\.15)\s?S(?![A-Z\d])", _named("0.15S")),
    _piece(r"(?:0?\.15)(?=B-?\d|E-?\d|" + _ALONE + r")", _named("0.15")),
    _piece(r"(?:0?\.2)\s?S(?=FS|" + _ALONE + r")", _named("0.2S")),
    _piece(r"(?:0?\.5)\s?S(?=FS|" + _ALONE + r")", _named("0.5S")),
    _piece(r"(0?\.\d+|\d+)\s?S\b", _refuse("the S classes are 0.2S and 0.5S (IEC) and 0.15S (IEEE)")),
    _piece(r"0?\.3(?=[BE]\s?-?\s?[\d.]|" + _ALONE + r")", _named("0.3")),
    _piece(r"0?\.6(?=[BE]\s?-?\s?[\d.]|" + _ALONE + r")", _named("0.6")),
    _piece(r"1\.2(?=[BE]\s?-?\s?[\d.]|" + _ALONE + r")", _named("1.2")),
    _piece(r"0?\.1(?=FS|" + _ALONE + r")", _named("0.1")),
    _piece(r"0?\.2(?=FS|" + _ALONE + r")", _named("0.2")),
    _piece(r"0?\.5(?=FS|" + _ALONE + r")", _named("0.5")),
    _piece(r"([135])(?:\.0)?(?=FS|ext|" + _ALONE + r")", _whole_name),
)


def _finish(text: str, part: _Part) -> list[AccuracyClass]:
    """Turn what was read into one class, or into a relaying class with the metering class beside it."""
    names = list(dict.fromkeys(part.names))
    if not names:
        raise BadInput(QUANTITY, text, "no accuracy class is named")
    if len(names) == 1:
        return [_one_class(text, names[0], part.values, part.burdens)]
    families = [row(name).family for name in names]
    if len(names) == 2 and "ieee_metering" in families and set(families) & {"c", "t", "k"}:
        return [_of_two(text, name, family, part) for name, family in zip(names, families, strict=True)]
    listed = " and ".join(names)
    raise BadInput(QUANTITY, text, f"{listed} stand together; part the classes of one core with ';'")


def _of_two(text: str, name: str, family: str, part: _Part) -> AccuracyClass:
    values = {key: value for key, value in part.values.items() if key in _ALLOWED[family]}
    orphans = set(part.values) - _ALLOWED["c"]
    if orphans:
        raise BadInput(QUANTITY, text, f"{_WORDS[min(orphans)]} does not belong to IEEE classes")
    return _one_class(text, name, values, part.burdens if family == "ieee_metering" else [])


def _one_class(text: str, name: str, values: dict[str, float], burdens: list[str]) -> AccuracyClass:
    found = row(name)
    for key in values:
        if key not in _ALLOWED[found.family]:
            raise BadInput(QUANTITY, text, f"{_WORDS[key]} does not belong to class {name}")
    if burdens and found.family != "ieee_metering":
        raise BadInput(QUANTITY, text, f"the burden {burdens[0]} does not belong to class {name}")
    _check_values(text, name, values)
    number = values.get("limit_factor") or values.get("c_voltage_v")
    standard = ieee.STANDARD if found.family == "ieee_metering" or isinstance(found, RelayRow) else IEC
    plain = AccuracyClass(
        standard=standard,
        family=found.family,
        class_name=name,
        designation=name + ("" if number is None else plain_number(number)),
        burden_name=max(burdens, key=lambda burden: _BURDEN_NAMES[burden].z_ohm) if burdens else None,
        burden_names=tuple(burdens),
    )
    numbers: dict[str, Any] = dict(values)
    return replace(plain, **numbers)


def _check_values(text: str, name: str, values: dict[str, float]) -> None:
    if values.get("extended_percent", 120.0) < 120.0:
        raise BadInput(QUANTITY, text, "an extended current is 120 % or more")
    if values.get("rating_factor", 1.0) < 1.0:
        raise BadInput(QUANTITY, text, "a rating factor is 1 or more")
    if values.get("security_factor", 2.0) <= 1.0 or values.get("limit_factor", 2.0) <= 1.0:
        raise BadInput(QUANTITY, text, "a limit or security factor is above 1")
    if "ie_at_ek_percent" in values and "ie_a" not in values:
        raise BadInput(QUANTITY, text, "a percentage of Ek stands without an exciting current Ie")
    if "ie_at_ek_percent" in values and values["ie_at_ek_percent"] > 100.0:
        raise BadInput(QUANTITY, text, "the exciting current is stated at Ek or below it")
    if name in ("C", "T", "K") and "c_voltage_v" not in values:
        raise BadInput(QUANTITY, text, f"class {name} needs its voltage, such as {name}400")
