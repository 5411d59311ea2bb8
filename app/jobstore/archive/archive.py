"""The office's archive, opened: deposits and answers, filing, and what is kept for decades."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence
from typing import Final

from sqlalchemy import Connection, text

from app.jobstore.archive import depositing, filing, keeping, notes, signers
from app.jobstore.archive.answers import Answer, Deposit, Filing
from app.jobstore.archive.engine import ArchiveProblem, is_postgresql
from app.jobstore.archive.forming import ARCHIVE_ID
from app.jobstore.archive.keeping import Tombstone
from app.jobstore.archive.reach import Reach
from app.jobstore.archive.records import Records
from app.jobstore.archive.rows import rows_of
from app.jobstore.archive.tables import day_root
from app.record import receipt
from app.record.canonical import digest
from app.record.instants import utc_text
from app.record.merkle import Tree
from app.record.receipt import Receipt

Sign = Callable[[Receipt], tuple[bytes, bytes]]

_TREE_DAY: Final = "tree_day"
# One process files at a time; any number will do.
_LOCK: Final = 0x434C6132


class Archive(Records, Reach):
    """An archive that is open. Several threads may ask at once; filing goes one after the other."""

    # Deposits

    def deposit(self, data: bytes, *, device_text: str, at: dt.datetime) -> str:
        """Leave bytes for the office, and the digest by which the answer is asked for.

        The same bytes again are harmless.
        """
        digest_hex = digest(data)
        with self._writing() as connection:
            depositing.put(
                connection, digest_hex=digest_hex, data=data, device_text=device_text, at_utc=utc_text(at)
            )
        return digest_hex

    def answers(self, digests: Sequence[str]) -> dict[str, Answer]:
        """What the office said last, by digest of the deposit; nothing where it said nothing yet."""
        return self._ask(lambda connection: depositing.answers(connection, digests))

    def waiting(self, *, limit: int = 50, again: bool = False) -> list[Deposit]:
        """The oldest deposits without an answer; with `again` those too that were refused."""
        return self._ask(lambda connection: depositing.waiting(connection, limit=limit, again=again))

    def waiting_count(self) -> int:
        """How many deposits have no answer."""
        return self._ask(depositing.waiting_count)

    def deposits(self, *, after_no: int = 0, limit: int = 50) -> list[Deposit]:
        """Everything that ever came, in order, a page at a time."""
        return self._ask(lambda connection: depositing.deposits(connection, after_no=after_no, limit=limit))

    def data_of(self, digest_hex: str) -> bytes:
        """The bytes of a deposit as they came."""
        found = self._ask(lambda connection: depositing.data_of(connection, digest_hex))
        if found is None:
            raise ArchiveProblem(f"Nothing was changed. There is no such file in {self.name}.")
        return found

    def say(self, *said: Answer) -> None:
        """Answer deposits without filing them."""
        with self._writing() as connection:
            depositing.say(connection, said)

    # Filing

    def file(self, filings: Sequence[Filing], *, sign: Sign, at: dt.datetime) -> list[Answer]:
        """File what was found genuine, all in one transaction; the answers, with a signed receipt each.

        A record that is filed already is answered with the receipt that it has, one that was deleted with
        who deleted it.
        """
        with self._writing() as connection:
            if is_postgresql(connection):
                connection.execute(text("SELECT pg_advisory_xact_lock(:number)"), {"number": _LOCK})
            tree = self._tree_of_day(connection, at)
            digests = [one.record_digest for one in filings]
            known = depositing.receipts_of(connection, digests)
            gone = keeping.tombstones_of(connection, digests)
            archive_id = notes.kept(connection, ARCHIVE_ID)
            said: list[Answer] = []
            new: list[tuple[Filing, Receipt]] = []
            for one in filings:
                name, leaf_no = one.record_digest, None
                if name not in known:
                    leaf_no, tree = tree.size, tree.grown(bytes.fromhex(name))
                    given = _receipt(archive_id, one, tree, at)
                    known[name] = sign(given)
                    new.append((one, given))
                mark = gone.get(name)
                said.append(
                    _answer(one, known[name], leaf_no, at) if mark is None else _refused(one, mark, at)
                )
            filing.put_all(
                connection, [(rows_of(one.record, one.issued), filing.own(given)) for one, given in new]
            )
            signers.keep(connection, [one for one, _ in new])
            depositing.say(connection, said)
            notes.keep_tree(connection, tree)
        return said

    def _tree_of_day(self, connection: Connection, at: dt.datetime) -> Tree:
        """The tree as it stands; the root of an earlier day is written down when a new day begins."""
        tree, today = notes.tree(connection), utc_text(at)[:10]
        day = notes.kept(connection, _TREE_DAY)
        if day and day < today and tree.size:
            row = {"day": day, "tree_size": tree.size, "root": tree.root}
            notes.add(connection, day_root, row)
        if not day or day < today:
            notes.keep(connection, _TREE_DAY, today)
        return tree

    def leaves(self, *, size: int, limit: int = 5000) -> list[str]:
        """The digests of the records behind the first `size` leaves, by which a laptop grows its tree."""
        return self._ask(lambda connection: depositing.leaves(connection, size=size, limit=limit))

    def size(self) -> int:
        """How many leaves the tree has."""
        return self._ask(depositing.size)

    def root_at(self, size: int) -> str | None:
        """The root that the receipt names with which the tree had that size; None where there is none."""
        data = self._ask(lambda connection: depositing.receipt_at(connection, size - 1))
        return None if data is None else receipt.from_bytes(data).root

    def tree(self) -> Tree:
        """The tree over everything that was filed."""
        return self._ask(lambda connection: notes.tree(connection))

    @property
    def archive_id(self) -> str:
        """The number by which receipts name this archive."""
        return self._ask(lambda connection: notes.kept(connection, ARCHIVE_ID))


def _receipt(archive_id: str, one: Filing, tree: Tree, at: dt.datetime) -> Receipt:
    """The receipt of what is the newest leaf of the tree; nothing arrives after it was filed.

    A laptop whose clock is ahead has left it at the latest when the office's own clock says so.
    """
    return Receipt(
        archive_id=archive_id,
        record_digest=one.record_digest,
        deposit_digest=one.deposit.digest_hex,
        leaf_no=tree.size - 1,
        tree_size=tree.size,
        root=tree.root,
        arrived_at_utc=min(one.deposit.arrived_at_utc, utc_text(at)),
    )


def _answer(one: Filing, signed: tuple[bytes, bytes], leaf_no: int | None, at: dt.datetime) -> Answer:
    return Answer(
        digest_hex=one.deposit.digest_hex,
        outcome="filed",
        sentence_text=f"Number {one.issued.number_text}, revision {one.issued.revision}, is filed.",
        at_utc=utc_text(at),
        record_digest=one.record_digest,
        leaf_no=leaf_no,
        receipt=signed[0],
        receipt_signature=signed[1],
    )


def _refused(one: Filing, gone: Tombstone, at: dt.datetime) -> Answer:
    return Answer(
        digest_hex=one.deposit.digest_hex,
        outcome="refused",
        sentence_text=f"The record was deleted here by {gone.person_text} ({gone.reason_text}).",
        at_utc=utc_text(at),
    )
