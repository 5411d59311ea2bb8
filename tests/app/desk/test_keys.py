"""Keys at the desk: made, enrolled, believed."""

from __future__ import annotations

from pathlib import Path

import pytest

from app.desk import Refusal
from app.record.authority import Authority
from tests.app.desk import making
from tests.app.desk.making import PASSPHRASE, Clock, Seat


@pytest.fixture
def newcomer(tmp_path: Path, clock: Clock) -> Seat:
    made = making.seat(tmp_path / "new", "N. Newcomer", clock)
    yield made
    made.close()


def test_who_has_no_key_is_told_so(newcomer: Seat) -> None:
    assert newcomer.desk.my_key() is None


def test_a_new_key_is_shown_with_its_fingerprint_and_not_as_enrolled(newcomer: Seat) -> None:
    made = newcomer.desk.make_key(PASSPHRASE)

    assert newcomer.desk.my_key() == made
    assert (made.name_text, made.enrolled, made.roles) == ("N. Newcomer", False, ())
    assert made.fingerprint_groups.replace(" ", "") == made.fingerprint


def test_a_short_passphrase_makes_no_key(newcomer: Seat) -> None:
    with pytest.raises(Refusal, match="at least 15 characters"):
        newcomer.desk.make_key("1234")
    assert newcomer.desk.my_key() is None


def test_a_key_has_a_person(newcomer: Seat) -> None:
    newcomer.desk.settings.change(person_name_text="")
    with pytest.raises(Refusal, match="Say first who you are"):
        newcomer.desk.make_key(PASSPHRASE)


def test_a_changed_passphrase_opens_the_key_and_the_old_one_does_not(tester: Seat) -> None:
    tester.desk.change_passphrase(PASSPHRASE, "four new words instead")
    job_id = making.complete_job(tester.desk)

    with pytest.raises(Refusal, match="does not fit"):
        tester.desk.hand_in(job_id, PASSPHRASE, making.APPROVER)
    assert tester.desk.hand_in(job_id, "four new words instead", making.APPROVER).view.revisions


def enrol(seat: Seat, office: Authority, role: str, clock: Clock) -> None:
    """What passes between a person and the office."""
    asked = seat.desk.ask_for_certificate(PASSPHRASE, seat.folder / "request.pem")
    given = seat.folder / "given.pem"
    given.write_bytes(office.enrol(asked.read_bytes(), roles=(role,), at=clock()))  # type: ignore[arg-type]
    seat.desk.take_certificate(given)
    ca = seat.folder / "ca.pem"
    ca.write_bytes(office.certificate_pem)
    seat.desk.believe(ca, office.key.certificate.fingerprint)
    seat.desk.take_register(office.folder / "office-register.json")


@pytest.fixture
def office(tmp_path: Path, clock: Clock) -> Authority:
    return Authority.make(tmp_path / "ca", name_text="Rill and Bank", passphrase=PASSPHRASE, at=clock())


def test_people_of_one_office_believe_each_other_by_its_certificate_alone(
    tester: Seat, approver: Seat, office: Authority, clock: Clock, tmp_path: Path
) -> None:
    for path in (*tester.desk.trust_folder.iterdir(), *approver.desk.trust_folder.iterdir()):
        path.unlink()
    enrol(tester, office, "tester", clock)
    enrol(approver, office, "approver", clock)
    job_id = making.complete_job(tester.desk)
    tester.desk.hand_in(job_id, PASSPHRASE, making.APPROVER, tmp_path / "in")
    approver.desk.take_in(tmp_path / "in")
    approver.desk.approve(job_id, PASSPHRASE)
    approver.desk.issue(job_id, PASSPHRASE, tmp_path / "out.zip")

    assert tester.desk.my_key() is not None
    assert tester.desk.my_key().enrolled  # type: ignore[union-attr]
    assert tester.desk.take_in(tmp_path / "out.zip").view.job.state == "issued"


def test_a_tester_of_the_office_does_not_approve(
    tester: Seat, approver: Seat, office: Authority, clock: Clock, tmp_path: Path
) -> None:
    enrol(approver, office, "tester", clock)
    job_id = making.complete_job(tester.desk)
    tester.desk.hand_in(job_id, PASSPHRASE, making.APPROVER, tmp_path / "in")
    approver.desk.take_in(tmp_path / "in")

    with pytest.raises(Refusal, match=r"M\. Oskarrin is not enrolled as approver"):
        approver.desk.approve(job_id, PASSPHRASE)


def test_a_certificate_is_believed_only_by_its_fingerprint(
    tester: Seat, office: Authority, tmp_path: Path
) -> None:
    (tmp_path / "ca.pem").write_bytes(office.certificate_pem)
    with pytest.raises(Refusal, match="The fingerprint is not that of this certificate"):
        tester.desk.believe(tmp_path / "ca.pem", "00")


def test_a_certificate_for_another_key_is_left(tester: Seat, approver: Seat) -> None:
    theirs = approver.desk.key_folder / "m-oskarrin.pem"
    with pytest.raises(Refusal, match="for another key or another person"):
        tester.desk.take_certificate(theirs)


def test_a_list_of_an_unknown_office_is_left(tester: Seat, office: Authority) -> None:
    with pytest.raises(Refusal, match="unknown here"):
        tester.desk.take_register(office.folder / "office-register.json")


def test_a_file_without_a_signature_has_no_signer(tester: Seat, tmp_path: Path) -> None:
    (tmp_path / "plain.json").write_bytes(b"{}")
    with pytest.raises(Refusal, match="damaged"):
        tester.desk.signer_of(tmp_path / "plain.json")
