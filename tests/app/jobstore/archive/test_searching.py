"""Anything is found, on both databases alike, words with signs and accents among it."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator

import pytest

from app.jobstore.archive import Archive, Asked, filing, worded
from app.jobstore.archive.rows import rows_of
from app.jobstore.archive.spelling import asked_words, look_up, words
from app.record import pack, papers
from app.record.canonical import digest
from app.record.receipt import Receipt
from app.record.revision import Record, from_bytes
from ctcore.job import Deviation
from tests.app.jobstore.archive.conftest import KINDS, file, first
from tests.app.record.signed_scene import revision_of


def put(archive: Archive, record: Record, leaf_no: int) -> None:
    """Rows of a record that was never signed, to be searched."""
    issued = papers.from_bytes(pack.read_pack(first().packed).issued or b"")
    name = digest(record.job.job_id.encode())
    given = Receipt(
        archive_id="a", record_digest=name, deposit_digest=name, leaf_no=leaf_no, tree_size=leaf_no + 1,
        root=name, arrived_at_utc="2031-06-01T09:00:00Z",
    )  # fmt: skip
    with archive._writing() as connection:
        filing.put(connection, rows_of(record, issued), filing.own(given))


def changed(number_text: str, **header: object) -> Record:
    record = from_bytes(first().record)
    job = record.job
    new = dataclasses.replace(
        job,
        job_id=f"job-{number_text}",
        header=dataclasses.replace(job.header, number_text=number_text, **header),
    )
    return dataclasses.replace(record, job=new)


def with_serial(record: Record, serial_text: str) -> Record:
    (position,) = record.job.positions
    cts = tuple(dataclasses.replace(ct, serial_text=serial_text) for ct in position.cts)
    job = dataclasses.replace(record.job, positions=(dataclasses.replace(position, cts=cts),))
    return dataclasses.replace(record, job=job)


def found(archive: Archive, **asked: object) -> list[str]:
    return [hit.filed.number_text for hit in archive.search(Asked(**asked)).hits]


@pytest.fixture(scope="module", params=KINDS)
def filled(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Archive]:
    """An archive that is only searched, filled once on each database."""
    on_disk = request.param == "sqlite"
    archive = Archive.open(
        str(tmp_path_factory.mktemp("searched") / "archive.sqlite")
        if on_disk
        else request.getfixturevalue("server").database()
    )
    put(archive, with_serial(changed("A-1", site_text="Gäßchen Østby"), "TX-401/A"), 0)
    put(archive, with_serial(changed("A-2", site_text="Fenmark", work_order_text="WO 77/3"), "TX-401/B"), 1)
    put(archive, with_serial(changed("B-3", title_text="Replacement after flashover"), "tx 9"), 2)
    yield archive
    archive.close()


@pytest.mark.parametrize(
    ("asked", "wanted"),
    [
        ({"serial_text": "TX-401/A"}, ["A-1"]),
        ({"serial_text": "tx-401/a"}, ["A-1"]),
        ({"serial_text": "TX-401*"}, ["A-2", "A-1"]),
        ({"serial_text": "TX-401"}, []),
        ({"serial_text": "TX 9"}, ["B-3"]),
        ({"number_text": "A-*"}, ["A-2", "A-1"]),
        ({"work_order_text": "wo 77/3"}, ["A-2"]),
        ({"site_text": "gasschen"}, ["A-1"]),
        ({"site_text": "enmar"}, ["A-2"]),
        ({"words_text": "TX-401/A"}, ["A-1"]),
        ({"words_text": "tx401b"}, ["A-2"]),
        ({"words_text": "flashover replacement"}, ["B-3"]),
        ({"words_text": "flash*"}, ["B-3"]),
        ({"words_text": "østby"}, ["A-1"]),
        ({"words_text": "flashover fenmark"}, []),
        ({"words_text": '" OR 1=1 --'}, []),
        ({"words_text": "unheard OR flashover"}, []),
        ({"serial_text": "TX%"}, []),
        ({"site_text": "%"}, []),
        ({"person_text": "a. tester"}, ["B-3", "A-2", "A-1"]),
        ({"person_text": "tester", "serial_text": "tx 9"}, ["B-3"]),
        ({"person_text": "nobody"}, []),
        ({"tested_from": "2199-01-01"}, []),
        ({"tested_until": "2199-01-01"}, ["B-3", "A-2", "A-1"]),
    ],
)
def test_what_is_asked_for_is_found_newest_first(
    filled: Archive, asked: dict[str, str], wanted: list[str]
) -> None:
    assert found(filled, **asked) == wanted


def test_an_instrument_is_recalled_by_its_serial_number(filled: Archive) -> None:
    used = next(one for one in from_bytes(first().record).job.instruments if one.serial_text)
    assert found(filled, instrument_text=used.serial_text) == ["B-3", "A-2", "A-1"]
    assert found(filled, instrument_text="no such instrument") == []


def test_pages_follow_each_other_without_gap(filled: Archive) -> None:
    one = filled.search(Asked(), limit=2)
    two = filled.search(Asked(), limit=2, before=one.next_before)

    assert [hit.filed.number_text for hit in (*one.hits, *two.hits)] == ["B-3", "A-2", "A-1"]
    assert two.next_before is None


@pytest.mark.parametrize(("walked", "gathered"), [(1, 0), (1, 1000), (2, 0), (8000, 0)])
def test_words_are_found_newest_first_however_the_index_is_gone_through(
    filled: Archive, monkeypatch: pytest.MonkeyPatch, walked: int, gathered: int
) -> None:
    monkeypatch.setattr(worded, "_WALKED", walked)
    monkeypatch.setattr(worded, "_GATHERED", gathered)
    one = filled.search(Asked(words_text="tester"), limit=2)
    two = filled.search(Asked(words_text="tester"), limit=2, before=one.next_before)

    assert [hit.filed.number_text for hit in (*one.hits, *two.hits)] == ["B-3", "A-2", "A-1"]
    assert two.next_before is None
    assert found(filled, words_text="tx401*") == ["A-2", "A-1"]
    assert found(filled, words_text="tx401a") == ["A-1"]
    assert found(filled, words_text="tester", serial_text="TX-401/A") == ["A-1"]


def test_a_superseded_revision_is_found_only_where_it_is_asked_for(archive: Archive) -> None:
    file(archive, first(), revision_of("1042", 2))

    assert [hit.filed.revision for hit in archive.search(Asked(number_text="1042")).hits] == [2]
    both = archive.search(Asked(number_text="1042", superseded_too=True)).hits
    assert [hit.filed.revision for hit in both] == [2, 1]


def test_an_open_deviation_is_found(archive: Archive) -> None:
    record = changed("D-1")
    left = Deviation(deviation_id="d", core_id="", procedure_id="", found_text="cracked", due_on="2031-07-01")
    put(archive, dataclasses.replace(record, job=dataclasses.replace(record.job, deviations=(left,))), 0)
    put(archive, changed("D-2"), 1)

    assert found(archive, open_deviation=True) == ["D-1"]


def test_a_verdict_is_found_with_its_findings(filled: Archive) -> None:
    worst = filled.search(Asked(serial_text="TX-401/A")).hits[0]

    assert found(filled, worst=worst.filed.worst) == ["B-3", "A-2", "A-1"]
    assert worst.cores[0].serial_text == "TX-401/A"
    assert bool(worst.findings) == (worst.filed.worst not in ("within", "not applicable"))


def test_a_question_is_kept_under_a_name(archive: Archive) -> None:
    archive.save_search("recall", Asked(instrument_text="M-7"), person_text="B. Approver")
    archive.save_search("recall", Asked(instrument_text="M-8"), person_text="B. Approver")

    assert archive.saved_searches() == {"recall": Asked(instrument_text="M-8")}
    archive.forget_search("recall")
    assert archive.saved_searches() == {}


def test_words_are_cut_the_same_way_when_kept_and_when_asked_for() -> None:
    assert asked_words("TX-401/A") == ["tx401a"]
    assert "tx401a" in words(["spare TX-401/A"])
    assert look_up("  Straße\u00a05 ") == "strasse 5"


def test_a_sign_that_a_database_refuses_is_no_sign_of_a_key() -> None:
    assert look_up("a\x00b\ud800c") == "abc"
