from __future__ import annotations

import base64
import datetime as dt
import json

import pytest

from app.record import cms, register
from app.record.canonical import canonical
from app.record.problem import Altered, CannotTell
from tests.app.record.signed_scene import APPROVER_ID, MADE, listed, office, the_approver, the_tester


def resigned(**changes: object) -> bytes:
    """A list with other things in it, signed by the office all the same."""
    plain = {**json.loads(listed())["list"], **changes}
    signature = cms.sign(canonical(plain), office(), meaning="issued", at=MADE)
    return canonical({"list": plain, "signature": base64.b64encode(signature).decode()})


def test_a_list_comes_back_as_the_office_signed_it() -> None:
    ended = {APPROVER_ID: MADE + dt.timedelta(days=3)}

    read = register.from_bytes(listed(number=4, ended=ended), office().certificate.der)

    line = read.line(the_approver().certificate.fingerprint)
    assert read.number == 4
    assert line is not None
    assert (line.ended_utc, line.reason_text) == (ended[APPROVER_ID], "Left the office.")
    assert read.line(the_tester().certificate.fingerprint) == read.lines[0]
    assert read.line("00") is None


def test_the_list_of_another_office_is_not_taken() -> None:
    with pytest.raises(CannotTell, match="another office"):
        register.from_bytes(listed(by="Foreign Office"), office().certificate.der)


def test_a_list_of_a_newer_program_is_not_guessed_at() -> None:
    with pytest.raises(CannotTell, match="newer"):
        register.from_bytes(resigned(version=2), office().certificate.der)


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"[]",
        b"{}",
        b'{"list":{},"signature":1}',
        b'{"list":{},"signature":"?"}',
        listed().replace(b"A. Tester", b"A. Wester"),
        resigned(people=[{}]),
        resigned(made_utc="noon"),
    ],
    ids=["nothing", "list", "empty", "number", "no base64", "altered", "line without names", "no time"],
)
def test_a_damaged_list_is_called_so(data: bytes) -> None:
    with pytest.raises(Altered):
        register.from_bytes(data, office().certificate.der)
