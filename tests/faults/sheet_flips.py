"""Single-bit flips of a signed sheet, with its pack and without.

With the pack, whose issue holds the digest of the whole file, no flip may pass for genuine. Without it, none
may either, wherever it falls: bytes under the signatures are covered by them, and the containers of the
signatures are checked to the last digit. The control asks what a usual reader asks, whether the signature
fits, and no digest of the file: it accepts flips inside the containers, and must be caught.
"""

from __future__ import annotations

import random
import sys
from collections.abc import Iterator
from io import BytesIO
from typing import Any

from app.record.sheet_reading import containers
from app.record.verify import verify_bytes
from tests.app.record.signed_scene import revision_of, trust

SHORT_COUNT = 2000
LONG_COUNT = 40_000
CONTROL_COUNT = 150


def run(long: bool) -> dict[str, Any]:
    """The result of the suite."""
    one = revision_of()
    sheet, pack = one.sheet, one.packed
    if verify_bytes(sheet, trust=trust(), pack=pack).outcome != "genuine":
        raise AssertionError("the sheet itself is not genuine")
    if verify_bytes(sheet, trust=trust()).outcome != "genuine":
        raise AssertionError("the sheet alone is not genuine")
    count = LONG_COUNT if long else SHORT_COUNT
    # A seventh of the file are containers; half of the sample falls on them, because there a flip may hide.
    flips = [*sampled(sheet, count // 2, inside=False), *sampled(sheet, count // 2, inside=True)]
    failed = 0
    for bit in flips:
        altered = flipped(sheet, bit)
        for given in (pack, None):
            verdict = verify_bytes(altered, trust=trust(), pack=given)
            if verdict.outcome == "genuine" or not verdict.sentences:
                failed += 1
                print(f"bit {bit} of the sheet passed for genuine", file=sys.stderr)
    return {
        "name": "sheet_flips",
        "cases": 2 * len(flips),
        "failed": failed,
        "control_caught": control_caught(sheet),
    }


def sampled(sheet: bytes, count: int, *, inside: bool) -> Iterator[int]:
    """Bits by chance, of the containers of signatures or of all the rest."""
    chance = random.Random(count + inside)
    spans = [(one.start, one.end) for one in containers(sheet)]
    found = 0
    while found < count:
        if inside:
            start, end = chance.choice(spans)
            at = chance.randrange(start, end)
        else:
            at = chance.randrange(len(sheet))
        if inside or not any(start <= at < end for start, end in spans):
            found += 1
            yield 8 * at + chance.randrange(8)


def flipped(data: bytes, bit: int) -> bytes:
    """The data with that bit turned over."""
    at, mask = bit >> 3, 1 << (bit & 7)
    return data[:at] + bytes((data[at] ^ mask,)) + data[at + 1 :]


def control_caught(sheet: bytes) -> bool:
    """Whether a check that a usual reader makes is seen to miss flips."""
    return any(_intact(flipped(sheet, bit)) for bit in sampled(sheet, CONTROL_COUNT, inside=True))


def _intact(sheet: bytes) -> bool:
    """What a usual reader asks: does the last signature cover the file, and does its digest fit?"""
    from asn1crypto import cms
    from cryptography import x509
    from cryptography.hazmat.primitives import hashes
    from cryptography.hazmat.primitives.asymmetric import padding
    from pyhanko.pdf_utils.reader import PdfFileReader

    try:
        last = list(PdfFileReader(BytesIO(sheet)).embedded_signatures)[-1]
        digest = last.compute_digest()
        signer: cms.SignerInfo = last.signer_info
        told = {one["type"].dotted: one["values"][0] for one in signer["signed_attrs"]}
        if told["1.2.840.113549.1.9.4"].native != digest:
            return False
        certificate = x509.load_der_x509_certificate(last.signer_cert.dump())
        certificate.public_key().verify(  # type: ignore[union-attr,call-arg]
            signer["signature"].native,
            signer["signed_attrs"].untag().dump(),  # type: ignore[arg-type]
            padding.PKCS1v15(),
            hashes.SHA256(),
        )
    except Exception:
        return False
    return True


if __name__ == "__main__":
    print(run("long" in sys.argv[1:]))
