"""The files in a sheet, and the sheet as PDF/A-3b, held against the validator of a library of PDF."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from io import BytesIO

import pikepdf
import pytest
from pikepdf import pdfa

from app.record import sheet_files, sheet_reading
from app.record.problem import CannotTell
from tests.app.record.signed_scene import revision_of

ITS = revision_of()
JOB = sheet_files.job_file(b'{"format": "coreleaf-job"}')
# The same job drawn in a process of its own; what is random or local there must not reach the bytes.
DRAWN_ELSEWHERE = """
import hashlib
from tests.app.record.signed_scene import revision_of
from app.record import sheet_files
print(hashlib.sha256(revision_of().pages_with(sheet_files.job_file(b"{}"))).hexdigest())
"""


def test_the_sheet_before_it_is_signed_is_pdf_a_3b() -> None:
    """Against pikepdf's validator of ISO 19005-3, which approves only what it recognises."""
    report = pdfa.validate_written(BytesIO(ITS.pages), "3b")
    assert [str(one) for one in report.findings] == []
    assert report.passed


def test_a_sheet_with_an_unembedded_font_would_be_caught() -> None:
    from reportlab.pdfgen.canvas import Canvas

    buffer = BytesIO()
    canvas = Canvas(buffer)
    canvas.drawString(50, 50, "Helvetica")
    canvas.save()
    made = sheet_files.archived(buffer.getvalue(), [], issued_epoch_s=0.0)
    assert not pdfa.validate_written(BytesIO(made), "3b").passed


def test_every_file_of_the_sheet_is_an_associated_file_with_its_kind() -> None:
    with pikepdf.open(BytesIO(ITS.pages)) as pdf:
        told = {
            str(one.UF): (str(one.AFRelationship), str(one.EF.F.Subtype)) for one in pdf.Root.AF.as_list()
        }
    assert told == {
        "record.json": ("/Source", "/application/json"),
        "record.p7s": ("/Supplement", "/application/pkcs7-signature"),
    }


def test_the_metadata_are_dated_at_the_issue_and_name_this_program() -> None:
    with pikepdf.open(BytesIO(ITS.pages)) as pdf:
        packet = pdf.Root.Metadata.read_bytes().decode()
        producer = str(pdf.docinfo["/Producer"])
    assert "<xmp:MetadataDate>2031-05-04T14:29:00+00:00<" in packet
    assert "<pdf:Producer>Coreleaf 0.0.0<" in packet
    assert producer == "Coreleaf 0.0.0"


@pytest.mark.parametrize(("seed", "zone"), [("1", "Pacific/Auckland"), ("2", "America/St_Johns")])
def test_another_process_seed_and_time_zone_give_the_same_bytes(seed: str, zone: str) -> None:
    from app.record.canonical import digest

    environment = {**os.environ, "PYTHONHASHSEED": seed, "TZ": zone}
    done = subprocess.run(
        [sys.executable, "-c", DRAWN_ELSEWHERE],
        env=environment, capture_output=True, text=True, check=True, timeout=120,
    )  # fmt: skip
    assert done.stdout.strip() == digest(ITS.pages_with(sheet_files.job_file(b"{}")))


def test_what_is_in_the_sheet_comes_out_as_it_went_in() -> None:
    sheet = ITS.pages_with(JOB)
    assert sheet_reading.attached_to(sheet) == {"job.json": JOB.data}
    assert json.loads(sheet_reading.attached_to(sheet)["job.json"])["format"] == "coreleaf-job"


def test_the_record_in_a_signed_sheet_is_the_one_that_was_signed() -> None:
    assert sheet_reading.read(ITS.sheet).attached["record.json"] == ITS.record


@pytest.mark.parametrize(
    "data",
    [
        pytest.param(b"%PDF-1.4\n", id="a beginning alone"),
        pytest.param(ITS.pages_with()[:2000], id="cut off"),
        pytest.param(ITS.pages_with(), id="no file in it"),
    ],
)
def test_a_pdf_without_a_job_is_no_sheet_of_ours(data: bytes) -> None:
    with pytest.raises(CannotTell, match="no sheet of this program"):
        sheet_reading.attached_to(data)


def test_a_file_that_unpacks_to_more_than_is_read_stops_early(monkeypatch: pytest.MonkeyPatch) -> None:
    bomb = ITS.pages_with(sheet_files.job_file(bytes(8_000_000)))
    monkeypatch.setattr(sheet_reading, "_LONGEST_ATTACHED", 1_000_000)
    with pytest.raises(CannotTell, match="larger than this program reads"):
        sheet_reading.attached_to(bomb)
