"""The office's archive, opened: deposits and answers, filing, and what is kept for decades."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from typing import Final, TypeVar

from sqlalchemy import URL, Connection, Engine, select, text

from app.jobstore.archive import depositing, filing, notes, signers
from app.jobstore.archive.answers import Answer, Deposit, Filing
from app.jobstore.archive.engine import ArchiveProblem, engine_of, in_words, is_postgresql, named, url_of
from app.jobstore.archive.forming import ARCHIVE_ID, bring_up
from app.jobstore.archive.rows import rows_of
from app.jobstore.archive.tables import answer, day_root
from app.record.canonical import digest
from app.record.instants import utc_text
from app.record.merkle import Tree
from app.record.receipt import Receipt

T = TypeVar("T")
Sign = Callable[[Receipt], tuple[bytes, bytes]]

_TREE_DAY: Final = "tree_day"
# One process files at a time; any number will do.
_LOCK: Final = 0x434C6132


class Archive:
    """An archive that is open. Several threads may ask at once; filing goes one after the other."""

    def __init__(self, url: URL, engine: Engine, *, read_only: bool) -> None:
        self.url = url
        self.name = named(url)
        self.read_only = read_only
        self._engine = engine

    @classmethod
    def open(cls, place_text: str, *, read_only: bool = False) -> Archive:
        """Open the archive at a path or an address, or make it.

        ArchiveProblem where it does not answer, holds something else, or was made by a newer program.
        """
        url = url_of(place_text)
        engine = engine_of(url, read_only=read_only)
        try:
            with in_words(url):
                bring_up(engine, name=named(url), read_only=read_only)
        except BaseException:
            engine.dispose()
            raise
        return cls(url, engine, read_only=read_only)

    @classmethod
    def reach(cls, place_text: str) -> Archive:
        """The archive as a laptop sees it: it may leave deposits and look for answers; nothing is made."""
        url = url_of(place_text)
        return cls(url, engine_of(url), read_only=False)

    def close(self) -> None:
        """Let go of the place; closing twice is harmless."""
        self._engine.dispose()

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

    def say(self, said: Answer) -> None:
        """Answer a deposit without filing it."""
        with self._writing() as connection:
            depositing.say(connection, said)

    # Filing

    def file(self, filings: Sequence[Filing], *, sign: Sign, at: dt.datetime) -> list[Answer]:
        """File what was found genuine, all in one transaction; the answers, with a signed receipt each.

        A record that is filed already is answered with the receipt that it has.
        """
        with self._writing() as connection:
            if is_postgresql(connection):
                connection.execute(text("SELECT pg_advisory_xact_lock(:number)"), {"number": _LOCK})
            tree = self._tree_of_day(connection, at)
            said: list[Answer] = []
            for one in filings:
                known = _receipt_of(connection, one.record_digest)
                if known is None:
                    tree = tree.grown(bytes.fromhex(one.record_digest))
                    known = self._file(connection, one, tree, sign)
                said.append(_answer(one, known, at))
                depositing.say(connection, said[-1])
            notes.keep_tree(connection, tree)
        return said

    def _file(self, connection: Connection, one: Filing, tree: Tree, sign: Sign) -> tuple[bytes, bytes]:
        receipt = Receipt(
            archive_id=notes.kept(connection, ARCHIVE_ID),
            record_digest=one.record_digest,
            deposit_digest=one.deposit.digest_hex,
            leaf_no=tree.size - 1,
            tree_size=tree.size,
            root=tree.root,
            arrived_at_utc=one.deposit.arrived_at_utc,
        )
        filing.put(connection, rows_of(one.record, one.issued), _own(receipt))
        signers.keep(connection, one)
        return sign(receipt)

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

    def tree(self) -> Tree:
        """The tree over everything that was filed."""
        return self._ask(lambda connection: notes.tree(connection))

    @property
    def archive_id(self) -> str:
        """The number by which receipts name this archive."""
        return self._ask(lambda connection: notes.kept(connection, ARCHIVE_ID))

    # Reaching the database

    def _ask(self, question: Callable[[Connection], T]) -> T:
        with in_words(self.url), self._engine.connect() as connection:
            return question(connection)

    @contextmanager
    def _writing(self) -> Iterator[Connection]:
        if self.read_only:
            raise ArchiveProblem(f"Nothing in {self.name} was changed: it is open for reading only.")
        with in_words(self.url), self._engine.begin() as connection:
            yield connection


def _own(receipt: Receipt) -> dict[str, object]:
    return {
        "leaf_no": receipt.leaf_no,
        "record_digest": receipt.record_digest,
        "deposit_digest": receipt.deposit_digest,
        "arrived_at_utc": receipt.arrived_at_utc,
        "sheet_text": "",
    }


def _answer(one: Filing, receipt: tuple[bytes, bytes], at: dt.datetime) -> Answer:
    return Answer(
        digest_hex=one.deposit.digest_hex,
        outcome="filed",
        sentence_text=f"Number {one.issued.number_text}, revision {one.issued.revision}, is filed.",
        at_utc=utc_text(at),
        record_digest=one.record_digest,
        receipt=receipt[0],
        receipt_signature=receipt[1],
    )


def _receipt_of(connection: Connection, record_digest: str) -> tuple[bytes, bytes] | None:
    asked = select(answer.c.receipt, answer.c.receipt_signature).where(
        answer.c.record_digest == record_digest
    )
    found = connection.execute(asked.order_by(answer.c.answer_no)).first()
    return None if found is None else (bytes(found.receipt), bytes(found.receipt_signature))
