from __future__ import annotations

import dataclasses
from collections.abc import Callable, Sequence
from pathlib import Path

import pytest

from app.record import pack, signed_job, signing, trail, verify
from app.record.act import Event
from app.record.papers import Papers
from app.record.problem import CannotTell
from app.record.verdict import Outcome, Verdict
from app.record.verify import is_store, verify_bytes, verify_path
from tests.app.record.signed_scene import (
    APPROVED_AT,
    events,
    listed,
    revision_of,
    the_approver,
    trust,
)
from tests.faults.alterations import WAYS

ITS = revision_of()


@dataclasses.dataclass
class Shelf:
    """A store of papers."""

    given: Sequence[Papers] = ()
    found: Sequence[str] = ()
    kept: Sequence[Event] = ()

    def faults(self) -> list[str]:
        return list(self.found)

    def events(self) -> Sequence[Event]:
        return self.kept

    def papers(self) -> Sequence[Papers]:
        return self.given


@pytest.mark.parametrize(("wanted", "made"), WAYS.values(), ids=WAYS)
def test_each_way_to_alter_papers_has_its_outcome(wanted: Outcome, made: Callable[[], Verdict]) -> None:
    assert made().outcome == wanted


def test_a_genuine_pack_names_who_signed_what_and_when() -> None:
    verdict = verify_bytes(ITS.packed, trust=trust())

    assert [(one.name_text, one.meaning, one.at_utc) for one in verdict.signers] == [
        ("A. Tester", "tested", "2031-05-04T14:30:00Z"),
        ("B. Approver", "approved", "2031-05-06T07:15:00Z"),
        ("B. Approver", "issued", "2031-05-06T07:15:00Z"),
    ]
    assert dict(verdict.details)["number"] == "1042"


# Sheets beside a store


def test_a_sheet_is_held_against_what_the_store_issued() -> None:
    verdict = verify_bytes(ITS.sheet, trust=trust(), store=Shelf([revision_of("7781").papers, ITS.papers]))

    assert verdict.sentences[0].startswith("Genuine: number 1042, revision 1,")


def test_a_sheet_that_the_store_did_not_issue_cannot_be_told() -> None:
    verdict = verify_bytes(ITS.sheet, trust=trust(), store=Shelf([revision_of("7781").papers]))

    assert verdict.outcome == "cannot tell"


def test_a_sheet_in_other_bytes_than_the_store_issued_is_altered() -> None:
    draft = dataclasses.replace(ITS.draft, sheet=None)
    other = revision_of("1042", 1)
    sheet = other.certified
    verdict = verify_bytes(sheet, trust=trust(), store=Shelf([draft, ITS.papers]))

    assert verdict.outcome == "altered"


def test_a_store_with_a_damaged_issue_does_not_vouch_for_a_sheet() -> None:
    damaged = dataclasses.replace(ITS.papers, issued=b"{}")

    assert verify_bytes(ITS.sheet, trust=trust(), store=Shelf([damaged])).outcome == "altered"


def test_an_unreadable_sheet_beside_its_pack_is_altered() -> None:
    verdict = verify_bytes(ITS.pages, trust=trust(), pack=ITS.packed)

    assert verdict.outcome == "altered"


# Stores


def store_file(folder: Path) -> Path:
    path = folder / "store.sqlite"
    path.write_bytes(b"SQLite format 3\x00" + bytes(100))
    return path


def test_a_store_of_signed_papers_is_genuine(tmp_path: Path) -> None:
    handed_in = Papers(record=ITS.record, tested=ITS.tested)
    frozen = Papers(record=revision_of("7781").record)
    shelf = Shelf([ITS.papers, handed_in, frozen])

    verdict = verify_path(store_file(tmp_path), trust=trust(), store=shelf)

    assert verdict.outcome == "genuine"
    assert dict(verdict.details) == {"signed revisions": "2"}
    assert any("not signed" in sentence for sentence in verdict.sentences)


def test_a_store_with_a_fault_is_altered_and_says_which(tmp_path: Path) -> None:
    shelf = Shelf([ITS.papers], ["The trail of device d1 is broken at event 2."])

    assert verify_path(store_file(tmp_path), trust=trust(), store=shelf).sentences[0] == (
        "Altered: The trail of device d1 is broken at event 2."
    )


def test_a_store_in_which_a_frozen_record_was_altered_is_altered(tmp_path: Path) -> None:
    shelf = Shelf([Papers(record=ITS.record + b"\n")])

    assert verify_path(store_file(tmp_path), trust=trust(), store=shelf).outcome == "altered"


def test_a_store_with_the_trail_in_which_was_signed_is_genuine(tmp_path: Path) -> None:
    verdict = verify_path(store_file(tmp_path), trust=trust(), store=Shelf([ITS.papers], kept=events()))

    assert verdict.outcome == "genuine"


def _with_other_heads() -> list[Event]:
    return [dataclasses.replace(event, head="00" * 32) for event in events()]


@pytest.mark.parametrize("kept", [events()[:1], tuple(_with_other_heads())], ids=["cut off", "written anew"])
def test_a_store_whose_trail_is_not_the_one_in_which_was_signed_is_altered(
    kept: Sequence[Event], tmp_path: Path
) -> None:
    verdict = verify_path(store_file(tmp_path), trust=trust(), store=Shelf([ITS.papers], kept=kept))

    assert verdict.sentences == (
        "Altered: The trail of device d1 is not the one in which number 1042, revision 1, was signed.",
    )


def test_a_store_whose_papers_cannot_be_read_keeps_what_was_found_altered(tmp_path: Path) -> None:
    class Unreadable(Shelf):
        def papers(self) -> Sequence[Papers]:
            raise CannotTell("A piece of it can't be read.")

    verdict = verify_path(store_file(tmp_path), trust=trust(), store=Unreadable(found=["Rows are gone."]))

    assert verdict.sentences == ("Altered: Rows are gone.", "A piece of it can't be read.")


def test_a_store_without_signatures_cannot_be_told(tmp_path: Path) -> None:
    verdict = verify_path(store_file(tmp_path), trust=trust(), store=Shelf())

    assert verdict.sentences == ("Cannot tell: Nothing in this store is signed yet.",)


def test_a_store_that_is_not_opened_cannot_be_told(tmp_path: Path) -> None:
    assert verify_path(store_file(tmp_path), trust=trust()).outcome == "cannot tell"


def test_a_store_is_known_by_how_it_begins(tmp_path: Path) -> None:
    (tmp_path / "other").write_bytes(b"SQLite")

    assert is_store(store_file(tmp_path))
    assert not is_store(tmp_path / "other")


# Jobs on their way


def job(**more: bytes) -> bytes:
    return signed_job.to_bytes(
        signed_job.SignedJob(record=ITS.record, tested=ITS.tested, **more)  # type: ignore[arg-type]
    )


def test_a_job_handed_in_is_genuine_and_not_approved() -> None:
    verdict = verify_bytes(job(events=trail.to_bytes(events()), register=listed()), trust=trust())

    assert verdict.sentences[0] == "Genuine: the job is as A. Tester signed it as tested. It is not approved."


def test_a_job_sent_back_says_why_and_by_whom() -> None:
    answer = signing.sign_sent_back(
        ITS.record, ITS.tested, the_approver(), at=APPROVED_AT, reason_text="Ratio of L2 again."
    )

    verdict = verify_bytes(job(sent_back=answer[0], sent_back_signature=answer[1]), trust=trust())

    assert verdict.outcome == "genuine"
    assert "It was sent back by B. Approver: Ratio of L2 again." in verdict.sentences


def test_an_answer_without_signature_cannot_be_told() -> None:
    assert verify_bytes(job(sent_back=b"{}"), trust=trust()).outcome == "cannot tell"


def test_a_job_whose_events_were_altered_is_altered() -> None:
    data = trail.to_bytes(events()).replace(b"freeze", b"thaws!")

    assert verify_bytes(job(events=data), trust=trust()).outcome == "altered"


def test_a_job_whose_events_are_none_is_altered() -> None:
    verdict = verify_bytes(job(events=b"[]]"), trust=trust())

    assert verdict.sentences == ("Altered: The events are not in the form that this program writes.",)


# Anything


def test_a_file_and_its_pack_are_read_from_the_disk(tmp_path: Path) -> None:
    (tmp_path / "sheet.pdf").write_bytes(ITS.sheet)
    (tmp_path / "pack.zip").write_bytes(ITS.packed)

    verdict = verify_path(tmp_path / "sheet.pdf", trust=trust(), pack=tmp_path / "pack.zip")

    assert verdict.outcome == "genuine"


def test_a_file_larger_than_anything_of_ours_is_not_read(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(verify, "LARGEST", 10)
    (tmp_path / "large").write_bytes(bytes(20))

    assert verify_path(tmp_path / "large", trust=trust()).outcome == "cannot tell"


@pytest.mark.parametrize(
    "data",
    [
        b"[" * 100_000,
        b"{}",
        b"[]",
        b"7",
        b'{"format": "other"}',
        b'{"format": []}',
        b'{"format": "coreleaf-signed-job"}',
        b'{"format": "coreleaf-issued"}',
        b"PK\x03\x04",
        b"PK\x03\x04" + bytes(200),
        b"%PDF-",
        b"\xff\xfe\x00",
        ITS.packed[:3000],
    ],
    ids=range(13),
)
def test_no_bytes_make_it_raise(data: bytes) -> None:
    verdict = verify_bytes(data, trust=trust())

    assert verdict.outcome == "cannot tell"
    assert verdict.sentences[0].startswith("Cannot tell: ")


def test_what_another_library_raises_is_a_sentence(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(pack, "read_pack", lambda _: 1 / 0)

    assert verify_bytes(ITS.packed, trust=trust()).sentences == (
        "Cannot tell: The file cannot be read to its end (ZeroDivisionError).",
    )
