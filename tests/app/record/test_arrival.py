"""What an archive files is genuine in every part; what is not is refused in the words of the check."""

from __future__ import annotations

import dataclasses

import pytest

from app.record import pack
from app.record.arrival import read_pack
from app.record.canonical import digest
from app.record.problem import Altered, CannotTell
from app.record.trust import NOBODY
from tests.app.record.signed_scene import listed, office, revision_of, trust

ITS = revision_of()


def packed(**changes: bytes | None) -> bytes:
    return pack.build_pack(dataclasses.replace(ITS.papers, **changes))


@pytest.mark.parametrize("pages", [True, False])
def test_a_genuine_pack_comes_apart(pages: bool) -> None:
    arrived = read_pack(ITS.packed, trust(), pages=pages)

    assert arrived.papers == ITS.papers
    assert arrived.record_digest == digest(ITS.record)
    assert arrived.record.job.header.number_text == arrived.issued.number_text == "1042"
    assert [signature.meaning for signature, _ in arrived.signatures] == ["tested", "approved", "issued"]
    assert all("enrolled by Invented Test Office" in standing for _, standing in arrived.signatures)


def test_the_list_of_people_that_came_along_is_kept_where_a_known_office_signed_it() -> None:
    arrived = read_pack(ITS.packed, trust())
    assert arrived.listed is not None
    assert arrived.listed.office_fingerprint == office().certificate.fingerprint


def test_a_list_by_an_unknown_office_is_not_kept() -> None:
    arrived = read_pack(packed(register=listed(by="Another Office")), trust())
    assert arrived.listed is None


def test_a_pack_without_a_list_is_genuine_all_the_same() -> None:
    assert read_pack(packed(register=None), trust()).listed is None


@pytest.mark.parametrize("pages", [True, False])
def test_a_sheet_of_other_bytes_is_refused_by_its_digest(pages: bool) -> None:
    with pytest.raises(Altered, match=r"sheet\.pdf is not the file that was issued"):
        read_pack(packed(sheet=ITS.sheet + b" "), trust(), pages=pages)


def test_a_record_of_another_revision_is_refused() -> None:
    with pytest.raises(Altered):
        read_pack(packed(record=revision_of("1043").record), trust())


def test_a_pack_without_approval_cannot_be_told() -> None:
    with pytest.raises(CannotTell, match="approved by"):
        read_pack(packed(approved=None), trust())


def test_a_pack_signed_by_people_nobody_knows_cannot_be_told() -> None:
    with pytest.raises(CannotTell, match="Nobody known here"):
        read_pack(ITS.packed, NOBODY)


@pytest.mark.parametrize("data", [b"", b"PK\x03\x04 and no more", b"%PDF-1.7"])
def test_what_is_no_pack_cannot_be_told(data: bytes) -> None:
    with pytest.raises(CannotTell):
        read_pack(data, trust())
