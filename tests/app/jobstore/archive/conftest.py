"""An archive on each database, and signed revisions to file in it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from pathlib import Path

import pytest

from app.jobstore.archive import Archive, Deposit, Filing
from app.record import cms, pack, papers, receipt
from app.record.canonical import digest
from app.record.receipt import Receipt
from app.record.revision import from_bytes
from tests.app.record.signed_scene import Revision, person, revision_of

AT = dt.datetime(2031, 6, 1, 9, 0, tzinfo=dt.UTC)
KINDS = ("sqlite", "postgresql")


@pytest.fixture(params=KINDS)
def place(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """Where an empty archive may be made, on each database in turn."""
    if request.param == "sqlite":
        return str(tmp_path / "archive.sqlite")
    address: str = request.getfixturevalue("server").database()
    return address


@pytest.fixture
def archive(place: str) -> Iterator[Archive]:
    its = Archive.open(place)
    yield its
    its.close()


def signed_receipt(given: Receipt) -> tuple[bytes, bytes]:
    return receipt.sign(given, person("Archive", "archive-1", ("archive",)), at=AT)


def left(archive: Archive, its: Revision, at: dt.datetime = AT) -> Deposit:
    """The pack of a revision, left in the archive."""
    digest_hex = archive.deposit(its.packed, device_text="laptop 1", at=at)
    return next(one for one in archive.deposits(limit=1000) if one.digest_hex == digest_hex)


def filing_of(archive: Archive, its: Revision) -> Filing:
    """A revision that was left, read and ready to be filed."""
    given = pack.read_pack(its.packed)
    checked = cms.check(given.record, given.tested or b"", what="it")
    return Filing(
        deposit=left(archive, its),
        papers=given,
        record=from_bytes(given.record),
        record_digest=digest(given.record),
        issued=papers.from_bytes(given.issued or b""),
        signatures=((checked, "A. Tester is enrolled."),),
    )


def file(archive: Archive, *wanted: Revision, at: dt.datetime = AT) -> None:
    """File these revisions."""
    archive.file([filing_of(archive, its) for its in wanted], sign=signed_receipt, at=at)


def first() -> Revision:
    return revision_of()
