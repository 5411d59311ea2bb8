"""What an archive knows of its records: found, opened, compared, kept, and made searchable anew."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator
from typing import Final, Self

from sqlalchemy import Connection, delete, select, update

from app.jobstore.archive import depositing, filing, history, keeping, roles, searching
from app.jobstore.archive.answers import FiledLine
from app.jobstore.archive.engine import ArchiveProblem, demand_there, url_of
from app.jobstore.archive.figures import Figures
from app.jobstore.archive.history import KeptCurve, KeptValue, Swap
from app.jobstore.archive.keeping import Hold, Kept, Tombstone
from app.jobstore.archive.rows import Row, Rows, rows_of
from app.jobstore.archive.searching import Asked, CoreHit, Page
from app.jobstore.archive.tables import answer, day_root, deposit, filed, saved_search
from app.record import pack, papers, receipt
from app.record.instants import utc_text
from app.record.papers import Papers
from app.record.receipt import Receipt
from app.record.revision import from_bytes

Progress = Callable[[int, int], None]
_STEP: Final = 50


def _unseen(done: int, of: int) -> None:
    """Where nobody looks."""


class Records(Figures):
    """The part of an archive that looks at what is filed."""

    # Looking at an archive that is there

    @classmethod
    def look(cls, place_text: str) -> Self:
        """Open an archive that is there already: nothing is made, and written only where that is permitted.

        ArchiveProblem where there is none, or it does not answer.
        """
        demand_there(url_of(place_text))
        shown = cls.open(place_text, read_only=True)
        try:
            may_write = shown.rights().may_hold
        except BaseException:
            shown.close()
            raise
        if not may_write:
            return shown
        shown.close()
        return cls.open(place_text)

    def rights(self) -> roles.Rights:
        """What may be done here by who asks."""
        return self._ask(roles.rights)

    # Finding

    def search(self, asked: Asked, *, before: int | None = None, limit: int = searching.PAGE) -> Page:
        """A page of the records that fit, newest first."""
        return self._ask(lambda connection: searching.search(connection, asked, before=before, limit=limit))

    def cores_of(self, leaf_no: int) -> list[CoreHit]:
        """Every core of a record."""
        return self._ask(lambda connection: searching.cores_of(connection, leaf_no))

    def save_search(self, name_text: str, asked: Asked, *, person_text: str) -> None:
        """Keep a question under a name, in the place of the one that had it."""
        with self._writing() as connection:
            connection.execute(delete(saved_search).where(saved_search.c.name_text == name_text))
            row = {"name_text": name_text, "asked": searching.spelled(asked), "person_text": person_text}
            connection.execute(saved_search.insert().values(row))

    def forget_search(self, name_text: str) -> None:
        """Forget a question that was kept."""
        with self._writing() as connection:
            connection.execute(delete(saved_search).where(saved_search.c.name_text == name_text))

    def saved_searches(self) -> dict[str, Asked]:
        """The questions that are kept, by name."""
        rows = self._ask(lambda connection: connection.execute(select(saved_search)).all())
        return {
            row.name_text: searching.asked_of(row.asked)
            for row in sorted(rows, key=lambda row: row.name_text)
        }

    # Opening

    def line(self, record_digest: str) -> FiledLine:
        """What a list shows of a record."""
        asked = select(filed).where(filed.c.record_digest == record_digest)
        row = self._ask(lambda connection: connection.execute(asked).first())
        if row is None:
            raise ArchiveProblem(f"There is no such record in {self.name}; it may have been deleted.")
        return searching.line_of(row)

    def packed(self, record_digest: str) -> bytes:
        """The evidence pack of a record, byte for byte as it came."""
        asked = (
            select(deposit.c.data)
            .join(filed, filed.c.deposit_digest == deposit.c.deposit_digest)
            .where(filed.c.record_digest == record_digest)
        )
        found = self._ask(lambda connection: connection.execute(asked).scalar())
        if found is None:
            raise ArchiveProblem(f"There is no such record in {self.name}; it may have been deleted.")
        return bytes(found)

    def papers(self, record_digest: str) -> Papers:
        """The papers of a record."""
        return pack.read_pack(self.packed(record_digest))

    # Comparing

    def values(self, core_no: int, *quantity_ids: str) -> list[KeptValue]:
        """These quantities of the same core at every test, oldest first."""
        return self._ask(lambda connection: history.values(connection, core_no, quantity_ids))

    def curves(self, core_no: int) -> list[KeptCurve]:
        """The curves of the same core at every test, oldest first."""
        return self._ask(lambda connection: history.curves(connection, core_no))

    def sister_curves(self, core_no: int) -> list[KeptCurve]:
        """The curves of its sisters in the same record."""
        return self._ask(lambda connection: history.sister_curves(connection, core_no))

    def swaps(self, leaf_no: int) -> list[Swap]:
        """Serial numbers that stood on another phase at the test before."""
        return self._ask(lambda connection: history.swaps(connection, leaf_no))

    # Keeping

    def kept(self, record_digest: str) -> Kept:
        """For how long a record is kept."""
        return self._ask(lambda connection: keeping.kept(connection, record_digest))

    def keep_until(
        self, record_digest: str, *, retention: str, until: str, person_text: str, at: dt.datetime
    ) -> None:
        """Keep a record longer."""
        with self._writing() as connection:
            keeping.keep_until(
                connection,
                record_digest,
                retention=retention,
                until=until,
                person_text=person_text,
                at_utc=utc_text(at),
            )

    def hold(self, record_digest: str, *, reason_text: str, person_text: str, at: dt.datetime) -> None:
        """Hold a record, so that nobody deletes it."""
        with self._writing() as connection:
            keeping.put_hold(
                connection,
                record_digest,
                reason_text=reason_text,
                person_text=person_text,
                at_utc=utc_text(at),
            )

    def end_hold(self, hold_no: int, *, person_text: str, at: dt.datetime) -> None:
        """End a hold."""
        with self._writing() as connection:
            keeping.end_hold(connection, hold_no, person_text=person_text, at_utc=utc_text(at))

    def holds(self, record_digest: str | None = None) -> list[Hold]:
        """The holds in force."""
        return self._ask(lambda connection: keeping.holds(connection, record_digest))

    def tombstones(self) -> list[Tombstone]:
        """The marks of everything that was deleted."""
        return self._ask(keeping.tombstones)

    def delete(self, record_digest: str, *, reason_text: str, person_text: str, at: dt.datetime) -> Tombstone:
        """Delete a record whose day has come and that nobody holds; its mark and its leaf stay."""
        line = self.line(record_digest)
        mark = Tombstone(
            record_digest=record_digest,
            leaf_no=line.leaf_no,
            number_text=line.number_text,
            revision=line.revision,
            reason_text=reason_text.strip(),
            person_text=person_text.strip(),
            at_utc=utc_text(at),
        )
        with self._writing() as connection:
            keeping.demand_deletable(connection, record_digest, today=mark.at_utc[:10])
            came = select(filed.c.deposit_digest).where(filed.c.record_digest == record_digest)
            deposit_digest = connection.execute(came).scalar_one()
            keeping.bury(connection, mark, deposit_digest=deposit_digest)
            filing.take_out(connection, mark.leaf_no)
            connection.execute(delete(deposit).where(deposit.c.deposit_digest == deposit_digest))
        return mark

    # Making anew, and looking through everything

    def receipt_of(self, record_digest: str) -> tuple[Receipt, bytes] | None:
        """The receipt of a record with its signature; None where there is none."""
        found = self._ask(lambda connection: depositing.receipts_of(connection, [record_digest]))
        return next(((receipt.from_bytes(given), signed) for given, signed in found.values()), None)

    def receipts(self) -> list[tuple[Receipt, bytes]]:
        """The receipt of every record with its signature, in the order of the leaves."""
        return self._ask(_receipts)

    def day_roots(self) -> list[tuple[str, int, str]]:
        """The root of each day with the size of the tree."""
        asked = select(day_root).order_by(day_root.c.day)
        rows = self._ask(lambda connection: connection.execute(asked).all())
        return [(row.day, row.tree_size, row.root) for row in rows]

    def searched(self) -> dict[int, str]:
        """The record that the search finds at each place."""
        asked = select(filed.c.leaf_no, filed.c.record_digest)
        return self._ask(
            lambda connection: {row.leaf_no: row.record_digest for row in connection.execute(asked)}
        )

    def sheets_unchecked(self) -> list[str]:
        """The records whose sheet was not looked into yet."""
        asked = select(filed.c.record_digest).where(filed.c.sheet_text == "").order_by(filed.c.leaf_no)
        return self._ask(lambda connection: list(connection.execute(asked).scalars()))

    def say_sheet(self, record_digest: str, sentence_text: str) -> None:
        """Keep what was found in the sheet of a record."""
        said = update(filed).where(filed.c.record_digest == record_digest).values(sheet_text=sentence_text)
        with self._writing() as connection:
            connection.execute(said)

    def rebuild(self, progress: Progress = _unseen) -> int:
        """Make everything that is searched anew from the deposits and the answers; how many records."""
        with self._writing() as connection:
            filing.clear(connection)
            given = _receipts(connection)
            for done in range(0, len(given), _STEP):
                progress(done, len(given))
                step = (
                    (one, depositing.data_of(connection, one.deposit_digest))
                    for one, _ in given[done : done + _STEP]
                )
                filing.put_all(connection, [_rows_again(one, data) for one, data in step if data is not None])
            progress(len(given), len(given))
        return len(given)

    def each_packed(self) -> Iterator[tuple[Receipt, bytes, bytes | None]]:
        """Every receipt with its signature and the bytes it is about, None where they were deleted."""
        for one, signature in self.receipts():
            yield (
                one,
                signature,
                self._ask(
                    lambda connection, wanted=one: depositing.data_of(connection, wanted.deposit_digest)  # type: ignore[misc]
                ),
            )


def _rows_again(one: Receipt, data: bytes) -> tuple[Rows, Row]:
    given = pack.read_pack(data)
    assert given.issued is not None
    return rows_of(from_bytes(given.record), papers.from_bytes(given.issued)), filing.own(one)


def _receipts(connection: Connection) -> list[tuple[Receipt, bytes]]:
    asked = (
        select(answer.c.receipt, answer.c.receipt_signature)
        .where(answer.c.outcome == "filed")
        .order_by(answer.c.answer_no)
    )
    found: dict[int, tuple[Receipt, bytes]] = {}
    for row in connection.execute(asked):
        one = receipt.from_bytes(bytes(row.receipt))
        found.setdefault(one.leaf_no, (one, bytes(row.receipt_signature)))
    return [found[number] for number in sorted(found)]
