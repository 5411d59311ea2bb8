"""An office kept on a computer: made, enrolling, ending; and a person who is enrolled by it."""

from __future__ import annotations

from pathlib import Path

import pytest

from app.desk import Refusal
from app.desk.view import NotOpened
from tests.app.desk import making
from tests.app.desk.making import Seat

OFFICE = "five quiet words over there"


@pytest.fixture
def enrolled(tester: Seat, approver: Seat, tmp_path: Path) -> Path:
    """The tester's certificate from the office at the approver's computer."""
    approver.desk.make_office("Rill and Bank test office", OFFICE)
    asked = tester.desk.ask_for_certificate(making.PASSPHRASE, tmp_path / "request.pem")
    approver.desk.enrol(OFFICE, asked, ("tester",), tmp_path / "enrolled.pem")
    return tmp_path / "enrolled.pem"


def test_no_office_is_kept_here_at_first(tester: Seat) -> None:
    assert tester.desk.office() is None


def test_who_is_enrolled_stands_on_the_list_and_knows_the_office(
    enrolled: Path, tester: Seat, approver: Seat, tmp_path: Path
) -> None:
    office = approver.desk.office()
    assert office is not None
    root = approver.desk.write_office_certificate(tmp_path / "office.pem")
    tester.desk.believe(root, office.line.fingerprint)
    tester.desk.take_certificate(enrolled)
    mine = tester.desk.my_key()

    assert mine is not None
    assert [one.name_text for one in office.people] == ["T. Adder"]
    assert (mine.enrolled, mine.office_text) == (True, "Rill and Bank test office")


def test_who_was_ended_stands_on_the_list_with_the_reason(
    enrolled: Path, tester: Seat, approver: Seat, tmp_path: Path
) -> None:
    office = approver.desk.office()
    assert office is not None
    ended = approver.desk.end_person(OFFICE, office.people[0].fingerprint, "left the firm")
    tester.desk.believe(
        approver.desk.write_office_certificate(tmp_path / "office.pem"), office.line.fingerprint
    )
    tester.desk.take_register(approver.desk.write_office_list(tmp_path / "list.json"))

    assert ended.people[0].ended_text
    assert ended.people[0].reason_text == "left the firm"
    assert tester.desk.trust().registers[0].lines[0].reason_text == "left the firm"


def test_a_wrong_passphrase_opens_no_office_and_says_so_as_such(enrolled: Path, approver: Seat) -> None:
    office = approver.desk.office()
    assert office is not None
    with pytest.raises(NotOpened):
        approver.desk.end_person("another four words", office.people[0].fingerprint, "left")


def test_nobody_is_enrolled_where_no_office_is_kept(tester: Seat, tmp_path: Path) -> None:
    asked = tester.desk.ask_for_certificate(making.PASSPHRASE, tmp_path / "request.pem")
    with pytest.raises(Refusal, match="No office is kept"):
        tester.desk.enrol(OFFICE, asked, ("tester",), tmp_path / "enrolled.pem")


def test_an_office_without_a_name_is_not_made(approver: Seat) -> None:
    with pytest.raises(Refusal, match="An office has a name"):
        approver.desk.make_office(" ", OFFICE)


def test_the_own_certificate_is_written_for_others(tester: Seat, approver: Seat, tmp_path: Path) -> None:
    mine = tester.desk.my_key()
    assert mine is not None
    path = tester.desk.write_certificate(tmp_path / "me.pem")

    assert approver.desk.believe(path, mine.fingerprint_groups).name_text == "T. Adder"


def test_the_key_goes_out_under_a_passphrase_of_its_own(tester: Seat, tmp_path: Path) -> None:
    from cryptography.hazmat.primitives.serialization import pkcs12

    path = tester.desk.write_key(making.PASSPHRASE, "another five words for it", tmp_path / "me.p12")
    key, certificate, _ = pkcs12.load_key_and_certificates(path.read_bytes(), b"another five words for it")

    assert key is not None
    assert certificate is not None
