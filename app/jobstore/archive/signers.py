"""Certificates, lists of people and who had to sign, kept beside the records as they stood on arrival."""

from __future__ import annotations

from collections.abc import Sequence

from sqlalchemy import Connection

from app.jobstore.archive import notes
from app.jobstore.archive.answers import Filing
from app.jobstore.archive.rows import Row
from app.jobstore.archive.tables import certificate, revocation, signer
from app.record.cms import Signature
from app.record.instants import utc_text


def keep(connection: Connection, filings: Sequence[Filing]) -> None:
    """Keep who signed these records, why that counted, and the lists of people as they came along."""
    certificates: dict[str, Row] = {}
    lists: dict[tuple[str, int], Row] = {}
    signed: list[Row] = []
    for one in filings:
        arrived = one.deposit.arrived_at_utc
        for signature, standing_text in one.signatures:
            its = signature.certificate
            row = {"fingerprint": its.fingerprint, "der": its.der, "arrived_at_utc": arrived}
            certificates.setdefault(its.fingerprint, row)
            signed.append(_signer(one.record_digest, signature, standing_text))
        if one.listed is not None and one.papers.register is not None:
            key = (one.listed.office_fingerprint, one.listed.number)
            listed = {"data": one.papers.register, "arrived_at_utc": arrived}
            lists.setdefault(key, {"office_fingerprint": key[0], "list_no": key[1], **listed})
    notes.add(connection, certificate, *certificates.values())
    notes.add(connection, signer, *signed)
    notes.add(connection, revocation, *lists.values())


def _signer(record_digest: str, signature: Signature, standing_text: str) -> Row:
    return {
        "record_digest": record_digest,
        "meaning": signature.meaning,
        "fingerprint": signature.certificate.fingerprint,
        "name_text": signature.certificate.name_text,
        "at_utc": "" if signature.at is None else utc_text(signature.at),
        "standing_text": standing_text,
    }
