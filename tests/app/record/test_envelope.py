from __future__ import annotations

import json
import stat
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from app.record import envelope
from app.record.canonical import canonical, digest
from app.record.problem import KeyProblem, WrongPassphrase

PASSPHRASE = "four words by chance"
ABOUT = {"kind": "person", "person_id": "p1"}


@pytest.fixture
def sealed(light: None) -> envelope.Envelope:
    return envelope.seal(b"secret", PASSPHRASE, ABOUT)


def rewritten(one: envelope.Envelope, change: Callable[[dict[str, Any]], object]) -> bytes:
    """The file with something changed and its check made to fit again."""
    body = json.loads(envelope.to_bytes(one))
    del body["check"]
    change(body)
    return canonical({**body, "check": digest(canonical(body))})


def test_the_shipped_strength_is_256_mib_in_three_passes_and_opens_again() -> None:
    made = envelope.seal(b"secret", PASSPHRASE, ABOUT)

    assert envelope.unseal(made, PASSPHRASE) == b"secret"
    kdf = json.loads(envelope.to_bytes(made))["kdf"]
    assert (kdf["name"], kdf["memory_kib"], kdf["passes"]) == ("argon2id", 262144, 3)


def test_argon2id_is_that_of_rfc_9106() -> None:
    """Source: RFC 9106, clause 5.3, test vector of Argon2id (32 KiB, 3 passes, 4 lanes)."""
    from cryptography.hazmat.primitives.kdf.argon2 import Argon2id

    made = Argon2id(
        salt=b"\x02" * 16,
        length=32,
        iterations=3,
        lanes=4,
        memory_cost=32,
        ad=b"\x04" * 12,
        secret=b"\x03" * 8,
    ).derive(b"\x01" * 32)

    assert made.hex() == "0d640df58d78766c08c037a34a8b53c9d01ef0452d75b65eb52520e96b01e659"


def test_a_wrong_passphrase_is_refused_without_saying_more(sealed: envelope.Envelope) -> None:
    with pytest.raises(WrongPassphrase, match="does not fit"):
        envelope.unseal(sealed, "four words by mistake")


def test_an_accent_typed_as_two_characters_opens_the_same_envelope(light: None) -> None:
    made = envelope.seal(b"secret", "caf\u00e9 by the water mill", ABOUT)

    assert envelope.unseal(made, "cafe\u0301 by the water mill") == b"secret"


@pytest.mark.parametrize("passphrase", ["", "1234", "fourteen signs", "aaaaaaaaaaaaaaaaaaaa"])
def test_a_weak_passphrase_is_not_taken(passphrase: str) -> None:
    with pytest.raises(KeyProblem, match="No key was made"):
        envelope.seal(b"secret", passphrase, ABOUT)


def test_an_envelope_comes_back_from_its_file(sealed: envelope.Envelope, tmp_path: Path) -> None:
    envelope.save(sealed, tmp_path / "one.key.json")

    assert envelope.load(tmp_path / "one.key.json") == sealed


def test_the_file_is_readable_by_its_owner_alone(sealed: envelope.Envelope, tmp_path: Path) -> None:
    envelope.save(sealed, tmp_path / "one.key.json")

    assert stat.S_IMODE((tmp_path / "one.key.json").stat().st_mode) == 0o600


def test_a_missing_file_is_named(tmp_path: Path) -> None:
    with pytest.raises(KeyProblem, match=r"none\.key\.json cannot be read"):
        envelope.load(tmp_path / "none.key.json")


@pytest.mark.parametrize("at", range(0, 600, 37))
def test_a_flipped_bit_is_called_damage_or_another_file(sealed: envelope.Envelope, at: int) -> None:
    data = bytearray(envelope.to_bytes(sealed))
    data[at % len(data)] ^= 1

    with pytest.raises(KeyProblem):
        envelope.from_bytes(bytes(data))


@pytest.mark.parametrize(
    "change",
    [
        lambda body: body["kdf"].update(memory_kib=8),
        lambda body: body["kdf"].update(passes=1),
        lambda body: body["cipher"].update(name="none"),
        lambda body: body.update(more=1),
    ],
    ids=["memory", "passes", "cipher", "more"],
)
def test_a_file_that_asks_for_another_strength_is_refused(
    sealed: envelope.Envelope, change: Callable[[dict[str, Any]], object]
) -> None:
    with pytest.raises(KeyProblem, match="another strength"):
        envelope.from_bytes(rewritten(sealed, change))


@pytest.mark.parametrize(
    "change",
    [
        lambda body: body["kdf"].update(lanes=5),
        lambda body: body["kdf"].update(lanes=True),
        lambda body: body["kdf"].update(salt="AAAA"),
        lambda body: body["cipher"].update(nonce="not base64"),
        lambda body: body.pop("about"),
        lambda body: body.update(kdf=[]),
    ],
    ids=["lanes", "lanes of another kind", "salt", "nonce", "about", "kdf"],
)
def test_a_file_whose_parts_cannot_be_is_called_damaged(
    sealed: envelope.Envelope, change: Callable[[dict[str, Any]], object]
) -> None:
    with pytest.raises(KeyProblem, match="damaged"):
        envelope.from_bytes(rewritten(sealed, change))


def test_a_file_whose_check_does_not_fit_is_called_damaged(sealed: envelope.Envelope) -> None:
    data = envelope.to_bytes(sealed).replace(b'"person_id":"p1"', b'"person_id":"p2"')

    with pytest.raises(KeyProblem, match="damaged"):
        envelope.from_bytes(data)


def test_whose_it_is_is_bound_to_the_seal(sealed: envelope.Envelope) -> None:
    moved = envelope.from_bytes(rewritten(sealed, lambda body: body["about"].update(person_id="p2")))

    with pytest.raises(WrongPassphrase):
        envelope.unseal(moved, PASSPHRASE)


@pytest.mark.parametrize("data", [b"[]", b'{"format":"other"}'])
def test_another_file_is_called_no_key(data: bytes) -> None:
    with pytest.raises(KeyProblem, match="no key of this program"):
        envelope.from_bytes(data)


def test_an_envelope_of_a_newer_program_is_left_as_it_is(sealed: envelope.Envelope) -> None:
    with pytest.raises(KeyProblem, match="newer"):
        envelope.from_bytes(rewritten(sealed, lambda body: body.update(version=2)))
