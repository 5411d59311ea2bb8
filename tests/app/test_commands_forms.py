"""The verb that writes blank field forms."""

from __future__ import annotations

from pathlib import Path

import pytest

from app import commands
from app.report.page_pictures import PagedFile
from samples import sample


@pytest.fixture
def line_bay(tmp_path: Path) -> Path:
    path = tmp_path / "job.json"
    path.write_bytes(sample("line_bay").file.read_bytes())
    return path


def test_forms_are_written_on_the_paper_asked_for(
    line_bay: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "forms.pdf"
    code = commands.run(["forms", str(line_bay), "--out", str(out), "--test", "ratio", "--paper", "Letter"])
    said = capsys.readouterr().out
    with PagedFile(out.read_bytes()) as file:
        assert (code, file.page_count, file.size_pt(0)) == (commands.DONE, 6, (612.0, 792.0))
        assert said.split()[2] in file.words(0)
    assert "6 pages" in said


def test_a_test_that_is_not_planned_is_bad_input(
    line_bay: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "forms.pdf"
    assert commands.run(["forms", str(line_bay), "--out", str(out), "--test", "load"]) == commands.BAD_INPUT
    assert "none of the tests asked for is planned" in capsys.readouterr().err
    assert not out.exists()


def test_forms_never_overwrite_their_job(line_bay: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before = line_bay.read_bytes()
    assert commands.run(["forms", str(line_bay), "--out", str(line_bay)]) == commands.WRONG_USAGE
    assert line_bay.read_bytes() == before


def test_a_place_that_cannot_be_written_is_said(
    line_bay: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "none" / "forms.pdf"
    assert commands.run(["forms", str(line_bay), "--out", str(out)]) == commands.CANNOT_WRITE
    assert "cannot be written" in capsys.readouterr().err
