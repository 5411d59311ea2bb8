"""The sheet of one core beside what an office would do instead: a spreadsheet with one log-log chart.

The spreadsheet holds the same curve and is converted to PDF by LibreOffice without a screen, warm (later runs
of one profile), in turns with the sheet. Runs only where it is asked for by name, since it wants LibreOffice
and takes half a minute: `python -m tests.bench sheet_vs_spreadsheet`.
"""

from __future__ import annotations

import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import Any

from app.report.sheet import render
from tests.bench.sheet_one_core import given_for, one_core, points_of

NAMES = ("sheet_vs_spreadsheet",)

_WARM_UP = 2
_SECONDS = 120


def run(short: bool = False) -> list[dict[str, Any]]:
    """Median milliseconds of both; the ratio is how many times faster the sheet is."""
    office = shutil.which("soffice") or shutil.which("libreoffice")
    if office is None:
        print("sheet_vs_spreadsheet wants LibreOffice: apt-get install libreoffice-calc", file=sys.stderr)
        raise SystemExit(69)
    runs = 3 if short else 7
    given = given_for(one_core())
    ours, theirs = [], []
    with tempfile.TemporaryDirectory(prefix="coreleaf-bench-") as name:
        folder = Path(name)
        book = _spreadsheet(points_of(given.job), folder)
        for number in range(-_WARM_UP, runs):
            started = time.perf_counter()
            _convert(office, book, folder)
            between = time.perf_counter()
            render(given)
            if number >= 0:
                theirs.append((between - started) * 1e3)
                ours.append((time.perf_counter() - between) * 1e3)
    value, reference = statistics.median(ours), statistics.median(theirs)
    return [
        {
            "name": NAMES[0],
            "value": value,
            "unit": "ms",
            "reference": reference,
            "ratio": value / reference,
            "times_faster": reference / value,
            "runs": runs,
        }
    ]


def _spreadsheet(points: list[tuple[float, float]], folder: Path) -> Path:
    """One sheet with the points of the curve and one scatter chart on two logarithmic axes."""
    from openpyxl import Workbook
    from openpyxl.chart import Reference, ScatterChart, Series

    book = Workbook()
    page = book.active
    assert page is not None
    page.append(["A", "V"])
    for amps, volts in points:
        page.append([amps, volts])
    chart = ScatterChart()
    last = len(points) + 1
    across, up = (Reference(page, min_col=column, min_row=2, max_row=last) for column in (1, 2))
    chart.series.append(Series(up, across, title="Excitation"))
    chart.x_axis.scaling.logBase = chart.y_axis.scaling.logBase = 10
    page.add_chart(chart, "D2")
    path = folder / "curve.xlsx"
    book.save(path)
    return path


def _convert(office: str, book: Path, folder: Path) -> None:
    profile = f"-env:UserInstallation=file://{folder}/profile"
    command = [office, profile, "--headless", "--convert-to", "pdf", "--outdir", str(folder), str(book)]
    subprocess.run(command, check=True, capture_output=True, timeout=_SECONDS)
    made = folder / "curve.pdf"
    assert made.stat().st_size > 1000
    made.unlink()
