"""A job out of a sheet: drafts, frozen and signed ones; and every PDF that is refused, in one sentence."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from app.exchange import jobfile, opening
from app.exchange.problem import JobFileProblem
from app.record import cms, sheet_files, sheet_signing
from tests.app.record.signed_scene import TESTED_AT, person, revision_of, the_approver, the_tester
from tests.faults.altering import sheets

ITS = revision_of()


@pytest.fixture
def opened(tmp_path: Path) -> Callable[[bytes], object]:
    """The job of a file with these bytes."""

    def load(data: bytes) -> object:
        path = tmp_path / "sheet.pdf"
        path.write_bytes(data)
        return opening.load(path)

    return load


def test_a_draft_opens_as_the_job_that_was_printed(opened: Callable[[bytes], object]) -> None:
    assert opened(ITS.pages_with(sheet_files.job_file(jobfile.to_bytes(ITS.job)))) == ITS.job


def test_a_frozen_sheet_opens_as_the_job_of_its_record(opened: Callable[[bytes], object]) -> None:
    assert opened(ITS.pages_with(sheet_files.record_file(ITS.record))) == ITS.job


@pytest.mark.parametrize("sheet", ["certified", "sheet"], ids=["tested", "approved"])
def test_a_signed_sheet_opens_as_the_job_that_was_signed(
    sheet: str, opened: Callable[[bytes], object]
) -> None:
    assert opened(getattr(ITS, sheet)) == ITS.job


def test_a_job_file_opens_as_ever(opened: Callable[[bytes], object]) -> None:
    assert opened(jobfile.to_bytes(ITS.job)) == ITS.job


def _other_record_signed() -> bytes:
    """The tester signs pages in which the record is another than its own signature says."""
    files = sheet_files.record_file(revision_of("7781").record), sheet_files.record_signature(ITS.tested)
    return sheet_signing.certify(ITS.pages_with(*files), the_tester(), at=TESTED_AT)


def _signed_by_two() -> bytes:
    other = person("C. Other", "p-other", ("tester",))
    tested = cms.sign(ITS.record, other, meaning="tested", at=TESTED_AT)
    files = sheet_files.record_file(ITS.record), sheet_files.record_signature(tested)
    return sheet_signing.certify(ITS.pages_with(*files), the_tester(), at=TESTED_AT)


def _doubled() -> bytes:
    twice = ITS.record.replace(b'"revision":1', b'"revision":1,"revision":1')
    return ITS.pages_with(sheet_files.record_file(twice))


def _two_jobs() -> bytes:
    job = sheet_files.job_file(jobfile.to_bytes(ITS.job))
    return ITS.pages_with(job, sheet_files.record_file(ITS.record))


@pytest.mark.parametrize(
    ("made", "told"),
    [
        pytest.param(lambda: ITS.pages, "signatures of the sheet were cut off", id="signatures cut off"),
        pytest.param(lambda: ITS.sheet[:-700], "A signature of the sheet is damaged", id="end cut off"),
        pytest.param(sheets.stamped, "added to the sheet after it was signed", id="stamped after signing"),
        pytest.param(sheets.with_the_page_of_another, "no longer matches its signature", id="pages swapped"),
        pytest.param(_other_record_signed, "record no longer matches its signature", id="another record"),
        pytest.param(_signed_by_two, "signed by different people", id="record signed by another"),
        pytest.param(_two_jobs, "no job in it, or more than one", id="two jobs in it"),
        pytest.param(lambda: b"%PDF-1.7\n%%EOF", "no sheet of this program", id="a PDF of another make"),
        pytest.param(_doubled, "twice", id="record with a doubled name"),
        pytest.param(
            lambda: ITS.pages_with(sheet_files.job_file(b'{"a": 1, "a": 2}')),
            "twice",
            id="job with a doubled name",
        ),
    ],
)
def test_what_is_no_sheet_as_it_was_made_is_refused_in_one_sentence(
    made: Callable[[], bytes], told: str, opened: Callable[[bytes], object]
) -> None:
    with pytest.raises(JobFileProblem, match=told) as refused:
        opened(made())
    assert "\n" not in refused.value.sentence
    assert refused.value.sentence.startswith("sheet.pdf: ")


def test_a_sheet_countersigned_by_a_stranger_still_holds_the_record(
    opened: Callable[[bytes], object],
) -> None:
    """Whom to trust is asked where a job is taken in, not where one is looked at."""
    from tests.faults.altering.hands import countersigned

    stranger = person("D. Stranger", "p-stranger", ("approver",), by="", key_name="stranger")
    assert opened(countersigned(ITS.certified, stranger)) == ITS.job
    assert the_approver().certificate != stranger.certificate
