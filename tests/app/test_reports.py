from __future__ import annotations

import faulthandler
import subprocess
import sys

import pytest

from app import reports


def fail_with(words: str) -> None:
    raise ValueError(words)


def fail_because() -> None:
    try:
        fail_with("J. Velde keyed 30.9 mA")
    except ValueError as first:
        raise RuntimeError("/opt/velde/store.sqlite") from first


@pytest.fixture
def problem():
    with pytest.raises(RuntimeError) as caught:
        fail_because()
    return caught.value


def test_a_report_names_the_kinds_and_the_places_and_none_of_the_words(problem, tmp_path):
    written = reports.write(tmp_path, problem, page_id="worksheet").read_text(encoding="utf-8")
    assert "Page: worksheet" in written
    assert "RuntimeError" in written
    assert "caused by ValueError" in written
    assert "tests/app/test_reports.py:" in written
    assert "fail_with" in written
    assert not {"Velde", "30.9", "velde", str(tmp_path)} & set(written.replace("/", " ").split())


def test_only_the_newest_reports_are_kept(problem, tmp_path, monkeypatch):
    monkeypatch.setattr(reports, "KEPT", 3)
    written = [reports.write(tmp_path, problem) for _ in range(5)]
    assert reports.reports_in(tmp_path) == written[-3:]


def test_a_folder_that_takes_no_report_says_so(problem, tmp_path):
    (tmp_path / "reports").write_text("", encoding="utf-8")
    assert reports.write(tmp_path, problem) is None


def test_an_abort_leaves_a_report_without_where_the_program_lies(tmp_path):
    program = (
        "import os, pathlib\n"
        "from app import reports\n"
        f"watch = reports.watch_for_stop(pathlib.Path({str(tmp_path)!r}))\n"
        "def at_work():\n"
        "    os.abort()\n"
        "at_work()\n"
    )
    ended = subprocess.run([sys.executable, "-c", program], capture_output=True, check=False, timeout=60)
    found = reports.report_of_stop(tmp_path)
    said = found.read_text(encoding="utf-8")
    assert ended.returncode != 0
    assert "Fatal Python error: Aborted" in said
    assert "at_work" in said
    assert reports.report_of_stop(tmp_path) is None


def test_a_window_that_ends_by_itself_leaves_no_report(tmp_path):
    was_enabled = faulthandler.is_enabled()
    reports.end_watch(tmp_path, reports.watch_for_stop(tmp_path))
    assert reports.report_of_stop(tmp_path) is None
    faulthandler.enable() if was_enabled else None
