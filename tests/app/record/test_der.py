from __future__ import annotations

import pytest

from app.record import der
from ctcore.errors import BadInput


def test_a_long_content_has_its_length_in_the_fewest_bytes() -> None:
    assert der.element(der.OCTETS, bytes(300))[:4] == b"\x04\x82\x01\x2c"


def test_the_object_identifier_of_rsa_is_spelled_as_x690_says() -> None:
    # Source: RFC 8017, "PKCS #1", appendix A: 1.2.840.113549.1.1.1; bytes by X.690, clause 8.19.
    assert der.oid("1.2.840.113549.1.1.1").hex() == "06092a864886f70d010101"


def test_a_set_stands_in_the_order_of_its_bytes() -> None:
    assert der.set_of([b"\x02\x01\x02", b"\x02\x01\x01"]) == bytes.fromhex("3106020101020102")


def test_a_number_with_its_highest_bit_set_gets_a_zero_before_it() -> None:
    assert der.whole(128) == bytes.fromhex("02020080")


def test_children_come_back_whole() -> None:
    inside = [der.whole(1), der.element(der.OCTETS, bytes(200))]

    assert der.children(der.element(der.SEQUENCE, *inside), der.SEQUENCE) == inside


@pytest.mark.parametrize(
    "data", ["", "30", "3005", "3080", "308500000000010000", "300002", "0400", "30020405"], ids=str
)
def test_what_is_no_sequence_is_refused(data: str) -> None:
    with pytest.raises(BadInput):
        der.children(bytes.fromhex(data), der.SEQUENCE)


@pytest.mark.parametrize("data", ["3000", "040100ff"], ids=str)
def test_content_of_another_tag_or_with_more_behind_it_is_refused(data: str) -> None:
    with pytest.raises(BadInput):
        der.content(bytes.fromhex(data), der.OCTETS)


def test_the_first_length_leaves_out_what_follows() -> None:
    assert der.first_length(bytes.fromhex("040100ffff")) == 3
