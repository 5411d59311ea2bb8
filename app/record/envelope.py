"""A private key at rest: argon2id makes a key of the passphrase, AES-256-GCM seals the private key under it.

Format: one JSON object {"format": "coreleaf-envelope", "version": 1, "about", "kdf", "cipher", "sealed",
"check"}. `about` says in the clear whose it is and is bound to the seal; `check` is the digest of all the
rest, so that a damaged file can be told from a wrong passphrase. Binary values are base64.
"""

from __future__ import annotations

import base64
import binascii
import secrets
import unicodedata
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from app.record.canonical import canonical, digest, parse_canonical
from app.record.files import write_whole
from app.record.problem import KeyProblem, WrongPassphrase
from ctcore.errors import BadInput

FORMAT: Final = "coreleaf-envelope"
VERSION: Final = 1

# Source: RFC 9106, "Argon2 Memory-Hard Function", 2021, clause 4: argon2id, and 64 MiB with three passes if
# memory is short. 256 MiB: common practice, no source; four times what the RFC asks there.
MEMORY_KIB: Final = 256 * 1024
PASSES: Final = 3
LANES: Final = 4
_MOST_LANES: Final = 4
_KEY_LENGTH: Final = 32
_SALT_LENGTH: Final = 16
_NONCE_LENGTH: Final = 12
_LONGEST_FILE: Final = 64 * 1024

# Practice: fifteen characters, or four words by chance, hold against a thief with a copy; a PIN does not.
SHORTEST_PASSPHRASE: Final = 15
_MODE_OWNER_ONLY: Final = 0o600


@dataclass(frozen=True, slots=True)
class Envelope:
    """A sealed private key as its file holds it. `about` is public: what it is for and whose it is."""

    about: dict[str, str]
    salt: bytes
    lanes: int
    nonce: bytes
    sealed: bytes


def weakness(passphrase: str) -> str | None:
    """Why this passphrase is not taken for a new envelope; None where it is.

    >>> weakness("1234")
    'A passphrase has at least 15 characters: four words that do not belong together are easy to keep.'
    """
    plain = unicodedata.normalize("NFC", passphrase)
    if len(plain) < SHORTEST_PASSPHRASE:
        return (
            f"A passphrase has at least {SHORTEST_PASSPHRASE} characters: "
            "four words that do not belong together are easy to keep."
        )
    if len(set(plain)) < 5:
        return "The passphrase repeats too few characters: take four words that do not belong together."
    return None


def seal(private: bytes, passphrase: str, about: dict[str, str]) -> Envelope:
    """The private bytes under the passphrase; KeyProblem where the passphrase is too weak."""
    from cryptography.hazmat.primitives.ciphers.aead import AESGCM

    weak = weakness(passphrase)
    if weak:
        raise KeyProblem(f"No key was made. {weak}")
    salt, nonce = secrets.token_bytes(_SALT_LENGTH), secrets.token_bytes(_NONCE_LENGTH)
    header = canonical(_header(about, salt, LANES, nonce))
    sealed = AESGCM(_derived(passphrase, salt, LANES)).encrypt(nonce, private, header)
    return Envelope(about=dict(about), salt=salt, lanes=LANES, nonce=nonce, sealed=sealed)


def unseal(envelope: Envelope, passphrase: str) -> bytes:
    """The private bytes; WrongPassphrase where this passphrase does not open the envelope."""
    from cryptography.exceptions import InvalidTag
    from cryptography.hazmat.primitives.ciphers.aead import AESGCM

    header = canonical(_header(envelope.about, envelope.salt, envelope.lanes, envelope.nonce))
    try:
        return AESGCM(_derived(passphrase, envelope.salt, envelope.lanes)).decrypt(
            envelope.nonce, envelope.sealed, header
        )
    except InvalidTag:
        raise WrongPassphrase("The passphrase does not fit. Nothing was signed.") from None


def to_bytes(envelope: Envelope) -> bytes:
    """The envelope as the bytes of its file."""
    body = _body(envelope)
    return canonical({**body, "check": digest(canonical(body))})


def from_bytes(data: bytes) -> Envelope:
    """The envelope of a file; KeyProblem where the file is damaged, of another kind or of a newer program."""
    try:
        structure = parse_canonical(data, where="key file")
    except BadInput as problem:
        raise _damaged() from problem
    if not isinstance(structure, dict) or structure.get("format") != FORMAT:
        raise KeyProblem("This file holds no key of this program.")
    if structure.get("version") != VERSION:
        raise KeyProblem("The key file was made by a newer Coreleaf. It was left as it is.")
    check = structure.pop("check", None)
    if check != digest(canonical(structure)):
        raise _damaged()
    envelope = _read(structure)
    # A file that asks for less work would help a thief, one that asks for more would stop the program.
    if canonical(_body(envelope)) != canonical(structure):
        raise KeyProblem(
            "The key file asks for another strength than this program uses. Nothing was unlocked."
        )
    return envelope


def save(envelope: Envelope, path: Path) -> None:
    """Write the envelope whole, readable by its owner alone."""
    write_whole(path, to_bytes(envelope), mode=_MODE_OWNER_ONLY)


def load(path: Path) -> Envelope:
    """The envelope of a file; KeyProblem where there is none or it is damaged."""
    try:
        with path.open("rb") as stream:
            data = stream.read(_LONGEST_FILE + 1)
    except OSError as problem:
        raise KeyProblem(f"The key file {path.name} cannot be read ({problem.strerror}).") from problem
    return from_bytes(data)


def _derived(passphrase: str, salt: bytes, lanes: int) -> bytes:
    from cryptography.hazmat.primitives.kdf.argon2 import Argon2id

    made = Argon2id(salt=salt, length=_KEY_LENGTH, iterations=PASSES, lanes=lanes, memory_cost=MEMORY_KIB)
    # One keyboard types an accent as one character, another as two.
    return made.derive(unicodedata.normalize("NFC", passphrase).encode("utf-8", "surrogatepass"))


def _header(about: dict[str, str], salt: bytes, lanes: int, nonce: bytes) -> dict[str, Any]:
    return {
        "format": FORMAT,
        "version": VERSION,
        "about": about,
        "kdf": {
            "name": "argon2id",
            "memory_kib": MEMORY_KIB,
            "passes": PASSES,
            "lanes": lanes,
            "salt": _text(salt),
        },
        "cipher": {"name": "AES-256-GCM", "nonce": _text(nonce)},
    }


def _body(envelope: Envelope) -> dict[str, Any]:
    header = _header(envelope.about, envelope.salt, envelope.lanes, envelope.nonce)
    return {**header, "sealed": _text(envelope.sealed)}


def _read(structure: dict[str, Any]) -> Envelope:
    try:
        envelope = Envelope(
            about=dict(structure["about"]),
            salt=_bytes(structure["kdf"]["salt"]),
            lanes=structure["kdf"]["lanes"],
            nonce=_bytes(structure["cipher"]["nonce"]),
            sealed=_bytes(structure["sealed"]),
        )
    except (KeyError, TypeError, ValueError, binascii.Error) as problem:
        raise _damaged() from problem
    right_lengths = len(envelope.salt) == _SALT_LENGTH and len(envelope.nonce) == _NONCE_LENGTH
    if type(envelope.lanes) is not int or not 1 <= envelope.lanes <= _MOST_LANES or not right_lengths:
        raise _damaged()
    return envelope


def _damaged() -> KeyProblem:
    return KeyProblem("The key file is damaged. Put back your copy of it, or have a new key enrolled.")


def _text(data: bytes) -> str:
    return base64.b64encode(data).decode("ascii")


def _bytes(text: str) -> bytes:
    return base64.b64decode(text, validate=True)
