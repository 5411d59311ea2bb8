"""Bytes come in, answers go out: all that a laptop may do, and all that it may see."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

from sqlalchemy import Connection, func, select

from app.jobstore.archive import notes
from app.jobstore.archive.answers import Answer, Deposit
from app.jobstore.archive.tables import answer, deposit, unanswered

_BATCH: Final = 400


def put(connection: Connection, *, digest_hex: str, data: bytes, device_text: str, at_utc: str) -> None:
    """Add the bytes; the same bytes again change nothing."""
    row = {"deposit_digest": digest_hex, "data": data, "device_text": device_text, "arrived_at_utc": at_utc}
    notes.add(connection, deposit, row)


def waiting(connection: Connection, *, limit: int, again: bool) -> list[Deposit]:
    """The oldest deposits that nothing was said about yet; those that were refused as well with `again`."""
    asked = select(deposit).limit(limit)
    if again:
        said = select(answer.c.answer_no).where(
            answer.c.deposit_digest == deposit.c.deposit_digest, answer.c.outcome != "refused"
        )
        asked = asked.where(~said.exists()).order_by(deposit.c.deposit_no)
    else:
        # Assumption: what is put in order is gone through first, so that nothing answered is looked at.
        asked = asked.join(unanswered, unanswered.c.deposit_no == deposit.c.deposit_no)
        asked = asked.order_by(unanswered.c.deposit_no)
    return [_deposit(row) for row in connection.execute(asked)]


def waiting_count(connection: Connection) -> int:
    """How many deposits nothing was said about yet."""
    return connection.execute(select(func.count()).select_from(unanswered)).scalar_one()


def deposits(connection: Connection, *, after_no: int, limit: int) -> list[Deposit]:
    """Deposits in the order in which they came, from the one behind `after_no` on."""
    asked = select(deposit).where(deposit.c.deposit_no > after_no).order_by(deposit.c.deposit_no).limit(limit)
    return [_deposit(row) for row in connection.execute(asked)]


def data_of(connection: Connection, digest_hex: str) -> bytes | None:
    """The bytes of a deposit; None where it never came or is gone."""
    found = connection.execute(select(deposit.c.data).where(deposit.c.deposit_digest == digest_hex)).scalar()
    return None if found is None else bytes(found)


def say(connection: Connection, said: Sequence[Answer]) -> None:
    """Add answers; each is the one that counts from now on."""
    rows = [
        {
            "deposit_digest": one.digest_hex,
            "outcome": one.outcome,
            "sentence_text": one.sentence_text,
            "record_digest": one.record_digest,
            "leaf_no": one.leaf_no,
            "receipt": one.receipt,
            "receipt_signature": one.receipt_signature,
            "at_utc": one.at_utc,
        }
        for one in said
    ]
    if rows:
        connection.execute(answer.insert(), rows)


def answers(connection: Connection, digests: Sequence[str]) -> dict[str, Answer]:
    """The answer that counts, by digest of the deposit, as far as there is one."""
    found: dict[str, Answer] = {}
    for start in range(0, len(digests), _BATCH):
        asked = (
            select(answer)
            .where(answer.c.deposit_digest.in_(digests[start : start + _BATCH]))
            .order_by(answer.c.answer_no)
        )
        found.update({row.deposit_digest: _answer(row) for row in connection.execute(asked)})
    return found


def leaves(connection: Connection, *, size: int, limit: int) -> list[str]:
    """The digests of the records behind the first `size` leaves of the tree, in order."""
    asked = select(answer.c.record_digest).where(answer.c.leaf_no >= size).order_by(answer.c.leaf_no)
    return list(connection.execute(asked.limit(limit)).scalars())


def size(connection: Connection) -> int:
    """How many leaves the tree has."""
    last = connection.execute(select(func.max(answer.c.leaf_no))).scalar()
    return 0 if last is None else int(last) + 1


def receipt_at(connection: Connection, leaf_no: int) -> bytes | None:
    """The receipt that was given with a leaf; None where there is none."""
    found = connection.execute(select(answer.c.receipt).where(answer.c.leaf_no == leaf_no)).scalar()
    return None if found is None else bytes(found)


def receipts_of(connection: Connection, record_digests: Sequence[str]) -> dict[str, tuple[bytes, bytes]]:
    """The receipt that each of these records was given first, and its signature, as far as there is one."""
    asked = (
        select(answer.c.record_digest, answer.c.receipt, answer.c.receipt_signature)
        .where(answer.c.record_digest.in_(record_digests), answer.c.outcome == "filed")
        .order_by(answer.c.answer_no.desc())
    )
    return {
        row.record_digest: (bytes(row.receipt), bytes(row.receipt_signature))
        for row in connection.execute(asked)
    }


def _deposit(row: Any) -> Deposit:
    return Deposit(
        deposit_no=row.deposit_no,
        digest_hex=row.deposit_digest,
        data=bytes(row.data),
        device_text=row.device_text,
        arrived_at_utc=row.arrived_at_utc,
    )


def _answer(row: Any) -> Answer:
    return Answer(
        digest_hex=row.deposit_digest,
        outcome=row.outcome,
        sentence_text=row.sentence_text,
        at_utc=row.at_utc,
        record_digest=row.record_digest,
        leaf_no=row.leaf_no,
        receipt=None if row.receipt is None else bytes(row.receipt),
        receipt_signature=None if row.receipt_signature is None else bytes(row.receipt_signature),
    )
