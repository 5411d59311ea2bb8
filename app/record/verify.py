"""Is this file what was signed? A sheet, a signed job file, a store, or an evidence pack: three answers only.

Genuine, altered (and what), or cannot tell (and what is missing). No bytes whatever make it raise.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path
from typing import Any, Final, Protocol

from app import progress
from app.record import carried, papers, signed_job, signing
from app.record import pack as packing
from app.record.act import Event
from app.record.canonical import digest
from app.record.inspecting import (
    Inspector,
    inspect_events,
    inspect_papers,
    inspect_sheet,
    inspect_tested,
    with_sheet,
)
from app.record.papers import Papers
from app.record.problem import Altered, CannotTell
from app.record.sheet_reading import PDF_MARK, ReadSheet
from app.record.trust import Trust
from app.record.verdict import Inquiry, Verdict

LARGEST: Final = 256 * 1024 * 1024
_STORE_MARK: Final = b"SQLite format 3\x00"
_NOT_KNOWN: Final = "This is no sheet, signed job file, store or evidence pack of this program."
_NOT_SIGNED: Final = {
    "coreleaf-job": "This job file carries no signature: anybody may have changed it.",
    "coreleaf-record": "This is a record without its signature: check the pack or the sheet it belongs to.",
    papers.ISSUED_FORMAT: "This is an issue without the files it speaks of: check the pack it belongs to.",
}


def is_store(path: Path) -> bool:
    """Whether the file is a store, going by how it begins. OSError where it cannot be read."""
    with path.open("rb") as stream:
        return stream.read(len(_STORE_MARK)) == _STORE_MARK


class PaperStore(Protocol):
    """What a check asks of a store."""

    def faults(self) -> list[str]:
        """A sentence for everything that is not what the events say."""

    def events(self) -> Sequence[Event]:
        """The trail that the store itself has kept; none where it is not the store that is checked."""

    def papers(self) -> Sequence[Papers]:
        """The papers of every frozen revision, as far as they go. CannotTell where they cannot be read."""


def verify_path(
    path: Path, *, trust: Trust, store: PaperStore | None = None, pack: Path | None = None
) -> Verdict:
    """The verdict on a file. OSError where it cannot be read at all.

    A sheet is held, to the last bit, against what `store` or `pack` say was issued, where one is given. Where
    the file is a store itself, `store` is that store, opened for reading.
    """
    with path.open("rb") as stream:
        data = stream.read(LARGEST + 1)
    if data.startswith(_STORE_MARK):
        return _guarded(lambda: _verify_store(store, trust))
    return verify_bytes(data, trust=trust, store=store, pack=None if pack is None else pack.read_bytes())


def verify_bytes(
    data: bytes, *, trust: Trust, store: PaperStore | None = None, pack: bytes | None = None
) -> Verdict:
    """The verdict on the bytes of a sheet, a signed job file or an evidence pack."""
    return _guarded(lambda: _verify(data, trust, store, pack))


def _guarded(check: Any) -> Verdict:
    """The verdict of a check that may find more than it can say."""
    try:
        verdict: Verdict = check()
    except (Altered, CannotTell) as problem:
        inquiry = Inquiry()
        inquiry.put(problem)
        return inquiry.verdict("")
    except progress.Stopped:
        raise
    # Assumption: parsers that others wrote may raise anything; what cannot be read was not seen altered.
    except Exception as problem:
        sentence = f"The file cannot be read to its end ({type(problem).__name__})."
        return Inquiry(missing=[sentence]).verdict("")
    return verdict


def _verify(data: bytes, trust: Trust, store: PaperStore | None, pack: bytes | None) -> Verdict:
    if len(data) > LARGEST:
        raise CannotTell(f"The file is larger than {LARGEST >> 20} MB; nothing that this program makes is.")
    if data.startswith(PDF_MARK):
        return _verify_sheet(data, trust, store, pack)
    if data.startswith(packing.ZIP_MARK):
        inspector = Inspector(trust, Inquiry())
        return inspector.inquiry.verdict(inspect_papers(packing.read_pack(data), inspector))
    return _verify_json(data, trust)


def _verify_json(data: bytes, trust: Trust) -> Verdict:
    try:
        kind = json.loads(data)["format"]
    except (ValueError, TypeError, KeyError, RecursionError) as problem:
        raise CannotTell(_NOT_KNOWN) from problem
    if kind in _NOT_SIGNED:
        raise CannotTell(_NOT_SIGNED[kind])
    if kind != signed_job.FORMAT:
        raise CannotTell(_NOT_KNOWN)
    job = signed_job.from_bytes(data)
    inspector = Inspector(trust, Inquiry())
    inspector.learn(job.register)
    record, tested = inspect_tested(job.record, job.tested, inspector)
    if record is not None:
        inspect_events(job.events, record, inspector)
        carried.inspect(record, job.attached, inspector.inquiry)
    if job.sent_back is not None:
        _inspect_answer(job, inspector)
    who = tested.certificate.name_text if tested is not None else ""
    return inspector.inquiry.verdict(f"the job is as {who} signed it as tested. It is not approved.")


def _inspect_answer(job: signed_job.SignedJob, inspector: Inspector) -> None:
    answer, signature = job.sent_back or b"", job.sent_back_signature
    if signature is None:
        inspector.inquiry.lacks("The answer carries no signature.")
        return
    checked = inspector.inquiry.attempt(lambda: signing.reason_sent_back(job.record, answer, signature))
    if checked is not None:
        inspector.signature(answer, signature, meaning="sent back", what="the answer")
        inspector.inquiry.note(f"It was sent back by {checked[1].certificate.name_text}: {checked[0]}")


def _verify_sheet(sheet: bytes, trust: Trust, store: PaperStore | None, pack: bytes | None) -> Verdict:
    known = (
        [packing.read_pack(pack)] if pack is not None else list(store.papers()) if store is not None else []
    )
    issued = next((one for one in known if _issued_digest(one) == digest(sheet)), None)
    if issued is not None:
        inspector = Inspector(trust, Inquiry())
        return inspector.inquiry.verdict(inspect_papers(with_sheet(issued, sheet), inspector))
    inspector = Inspector(trust, Inquiry())
    read, genuine = inspect_sheet(sheet, inspector)
    if known or pack is not None or store is not None:
        _say_not_issued(read, known, inspector, alone=pack is not None)
    return inspector.inquiry.verdict(genuine)


def _say_not_issued(
    read: ReadSheet | None, known: Sequence[Papers], inspector: Inspector, *, alone: bool
) -> None:
    """No issue known here is of exactly this file: is it the sheet of one of them, or of none?"""
    record = read.attached.get("record.json") if read is not None else None
    if any(one.record == record and one.issued is not None for one in known) or (alone and record is None):
        inspector.inquiry.is_altered(
            "The sheet is not the one that was issued: its digest is another than the issue says."
        )
    else:
        inspector.inquiry.lacks("Nothing that was issued here is the issue of this sheet.")


def _issued_digest(one: Papers) -> str | None:
    if one.issued is None:
        return None
    try:
        return papers.from_bytes(one.issued).files.get("sheet.pdf")
    except (Altered, CannotTell):
        return None


def _verify_store(store: PaperStore | None, trust: Trust) -> Verdict:
    if store is None:
        raise CannotTell("This is a store; it has to be opened to be checked.")
    inspector = Inspector(trust, Inquiry())
    for sentence in store.faults():
        inspector.inquiry.is_altered(sentence)
    given = inspector.inquiry.attempt(lambda: (store.events(), store.papers()))
    if given is None:
        return inspector.inquiry.verdict("")
    inspector.events, signed = given[0], 0
    for one in progress.each(given[1], "revision"):
        if one.tested is None:
            if inspector.record(one.record) is not None:
                inspector.inquiry.note("A revision that is frozen and not signed was not checked further.")
        elif one.issued is None:
            inspect_tested(one.record, one.tested, inspector)
        else:
            inspect_papers(one, inspector)
        signed += one.tested is not None
    if not signed:
        inspector.inquiry.lacks("Nothing in this store is signed yet.")
    inspector.inquiry.details.clear()
    inspector.inquiry.details["signed revisions"] = str(signed)
    return inspector.inquiry.verdict(
        f"the store is whole, and {signed} signed revisions in it are as they were signed."
    )
