from __future__ import annotations

import zipfile

from app import reports
from app.desk import diagnostics
from app.log import Log
from app.settings import ROWS


def test_what_is_written_is_what_was_shown(desk, job_id, tmp_path):
    log = Log(desk.settings.folder)
    log.note("start")
    reports.write(desk.settings.folder, ValueError("30.9"))
    shown = diagnostics.papers(desk)
    path = diagnostics.write(tmp_path / "out.zip", shown)
    with zipfile.ZipFile(path) as bundle:
        assert {one: bundle.read(one).decode() for one in bundle.namelist()} == {
            one.name: one.words for one in shown
        }
    assert [one.name.partition("/")[0] for one in shown] == [
        "versions.txt", "preferences.txt", "counts.txt", "log", "reports",
    ]  # fmt: skip


def test_of_what_was_typed_it_is_only_said_that_it_was(desk, job_id):
    desk.settings.change(organisation_text="Rill and Bank Testing", copies_folder_text="/media/adder")
    words = "".join(one.words for one in diagnostics.papers(desk))
    assert "organisation_text: stated" in words
    assert "decimal_mark: ask" in words
    assert all(row.name in words for row in ROWS)
    assert not [one for one in ("Rill", "Adder", "adder", str(desk.settings.folder)) if one in words]


def test_it_counts_jobs_and_entries_and_names_none(desk, job_id):
    counts = next(one.words for one in diagnostics.papers(desk) if one.name == "counts.txt")
    assert "jobs: 1\n" in counts
    assert "jobs planned: 1\n" in counts
    assert job_id not in counts
