"""The page of method and sources, made from the rows themselves: `python -m tests.documents.method`."""

from __future__ import annotations

import importlib
import inspect
import pkgutil
import re
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import ctcore
from ctcore import procedures, quantities
from ctcore.notices import NOTICES
from ctcore.quantities import Quantity
from ctcore.standards.proof import proof_sheet

ROOT = Path(__file__).resolve().parents[2]
TARGET = ROOT / "resources" / "documents" / "method.md"
SUBJECTS = {
    "Insulation": quantities.INSULATING,
    "Winding": quantities.WINDING,
    "Ratio and errors": quantities.RATIO,
    "Excitation": quantities.EXCITATION,
    "Circuit and burden": quantities.CIRCUIT,
    "Duty of relay and meter": quantities.DUTY,
    "Every test": quantities.EVERY,
}
_OPENINGS = "Formula|Source|Valid|Result|Args|Errors|Raises"
HEAD = """# Method and source of every figure

Made from the program's own rows by `python -m tests.documents.method`; a test holds this page against them.

Three words say how well a figure is founded. **seen**: read in a published text of the source named. **from
memory**: written down from memory of the standard; check it against the standard before you rely on it.
**common practice, no source**: what the trade does, with nothing printed behind it. The paid standards were
not at hand. The office can replace any limit, with reason and name, and the sheet then says so.

Numbers are kept in base units (V, A, ohm, VA, Hz, s, °C, percent, minutes of arc). Ratio error is negative
when the secondary reads low; phase displacement is positive when the secondary leads. Uncertainty is stated
expanded, k = 2.
"""


def page() -> str:
    """The whole page."""
    blocks = [HEAD, "## Tests\n", *_tests(), "\n## Quantities\n"]
    for subject, rows in SUBJECTS.items():
        blocks += [f"\n### {subject}\n", *_quantities(rows)]
    blocks += ["\n## How each is computed\n", "Validity is what the formula assumes.\n", *_functions()]
    blocks += ["\n## Limits of the accuracy classes\n", "```", proof_sheet(), "```"]
    blocks += ["\n## What the program looks for by itself\n", *(f"- {row.name}" for row in NOTICES)]
    return "\n".join(blocks) + "\n"


def _tests() -> Iterator[str]:
    for entry in procedures.PROCEDURES:
        read = [_name(field.quantity_id) for field in entry.columns]
        worked_out = [_name(name) for name in entry.derived]
        yield f"- **{entry.name}**: read: {', '.join(read) or 'nothing'}."
        if worked_out:
            yield f"  Worked out: {', '.join(worked_out)}."


def _name(quantity_id: str) -> str:
    return quantities.quantity(quantity_id).name


def _quantities(rows: tuple[Quantity, ...]) -> Iterator[str]:
    yield "| quantity | unit | formula, or what it goes into | source |"
    yield "|---|---|---|---|"
    for row in rows:
        if row.formula_text:
            cells = (row.name, row.unit or "-", row.formula_text, row.source_text or "-")
            yield "| " + " | ".join(cell.replace("|", "\\|") for cell in cells) + " |"


def _functions() -> Iterator[str]:
    for name, function in sorted(_stated().items()):
        said = _sections(inspect.getdoc(function) or "")
        valid = f" *Valid {said['Valid']}*" if "Valid" in said else ""
        yield f"- `{name}`: {said['Formula']}{valid} *Source: {said.get('Source', 'none stated')}*"


def _stated() -> dict[str, Any]:
    """Every public function of the core that states a formula, by its name."""
    found = {}
    for entry in pkgutil.walk_packages(ctcore.__path__, "ctcore."):
        module = importlib.import_module(entry.name)
        for name, member in vars(module).items():
            own = inspect.isfunction(member) and member.__module__ == module.__name__
            formula = _sections(inspect.getdoc(member) or "").get("Formula", "none") if own else "none"
            if not name.startswith("_") and not formula.startswith("none"):
                found[f"{entry.name}.{name}"] = member
    return found


def _sections(doc: str) -> dict[str, str]:
    """The parts of a docstring that open with a word of their own, each on one line."""
    text = re.split(r"\n\s*>>>", doc)[0]
    parts = re.findall(rf"^({_OPENINGS}):? (.*?)(?=\n(?:{_OPENINGS})|\n\n|\Z)", text, re.M | re.S)
    return {name: " ".join(words.split()) for name, words in parts}


def main() -> int:
    TARGET.write_text(page(), encoding="utf-8")
    sys.stdout.write(f"{TARGET.relative_to(ROOT)}\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
