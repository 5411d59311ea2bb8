"""The tables of the office's archive, the same on SQLite and on PostgreSQL.

`deposit` holds the bytes as they came, `answer` what the office said about each, the last one counts; what is
searched can be made anew from these two.
"""

from __future__ import annotations

from typing import Any, Final

from sqlalchemy import (
    BigInteger,
    CheckConstraint,
    Column,
    Double,
    ForeignKey,
    Identity,
    Index,
    Integer,
    LargeBinary,
    MetaData,
    PrimaryKeyConstraint,
    Table,
    Text,
)
from sqlalchemy.dialects.sqlite import BLOB, INTEGER, REAL, TEXT

# Format: "CLa1" as four bytes; tells an archive from a store and from any other SQLite file.
APPLICATION_ID: Final = 0x434C6131
HEAD_REVISION: Final = "0001"

metadata: Final = MetaData()

# Format: a strict table of SQLite takes only its own names of types.
WHOLE: Final = BigInteger().with_variant(INTEGER(), "sqlite")
SMALL: Final = Integer().with_variant(INTEGER(), "sqlite")
NUMBER: Final[Any] = Double().with_variant(REAL(), "sqlite")
BYTES: Final = LargeBinary().with_variant(BLOB(), "sqlite")


# Assumption: a key is compared byte by byte, so that one index finds whole keys and beginnings alike.
KEY: Final[Any] = Text(collation="C").with_variant(TEXT(), "sqlite")


def _text(name: str, *, null: bool = False, key: bool = False) -> Column[str]:
    return Column(name, KEY if name.endswith("_key") else Text, nullable=null, primary_key=key)


def _small(name: str) -> Column[int]:
    return Column(name, SMALL, nullable=False)


def _number(name: str) -> Column[float]:
    # Safety: a NaN sorts and compares differently on each database; neither takes one.
    finite = CheckConstraint(f"{name} IS NULL OR ({name} > -1e300 AND {name} < 1e300)")
    return Column(name, NUMBER, finite, nullable=True)


def _of_filed() -> Column[int]:
    return Column("leaf_no", WHOLE, ForeignKey("filed.leaf_no", ondelete="CASCADE"), nullable=False)


def _of_core() -> Column[int]:
    return Column("core_no", WHOLE, ForeignKey("core.core_no", ondelete="CASCADE"), nullable=False)


def _table(name: str, *columns: Any) -> Table:
    return Table(name, metadata, *columns, sqlite_strict=True)


about: Final = _table("about", _text("name", key=True), _text("value"))

# What came, and what was answered.

deposit: Final = _table(
    "deposit",
    Column("deposit_no", WHOLE, Identity(), primary_key=True),
    Column("deposit_digest", Text, nullable=False, unique=True),
    Column("data", BYTES, nullable=False),
    _text("device_text"),
    _text("arrived_at_utc"),
)

# The deposits without an answer; a trigger adds to it and takes from it.
unanswered: Final = _table(
    "unanswered",
    Column("deposit_no", WHOLE, primary_key=True, autoincrement=False),
    Column("deposit_digest", Text, nullable=False, unique=True),
)

answer: Final = _table(
    "answer",
    Column("answer_no", WHOLE, Identity(), primary_key=True),
    Column("deposit_digest", Text, nullable=False),
    Column("outcome", Text, CheckConstraint("outcome IN ('filed', 'passed_on', 'refused')"), nullable=False),
    _text("sentence_text"),
    _text("record_digest", null=True),
    # Where the record stands in the tree; only the first answer about a record has it.
    Column("leaf_no", WHOLE, nullable=True, unique=True),
    Column("receipt", BYTES, nullable=True),
    Column("receipt_signature", BYTES, nullable=True),
    _text("at_utc"),
    Index("answer_by_deposit", "deposit_digest", "answer_no"),
    Index("answer_by_record", "record_digest", "answer_no"),
)

# One row per signed record, and what hangs on it.

filed: Final = _table(
    "filed",
    Column("leaf_no", WHOLE, primary_key=True, autoincrement=False),
    Column("record_digest", Text, nullable=False, unique=True),
    _text("deposit_digest"),
    _text("job_id"),
    _small("revision"),
    _text("number_text"),
    _text("number_key"),
    _text("title_text"),
    _text("site_text"),
    _text("site_key"),
    _text("customer_text"),
    _text("work_order_text"),
    _text("work_order_key"),
    _text("tested_on"),
    _text("approved_on"),
    _text("issued_at_utc"),
    _text("arrived_at_utc"),
    _text("tested_by_text"),
    _text("approved_by_text"),
    _text("decision_text"),
    # Empty until the signatures inside the sheet were checked as well; its digest is checked before filing.
    _text("sheet_text"),
    _text("worst"),
    Column(
        "standing", Text, CheckConstraint("standing IN ('current', 'superseded', 'void')"), nullable=False
    ),
    _small("core_count"),
    Index("filed_by_job", "job_id", "revision"),
    Index("filed_by_number", "number_key", "leaf_no"),
    Index("filed_by_work_order", "work_order_key", "leaf_no"),
    Index("filed_by_day", "tested_on", "leaf_no"),
    Index("filed_by_worst", "worst", "leaf_no"),
)

core: Final = _table(
    "core",
    Column("core_no", WHOLE, primary_key=True, autoincrement=False),
    _of_filed(),
    _text("core_id"),
    _text("position_text"),
    _text("position_key"),
    _text("phase_text"),
    _small("core_number"),
    _text("serial_text"),
    _text("serial_key"),
    _text("class_text"),
    _text("class_key"),
    _text("terminals_text"),
    _text("worst"),
    Index("core_by_filed", "leaf_no"),
    Index("core_by_serial", "serial_key", "leaf_no"),
    Index("core_by_class", "class_key", "leaf_no"),
)

result: Final = _table(
    "result",
    _of_core(),
    _small("sort"),
    _text("procedure_id"),
    _text("subject_text"),
    _text("row"),
    _text("quantity_id"),
    _number("value"),
    _text("value_text"),
    _number("u_expanded"),
    _text("verdict"),
    PrimaryKeyConstraint("core_no", "sort"),
)

curve: Final = _table(
    "curve",
    _of_core(),
    _small("sort"),
    _text("terminals_text"),
    _number("frequency_hz"),
    _text("voltage_response"),
    _text("current_response"),
    _text("demagnetised"),
    _small("point_count"),
    # Format: zlib of the volts, then the amperes, each as little-endian doubles.
    Column("points", BYTES, nullable=False),
    PrimaryKeyConstraint("core_no", "sort"),
)

finding: Final = _table(
    "finding",
    _of_core(),
    _small("sort"),
    _text("procedure_id"),
    _text("row"),
    _text("quantity_id"),
    _text("rule"),
    _text("verdict"),
    _text("text"),
    PrimaryKeyConstraint("core_no", "sort"),
    Index("finding_by_rule", "rule", "core_no"),
)

deviation: Final = _table(
    "deviation",
    _of_filed(),
    _text("deviation_id"),
    _text("core_id"),
    _text("found_text"),
    _text("decision_text"),
    _text("disposition_text"),
    _text("owner_text"),
    _text("due_on"),
    Column("is_open", SMALL, CheckConstraint("is_open IN (0, 1)"), nullable=False),
    PrimaryKeyConstraint("leaf_no", "deviation_id"),
    Index("deviation_open", "is_open", "leaf_no"),
)

person: Final = _table(
    "person",
    _of_filed(),
    _text("person_id"),
    _text("part"),
    _text("name_text"),
    _text("name_key"),
    PrimaryKeyConstraint("leaf_no", "person_id", "part"),
    Index("person_by_name", "name_key", "leaf_no"),
)

instrument: Final = _table(
    "instrument",
    _of_core(),
    _text("instrument_id"),
    _text("procedure_id"),
    _text("name_text"),
    _text("serial_text"),
    _text("serial_key"),
    _text("due_on"),
    PrimaryKeyConstraint("core_no", "instrument_id", "procedure_id"),
    Index("instrument_by_serial", "serial_key", "core_no"),
)

# Keeping: what stands for decades beside the records.

day_root: Final = _table(
    "day_root", _text("day", key=True), Column("tree_size", WHOLE, nullable=False), _text("root")
)

certificate: Final = _table(
    "certificate",
    _text("fingerprint", key=True),
    Column("der", BYTES, nullable=False),
    _text("arrived_at_utc"),
)

signer: Final = _table(
    "signer",
    _text("record_digest"),
    _text("meaning"),
    _text("fingerprint"),
    _text("name_text"),
    _text("at_utc"),
    _text("standing_text"),
    PrimaryKeyConstraint("record_digest", "meaning"),
)

revocation: Final = _table(
    "revocation",
    _text("office_fingerprint"),
    _small("list_no"),
    Column("data", BYTES, nullable=False),
    _text("arrived_at_utc"),
    PrimaryKeyConstraint("office_fingerprint", "list_no"),
)

keeping: Final = _table(
    "keeping",
    _text("record_digest", key=True),
    _text("retention"),
    _text("keep_until"),
    _text("person_text"),
    _text("at_utc"),
)

hold: Final = _table(
    "hold",
    Column("hold_no", WHOLE, Identity(), primary_key=True),
    _text("record_digest"),
    _text("reason_text"),
    _text("person_text"),
    _text("at_utc"),
    _text("ended_by_text"),
    _text("ended_at_utc"),
    Index("hold_by_record", "record_digest"),
)

tombstone: Final = _table(
    "tombstone",
    _text("record_digest", key=True),
    _text("deposit_digest"),
    Column("leaf_no", WHOLE, nullable=False),
    _text("number_text"),
    _small("revision"),
    _text("reason_text"),
    _text("person_text"),
    _text("at_utc"),
)

saved_search: Final = _table(
    "saved_search", _text("name_text", key=True), _text("asked"), _text("person_text")
)

# Rows of these are never changed; a deposit goes only where a tombstone stands for it.
APPEND_ONLY: Final = ("answer", "day_root", "certificate", "signer", "revocation", "tombstone")
# What can be made anew from deposits and answers, the leaves of the links first.
REBUILT: Final = (instrument, person, deviation, finding, curve, result, core, filed)
