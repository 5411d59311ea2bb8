"""What README and DEVELOPERS say is so."""

from __future__ import annotations

import importlib
import re
import tomllib
from pathlib import Path

import pytest

from app import fresh
from app.settings import ROWS
from ctcore import burden, limiting, procedures
from ctcore.findings import VERDICTS
from ctcore.nameplate import parse_class

ROOT = Path(__file__).resolve().parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))


def command(name: str) -> list[str]:
    found = re.search(rf"<!-- command: {name} -->\n```\n(.*?)```", README, re.DOTALL)
    assert found, name
    return found.group(1).splitlines()


@pytest.mark.parametrize("name", ["job", "tests"])
def test_each_command_is_one_line_after_one_line_of_packages(name: str) -> None:
    lines = command(name)

    assert len(lines) == 2
    assert lines[0].startswith("apt-get ")
    assert lines[1] == f"python3 -m app.fresh {name}"


def test_the_packages_of_the_tests_command_are_those_that_the_set_up_looks_for() -> None:
    listed = set(command("tests")[0].split())

    assert {package for _, package in fresh.NEEDED_BY_TESTS} - listed == set()


def test_the_worked_number_is_what_the_core_computes() -> None:
    rated = burden.from_rating(15.0, 1.0, 0.8)

    assert rated == pytest.approx(12 + 9j)
    assert f"{limiting.emf_v(20, 1.0, 5.0, rated):.1f} V" in README


def test_every_verdict_is_explained() -> None:
    assert [word for word in VERDICTS if f"| {word} |" not in README] == []


@pytest.mark.parametrize("text", re.findall(r"`((?:\d|PX|C4)[^`/]*(?:VA|ohm|C400))`", README))
def test_class_texts_of_the_first_sheet_are_understood(text: str) -> None:
    assert parse_class(text).designation


def test_pictures_and_files_named_in_readme_are_there() -> None:
    named = re.findall(r"\]\(([^)]+)\)", README) + re.findall(r"`((?:resources|app)/[\w/.]+)`", README)

    assert [path for path in named if not (ROOT / path).exists()] == []


def test_python_versions_agree() -> None:
    least = PROJECT["project"]["requires-python"].removeprefix(">=")

    assert f"Python {least} or newer" in README


def test_the_core_alone_depends_on_numpy() -> None:
    names = {re.split(r"[<>=]", entry)[0] for entry in PROJECT["project"]["dependencies"]}

    assert names == {"numpy"}


def test_folders_and_files_named_in_developers_are_there() -> None:
    named = re.findall(r"`((?:app|ctcore|tests|resources|samples)/[\w/.]*)`", DEVELOPERS)

    assert [path for path in named if not (ROOT / path).exists()] == []


def test_modules_of_both_runners_answer_to_run() -> None:
    bench = importlib.import_module("tests.bench.__main__")
    faults = importlib.import_module("tests.faults.__main__")
    modules = [importlib.import_module(f"tests.bench.{name}") for name in bench.MODULES]
    suites = [importlib.import_module(f"tests.faults.{name}") for name in faults.SUITES]

    assert [module.__name__ for module in (*modules, *suites) if not callable(module.run)] == []
    assert [module.__name__ for module in modules if not module.NAMES] == []


def test_every_procedure_has_its_words() -> None:
    assert [
        entry.procedure_id for entry in procedures.PROCEDURES if not (entry.name and entry.short_name)
    ] == []


def test_what_is_asked_first_is_what_the_sheet_needs() -> None:
    asked = {row.name for row in ROWS if row.asked_first}

    assert {
        "organisation_text",
        "organisation_address_text",
        "person_name_text",
        "paper",
        "decimal_mark",
    } <= asked
