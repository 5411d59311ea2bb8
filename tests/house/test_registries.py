"""Registries in plain sight agree with their folders and with one another."""

from __future__ import annotations

import json
import re
import string
from importlib import resources
from pathlib import Path

from ctcore import procedures
from ctcore.procedures import PROCEDURES
from ctcore.quantities import QUANTITIES
from ctcore.safety import NOT_KNOWN, SafetyFigures, placeholders

ROOT = Path(__file__).resolve().parents[2]
SOURCES = [
    path.read_text("utf-8")
    for path in sorted((ROOT / "ctcore").rglob("*.py"))
    if path.parent.name != "quantities"
]
# An id ends in its unit; these words are choices, texts or counts and have none.
UNITS = (
    "_v", "_a", "_ohm", "_s", "_hz", "_degc", "_percent", "_arcmin", "_deg", "_va", "_m", "_h", "_mm2",
    "_ratio", "_count", "_text",
)  # fmt: skip
WITHOUT_UNIT = {"turns_ratio"}
FORBIDDEN = ("_min", "_max", "_p")


def test_the_tuple_of_procedures_is_the_folder() -> None:
    folder = {path.stem for path in Path(procedures.__file__).parent.glob("*.py")} - {"__init__"}

    assert [entry.procedure_id for entry in PROCEDURES] == [
        "visual",
        "links",
        "insulation",
        "insulation_time",
        "resistance",
        "kick",
        "demagnetising",
        "ratio",
        "excitation",
        "burden",
        "duty",
        "links_back",
        "injection",
        "load",
    ]
    assert folder == {entry.procedure_id for entry in PROCEDURES}


def used() -> set[str]:
    specs = [spec for entry in PROCEDURES for spec in (*entry.method, *entry.columns)]
    return {spec.quantity_id for spec in specs} | {name for entry in PROCEDURES for name in entry.derived}


def test_every_quantity_that_a_procedure_uses_is_registered() -> None:
    assert used() - {row.quantity_id for row in QUANTITIES} == set()


def test_every_registered_quantity_is_used_somewhere() -> None:
    text = "\n".join(SOURCES)

    assert [row.quantity_id for row in QUANTITIES if f'"{row.quantity_id}"' not in text] == [
        "retest_reason_text"
    ]


def test_the_names_of_numbers_end_in_their_unit() -> None:
    numbers = [row.quantity_id for row in QUANTITIES if row.kind == "number"]

    assert [name for name in numbers if not name.endswith(UNITS) and name not in WITHOUT_UNIT] == []
    assert [row.quantity_id for row in QUANTITIES if row.quantity_id.endswith(FORBIDDEN)] == []


def test_a_field_is_shown_only_for_answers_that_exist() -> None:
    choices = {row.quantity_id: {choice.value for choice in row.choices} for row in QUANTITIES}
    conditions = [
        spec.shown_when
        for entry in PROCEDURES
        for spec in (*entry.method, *entry.columns)
        if spec.shown_when is not None
    ]

    assert conditions
    assert [name for name, answers in conditions if not set(answers) <= choices[name]] == []


def cautions() -> dict[str, dict[str, str]]:
    text = resources.files("resources").joinpath("cautions", "en.json").read_text("utf-8")
    loaded: dict[str, dict[str, str]] = json.loads(text)
    return loaded


def test_every_caution_has_its_words_and_every_words_their_caution() -> None:
    named = {name for entry in PROCEDURES for name in entry.cautions}

    assert set(cautions()) == named | {"deferring"}
    assert [name for name in named if set(cautions()[name]) != {"hazard", "can_do", "so"}] == []


def test_every_procedure_has_a_caution_at_its_step() -> None:
    assert [entry.procedure_id for entry in PROCEDURES if not entry.cautions] == []


def test_a_caution_says_hazard_consequence_and_avoidance_before_any_figure_is_known() -> None:
    unknown = placeholders(SafetyFigures())
    silent = [
        (name, part)
        for name, words in cautions().items()
        for part, text in words.items()
        if all(NOT_KNOWN in sentence for sentence in text.format(**unknown).split(". "))
    ]

    assert silent == []


def test_every_text_that_the_window_asks_for_is_in_the_table() -> None:
    table = json.loads(resources.files("resources").joinpath("texts", "en.json").read_text("utf-8"))
    asked = {
        name
        for path in sorted((ROOT / "app").rglob("*.py"))
        for name in re.findall(r"\btext\(\s*\"([a-z_0-9]+\.[a-z_0-9.]+)\"", path.read_text("utf-8"))
    }

    assert len(asked) > 100
    assert sorted(asked - set(table)) == []


def test_cautions_ask_only_for_figures_that_the_core_computes() -> None:
    known = set(placeholders(SafetyFigures()))
    asked = {
        field
        for words in cautions().values()
        for text in words.values()
        for _, field, _, _ in string.Formatter().parse(text)
        if field is not None
    }

    assert asked <= known


def test_a_hazard_stands_without_figures() -> None:
    assert [name for name, words in cautions().items() if "{" in words.get("hazard", "")] == []


def test_the_deferring_line_puts_law_and_owner_first() -> None:
    assert re.search(r"law.*owner.*person in charge", cautions()["deferring"]["text"])
