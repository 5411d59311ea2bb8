"""Ways with files that are none."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Callable

from app.record import signed_job, signing
from app.record.verdict import Outcome, Verdict
from tests.app.record.signed_scene import (
    APPROVED_AT,
    revision_of,
    the_approver,
)
from tests.faults.altering.hands import checked


def zip_bomb() -> Verdict:
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as packed:
        packed.writestr("record.json", bytes(80 * 1024 * 1024))
    return checked(buffer.getvalue())


def zip_bomb_that_lies() -> Verdict:
    """The head says a few bytes, and much more is packed."""
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr("record.json", bytes(1024 * 1024))
    size = (1024 * 1024).to_bytes(4, "little")
    return checked(buffer.getvalue().replace(size, (64).to_bytes(4, "little")))


def pack_with_a_file_twice() -> Verdict:
    import warnings

    buffer = io.BytesIO(revision_of().packed)
    with warnings.catch_warnings(), zipfile.ZipFile(buffer, "a") as packed:
        warnings.simplefilter("ignore")
        packed.writestr("record.json", revision_of("7781").record)
    return checked(buffer.getvalue())


def pack_with_a_path() -> Verdict:
    buffer = io.BytesIO(revision_of().packed)
    with zipfile.ZipFile(buffer, "a") as packed:
        packed.writestr("../../outside.txt", b"")
    return checked(buffer.getvalue())


def pack_cut_off() -> Verdict:
    return checked(revision_of().packed[:-400])


def not_a_sheet_of_ours() -> Verdict:
    return checked(b"%PDF-1.4\n1 0 obj <<>> endobj\ntrailer <<>>\n%%EOF\n")


def nothing_at_all() -> Verdict:
    return checked(b"")


def job_file_without_signature() -> Verdict:
    return checked(b'{"format": "coreleaf-job", "version": 1}')


def signed_job_altered() -> Verdict:
    its = revision_of()
    record = its.record.replace(b"1042", b"1043")
    return checked(signed_job.to_bytes(signed_job.SignedJob(record=record, tested=its.tested)))


def answer_to_another_record() -> Verdict:
    one, other = revision_of(), revision_of("7781")
    answer = signing.sign_sent_back(
        other.record, other.tested, the_approver(), at=APPROVED_AT, reason_text="Again."
    )
    job = signed_job.SignedJob(record=one.record, tested=one.tested)
    return checked(signed_job.to_bytes(signed_job.with_answer(job, *answer)))


WAYS: dict[Outcome, tuple[Callable[[], Verdict], ...]] = {
    "altered": (
        signed_job_altered,
        answer_to_another_record,
    ),
    "cannot tell": (
        zip_bomb,
        zip_bomb_that_lies,
        pack_with_a_file_twice,
        pack_with_a_path,
        pack_cut_off,
        not_a_sheet_of_ours,
        nothing_at_all,
        job_file_without_signature,
    ),
}
