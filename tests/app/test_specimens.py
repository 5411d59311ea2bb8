"""Frozen files of every format that ever left this program open and verify; newer ones are refused.

The people, the office and their keys are invented; only certificates lie here, no key does. A file is never
made again: a new form gets a specimen of its own beside the old one.
"""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from app.commands import run
from app.desk import Refusal, registers
from app.exchange import jobfile, opening
from app.exchange.problem import JobFileProblem
from app.record import certificates, cms, pack, papers, register, revision, signed_job, signing
from app.record.canonical import canonical, digest
from app.record.certificates import certificate_of
from app.record.problem import CannotTell
from app.record.trust import trust_of
from app.record.verify import verify_bytes
from app.settings import Settings
from ctcore.errors import BadInput
from ctcore.judge import judge
from tests.app.desk.making import Clock, seat
from tests.app.record import signed_scene as scene

SPECIMENS = Path(__file__).parents[1] / "specimens"
OFFICE = SPECIMENS / "office_ca.pem"
RECORD_DIGEST = "e2886a9c3bf201884c36acd356180b31e2695c071f2e9ed3847d18272cb76ca6"


def content(name: str) -> bytes:
    return (SPECIMENS / name).read_bytes()


def believe(seat_folder: Path, office_pem: bytes) -> None:
    trust = seat_folder / "settings" / "trust"
    trust.mkdir()
    (trust / "office.pem").write_bytes(office_pem)


# What was released opens for ever


def test_a_job_file_of_version_1_opens_with_its_readings_and_is_judged() -> None:
    job = jobfile.load(SPECIMENS / "job_form_1.json")

    assert (job.header.number_text, len(job.readings)) == ("77", 5)
    assert [entry.as_typed_text for entry in job.readings][-1] == "2.90"
    assert {one.verdict for one in judge(job)} >= {"outside"}


def test_a_record_of_version_1_is_read_with_the_digest_that_it_had() -> None:
    data = content("record_form_1.json")
    record = revision.from_bytes(data)

    assert digest(data) == RECORD_DIGEST
    assert revision.to_bytes(record) == data
    assert record.revision == 1


@pytest.mark.parametrize(
    ("name", "meanings"),
    [
        ("signed_job_form_1.json", ["tested"]),
        ("pack_form_1.zip", ["tested", "approved", "issued"]),
        ("sheet_form_1.pdf", ["tested", "approved"]),
    ],
)
def test_what_was_signed_is_genuine_by_the_office_that_lies_beside_it(name: str, meanings: list[str]) -> None:
    verdict = verify_bytes(
        content(name), trust=trust_of([OFFICE.read_bytes()], [content("register_form_1.json")])
    )

    assert verdict.outcome == "genuine", verdict.sentences
    assert [signer.meaning for signer in verdict.signers] == meanings


def test_a_sheet_is_the_one_that_the_pack_says_was_issued(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("CORELEAF_HOME", str(tmp_path))
    sheet, pack = SPECIMENS / "sheet_form_1.pdf", SPECIMENS / "pack_form_1.zip"

    assert run(["verify", str(sheet), "--pack", str(pack), "--ca", str(OFFICE)]) == 0


def test_a_sheet_gives_its_job_back() -> None:
    job = opening.load(SPECIMENS / "sheet_form_1.pdf")

    assert job.job_id == jobfile.load(SPECIMENS / "job_form_1.json").job_id


def test_the_list_of_people_of_an_office_is_read() -> None:
    listed = register.from_bytes(content("register_form_1.json"), certificate_of(OFFICE.read_bytes()).der)

    assert [(one.name_text, one.ended_utc) for one in listed.lines] == [
        ("T. Adder", None),
        ("M. Oskarrin", None),
    ]


def test_a_signed_job_and_the_pack_of_its_issue_are_taken_in(tmp_path: Path) -> None:
    approver = seat(tmp_path / "seat", "M. Oskarrin", Clock())
    believe(approver.folder, OFFICE.read_bytes())
    taken = approver.desk.take_in(SPECIMENS / "signed_job_form_1.json").view
    issued = approver.desk.take_in(SPECIMENS / "pack_form_1.zip").view
    approver.close()

    assert (taken.job.header.number_text, len(taken.job.readings)) == ("77", 5)
    assert issued.job.state == "issued"


@pytest.mark.parametrize(("form", "limit_count"), [(1, 0), (2, 1)])
def test_the_registers_of_an_office_are_read(form: int, limit_count: int) -> None:
    found = registers.read(SPECIMENS / f"registers_form_{form}.json")

    (limits,) = found.limit_sets
    assert (limits.decision_rule, limits.client_insulation_limit_ohm) == ("guard_band", 1e8)
    assert len(limits.references.limit_overrides) == limit_count
    assert [one.name_text for one in (*found.people, *found.instruments, *found.templates)] == [
        "R. Tamm", "Ohmmeter 3", "Fenmark bay",
    ]  # fmt: skip


def test_preferences_of_form_1_are_read(tmp_path: Path) -> None:
    shutil.copy(SPECIMENS / "settings_form_1.json", tmp_path / "settings.json")
    read = Settings.load(tmp_path)

    assert read.note_text == ""
    assert (read.get("paper"), read.get("theme"), read.decimal_comma()) == ("Letter", "night", True)
    assert read.me() == ("t-adder", "T. Adder")


# What a newer program made is refused by name, and left as it is


def newer_job(room: Path) -> Path:
    plain = json.loads(content("job_form_1.json"))
    path = room / "newer.json"
    path.write_text(json.dumps({**plain, "version": 9, "field_of_later": 1}), encoding="utf-8")
    return path


def newer_record() -> bytes:
    return canonical({**json.loads(content("record_form_1.json")), "version": 9})


def newer_signed_job(_patch: pytest.MonkeyPatch) -> bytes:
    return canonical({**json.loads(content("signed_job_form_1.json")), "version": 9})


def newer_pack(patch: pytest.MonkeyPatch) -> bytes:
    """A pack as a newer program would issue it, with everything signed."""
    with patch.context() as later:
        later.setattr(papers, "VERSION", 9)
        issued = signing.issue(
            scene.revision_of().draft, scene.the_approver(), at=scene.APPROVED_AT, decision="approved"
        )
    return pack.build_pack(issued)


def newer_record_in_a_job(_patch: pytest.MonkeyPatch) -> bytes:
    """A record of a later version, signed as it stands."""
    record = newer_record()
    tested = cms.sign(record, scene.the_tester(), meaning="tested", at=scene.TESTED_AT)
    return signed_job.to_bytes(signed_job.SignedJob(record=record, tested=tested))


Newer = Callable[[pytest.MonkeyPatch], bytes]
NEWER: tuple[Newer, ...] = (newer_signed_job, newer_pack, newer_record_in_a_job)


def test_a_newer_job_file_is_refused_by_name(tmp_path: Path) -> None:
    path = newer_job(tmp_path)
    before = path.read_bytes()

    with pytest.raises(JobFileProblem, match=r"newer\.json.*newer Coreleaf, version 9.*up to version 1"):
        jobfile.load(path)
    assert path.read_bytes() == before


def test_a_newer_record_is_refused() -> None:
    with pytest.raises(BadInput, match="made by a newer Coreleaf"):
        revision.from_bytes(newer_record())


@pytest.mark.parametrize("make", NEWER)
def test_nobody_calls_a_newer_signed_file_altered(make: Newer, monkeypatch: pytest.MonkeyPatch) -> None:
    verdict = verify_bytes(make(monkeypatch), trust=scene.trust())

    assert verdict.outcome == "cannot tell", verdict.sentences
    assert "newer Coreleaf" in verdict.sentences[0]


def test_a_newer_list_of_people_is_not_called_damaged(monkeypatch: pytest.MonkeyPatch) -> None:
    with monkeypatch.context() as later:
        later.setattr(register, "VERSION", 9)
        newer = scene.listed()

    with pytest.raises(CannotTell, match="newer Coreleaf"):
        register.from_bytes(newer, scene.office().certificate.der)


@pytest.mark.parametrize("make", NEWER)
def test_a_newer_signed_file_is_not_taken_in_and_nothing_changes(
    tmp_path: Path, make: Newer, monkeypatch: pytest.MonkeyPatch
) -> None:
    path, data = tmp_path / "from-a-newer-one", make(monkeypatch)
    path.write_bytes(data)
    here = seat(tmp_path / "seat", "M. Oskarrin", Clock())
    believe(here.folder, certificates.pem_of(scene.office().certificate.der))
    with pytest.raises(Refusal, match=r"newer Coreleaf.*Nothing was taken in"):
        here.desk.take_in(path)
    left = (here.desk.jobs(), here.store.events(), path.read_bytes())
    here.close()

    assert left == ([], [], data)
