"""The digest as a square code, read from the printed page by a reader of codes that is none of ours."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import pytest

from app.report import code
from app.report.sheet import render
from ctcore.job import Job
from tests.app.report.making import DIGEST, draft, frozen


def _read(pdf: bytes, tmp_path: Path) -> list[str]:
    """What every code of the first page says, as zbar reads it."""
    if shutil.which("zbarimg") is None:
        pytest.fail("zbarimg is wanted to read the code back: apt-get install zbar-tools")
    path = tmp_path / "sheet.pdf"
    path.write_bytes(pdf)
    page = ["-r", "200", "-l", "1", "-png", "-singlefile"]
    subprocess.run(["pdftoppm", *page, str(path), str(tmp_path / "page")], check=True, timeout=60)
    read = subprocess.run(
        ["zbarimg", "--quiet", "--raw", str(tmp_path / "page.png")],
        capture_output=True, text=True, check=False, timeout=60,
    )  # fmt: skip
    return read.stdout.split()


@pytest.mark.parametrize("digest_hex", [DIGEST, "0" * 64, "f" * 64])
def test_a_reader_of_codes_finds_the_digest_on_the_page(
    three_phases: Job, tmp_path: Path, digest_hex: str
) -> None:
    pdf = render(frozen(three_phases, digest_hex=digest_hex))
    assert _read(pdf, tmp_path) == [f"SHA256:{digest_hex.upper()}"]


def test_a_draft_carries_no_code(three_phases: Job, tmp_path: Path) -> None:
    assert _read(render(draft(three_phases)), tmp_path) == []


def test_the_corners_are_those_of_the_standard() -> None:
    """ISO/IEC 18004: a finder pattern of seven modules stands in three corners (from memory)."""
    count, runs = code.modules(DIGEST)
    first = [run for run in runs if run[0] == 0]
    assert (count - 17) % 4 == 0
    assert first[0] == (0, 0, 7)
    assert first[-1] == (0, count - 7, 7)
