"""Certificates, lists of people and who had to sign, kept beside the records as they stood on arrival."""

from __future__ import annotations

from sqlalchemy import Connection

from app.jobstore.archive import notes
from app.jobstore.archive.answers import Filing
from app.jobstore.archive.tables import certificate, revocation, signer
from app.record.instants import utc_text


def keep(connection: Connection, one: Filing) -> None:
    """Keep who signed a record, why that counted, and the list of people as it came along."""
    arrived = one.deposit.arrived_at_utc
    for signature, standing_text in one.signatures:
        its = signature.certificate
        notes.add(
            connection,
            certificate,
            {"fingerprint": its.fingerprint, "der": its.der, "arrived_at_utc": arrived},
        )
        said = {
            "record_digest": one.record_digest,
            "meaning": signature.meaning,
            "fingerprint": its.fingerprint,
            "name_text": its.name_text,
            "at_utc": "" if signature.at is None else utc_text(signature.at),
            "standing_text": standing_text,
        }
        notes.add(connection, signer, said)
    if one.listed is not None and one.papers.register is not None:
        row = {
            "office_fingerprint": one.listed.office_fingerprint,
            "list_no": one.listed.number,
            "data": one.papers.register,
            "arrived_at_utc": arrived,
        }
        notes.add(connection, revocation, row)
