"""Signed files on the disk: read up to a size, written whole, told apart by what they say they are."""

from __future__ import annotations

from pathlib import Path

import pytest

from app.exchange import signedfile
from app.exchange.problem import JobFileProblem
from app.record import signed_job
from app.record.pack import ZIP_MARK


def test_what_was_saved_is_what_is_loaded(tmp_path: Path) -> None:
    signedfile.save(tmp_path / "file", b"bytes")

    assert signedfile.load(tmp_path / "file") == b"bytes"


def test_a_folder_that_is_not_there_is_named_as_the_reason(tmp_path: Path) -> None:
    with pytest.raises(
        JobFileProblem, match="cannot be written: no such file or directory; what stood there"
    ):
        signedfile.save(tmp_path / "nowhere" / "file", b"bytes")


@pytest.mark.parametrize(
    ("data", "kind"),
    [
        (signed_job.to_bytes(signed_job.SignedJob(record=b"r", tested=b"t")), "signed job"),
        (
            signed_job.to_bytes(signed_job.SignedJob(record=b"r" * 9000, tested=b"t", sheet=b"s")),
            "signed job",
        ),
        (ZIP_MARK + b"...", "pack"),
        (b"%PDF-1.7...", "sheet"),
        (b'{"format": "coreleaf-job", "version": 1}', "job file"),
        (b"", "job file"),
    ],
)
def test_a_file_is_told_by_its_mark(data: bytes, kind: str) -> None:
    assert signedfile.kind_of(data) == kind
