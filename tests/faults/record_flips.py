"""Every single-bit flip of a signed record, and other spellings of the same record: none may be accepted.

Bytes are accepted where the signature still fits them, or where they read as the record that was signed. The
control signs what a record says instead of its bytes: it accepts other spellings, and must be caught.
"""

from __future__ import annotations

import dataclasses
import json
import random
import sys
from collections.abc import Iterator
from typing import Any

from app.record import cms, revision
from app.record.canonical import parse
from app.record.problem import Altered
from ctcore.errors import BadInput
from ctcore.job import Job
from tests.app.record.signed_scene import Revision, revision_of, the_tester

LONG_RECORDS = tuple(str(1042 + number) for number in range(4))
_READ_SHORT = 300
_READ_LONG = 20_000


class Small(Revision):
    """A revision with a few readings only: it has every bit turned over in seconds."""

    @property
    def job(self) -> Job:
        whole = super().job
        return dataclasses.replace(whole, readings=whole.readings[:4], acknowledgements=())


def run(long: bool) -> dict[str, Any]:
    """The result of the suite."""
    cases = failed = 0
    for one in [revision_of(number_text) for number_text in LONG_RECORDS] if long else [Small("1042", 1)]:
        for altered in bit_flips(one.record):
            cases += 1
            failed += fits(altered, one.tested)
        # Reading a record takes as long as a hundred signatures: of the flips a sample is read as well.
        read = (*spellings(one.record), *bursts(one.record, long), *sampled_flips(one.record, long))
        for altered in read:
            cases += 1
            failed += accepted(one, altered)
        for signature in bit_flips(one.tested):
            cases += 1
            failed += fits(one.record, signature)
    return {"name": "record_flips", "cases": cases, "failed": failed, "control_caught": control_caught()}


def fits(record: bytes, signature: bytes) -> bool:
    """Whether this signature is taken for one of this record."""
    try:
        cms.check(record, signature, what="the record")
    except Altered:
        return False
    return True


def accepted(one: Revision, altered: bytes) -> bool:
    """Whether bytes that are not the signed ones are taken, or read as the record that was signed."""
    if fits(altered, one.tested):
        return True
    try:
        return revision.from_bytes(altered) == revision.from_bytes(one.record)
    except BadInput:
        return False


def bit_flips(data: bytes) -> Iterator[bytes]:
    """The data with each of its bits turned over, one at a time."""
    for bit in range(8 * len(data)):
        at, mask = bit >> 3, 1 << (bit & 7)
        yield data[:at] + bytes((data[at] ^ mask,)) + data[at + 1 :]


def sampled_flips(data: bytes, long: bool) -> Iterator[bytes]:
    """The data with one bit turned over, bits by chance."""
    chance = random.Random(len(data))
    for _ in range(_READ_LONG if long else _READ_SHORT):
        at = chance.randrange(len(data))
        yield data[:at] + bytes((data[at] ^ 1 << chance.randrange(8),)) + data[at + 1 :]


def bursts(data: bytes, long: bool) -> Iterator[bytes]:
    """The data with pieces cut out, doubled or overwritten."""
    chance = random.Random(len(data) + 1)
    for _ in range(_READ_LONG if long else _READ_SHORT):
        at, length = chance.randrange(len(data) - 40), chance.randrange(1, 40)
        piece = data[at : at + length]
        kind = chance.randrange(3)
        if kind == 0:
            yield data[:at] + data[at + length :]
        elif kind == 1:
            yield data[:at] + piece + data[at:]
        else:
            other = chance.randbytes(length)
            if other != piece:
                yield data[:at] + other + data[at + length :]


def spellings(record: bytes) -> Iterator[bytes]:
    """The same content in other JSON: spaces, order, doubled names, escapes, a byte order mark."""
    plain = json.loads(record)
    yield json.dumps(plain, ensure_ascii=False, separators=(", ", ": "), sort_keys=True).encode()
    yield json.dumps(plain, ensure_ascii=False, indent=1).encode()
    yield json.dumps(dict(reversed(plain.items())), ensure_ascii=False, separators=(",", ":")).encode()
    yield record.replace(b'"version":1', b'"version":1,"version":1')
    yield record.replace(b'"version":1', b'"version":1.0')
    yield record.replace(b'"version":1', b'"version":1e0')
    yield record.replace(b"coreleaf-record", b"coreleaf\\u002drecord")
    yield b"\xef\xbb\xbf" + record
    yield record + b"\n"
    yield record + record
    yield b" " + record
    yield record.replace(b'"revision":1', b'"colour":"red","revision":1')
    yield record.replace(b"null", b'""', 1)


def control_caught() -> bool:
    """Whether a check of what the bytes say, in place of the bytes, is seen to accept other bytes."""
    one = revision_of()
    signed = json.dumps(parse(one.record, where="record"), sort_keys=True).encode()
    signature = cms.sign(signed, the_tester(), meaning="tested", at=the_tester().certificate.from_utc)
    taken = 0
    for altered in spellings(one.record):
        try:
            said = json.dumps(json.loads(altered), sort_keys=True).encode()
        except ValueError:
            continue
        taken += fits(said, signature)
    return taken > 0


if __name__ == "__main__":
    print(run("long" in sys.argv[1:]))
