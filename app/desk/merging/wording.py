"""Parts, fields and values of a question in words."""

from __future__ import annotations

import json
from typing import Any, Final

from ctcore.job import Job, places
from ctcore.question import Question

_PARTS: Final = {
    "header": "title block",
    "references": "limits and references",
    "instrument": "instrument",
    "person": "person",
    "remark": "remark",
    "deviation": "deviation",
    "acknowledgement": "caution read",
    "landing": "lead landed",
}
_FIELDS: Final = {
    "i_primary_rated_a": "rated primary current, A",
    "i_secondary_rated_a": "rated secondary current, A",
    "turns_secondary_count": "secondary turns",
    "turns_primary_count": "primary turns",
    "r_winding_75degc_plate_ohm": "winding resistance at 75 °C, ohm",
    "burden_connected_va": "connected burden, VA",
    "burden_connected_power_factor_ratio": "power factor of the connected burden",
    "um_kv": "highest voltage, kV",
    "frequency_rated_hz": "rated frequency, Hz",
    "ambient_degc": "ambient temperature, °C",
    "humidity_percent": "humidity, %",
    "client_insulation_limit_ohm": "client's insulation limit, ohm",
    "voltage_ceiling_v": "voltage ceiling, V",
    "spec_reading_percent": "limit of error, % of reading",
    "procedures": "planned tests",
    "p1_faces_text": "P1 faces",
}
_ENTRIES: Final = ("cores", "taps", "curves", "values", "expected", "limit_overrides", "left_out", "permits")
_ENTRY_WORDS: Final = {
    "cores": "core", "taps": "tap", "curves": "reference curve", "values": "reference value",
    "expected": "expected value", "limit_overrides": "limit replaced", "left_out": "test left out",
    "permits": "permit",
}  # fmt: skip


def part_words(job: Job, question: Question) -> str:
    """Which part of the job a question is about."""
    kind, _, name = question.part_id.partition(":")
    body = _body(question)
    if kind == "ct":
        found = next((one for one in places(job) if one.ct.ct_id == name), None)
        place = f"{found.position.name_text} " if found is not None else ""
        return f"plate of {place}{body.get('phase_text', '')}".strip()
    if kind == "position":
        return f"set {body.get('name_text', '')}".strip()
    said = str(body.get("name_text") or body.get("text") or "")
    return f"{_PARTS.get(kind, kind)} {said}".strip()


def field_words(question: Question, field: str) -> str:
    """Which field of it: cores by number, taps by terminals.

    >>> from ctcore.question import Question
    >>> field_words(Question(question_id="q", part_id="header", fields=(), sides=()), "header/weather_text")
    'weather'
    """
    if not field:
        return "kept or taken out"
    steps = field.split("/")
    body = _body(question)
    words: list[str] = []
    here: Any = body
    index = 0
    while index < len(steps):
        step = steps[index]
        if step in _ENTRIES and index + 1 < len(steps):
            here = here.get(step, []) if isinstance(here, dict) else []
            none: dict[str, Any] = {}
            entry = next((one for one in here if steps[index + 1] in map(str, one.values())), none)
            words.append(_entry_words(step, entry, steps[index + 1]))
            here, index = entry, index + 2
            continue
        if step != "header":
            words.append(_FIELDS.get(step, step.removesuffix("_text").replace("_", " ")))
        here = here.get(step) if isinstance(here, dict) else None
        index += 1
    return ", ".join(words)


def value_words(field: str, value: Any) -> str:
    """What a side says there."""
    if not field:
        return "kept" if value else "taken out"
    if value is None or value == "":
        return "nothing"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        plain = all(isinstance(one, str) for one in value)
        return ", ".join(value).replace("_", " ") if plain else f"{len(value)} entries"
    if isinstance(value, dict):
        return "there"
    return f"{value:g}" if isinstance(value, float) else str(value).replace("_", " ")


def _body(question: Question) -> dict[str, Any]:
    found: dict[str, Any] = next(
        (json.loads(side.body_text) for side in question.sides if side.body_text), {}
    )
    return found


def _entry_words(name: str, entry: dict[str, Any], key: str) -> str:
    names = ("number", "terminals_text", "number_text", "procedure_id")
    told = next((entry[its] for its in names if entry.get(its)), "")
    words = _ENTRY_WORDS[name]
    return f"{words} {told}" if told else f"{words} {key.rpartition('+')[2]}".replace("_", " ")
