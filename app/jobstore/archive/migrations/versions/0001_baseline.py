"""The first form of the archive.

The tables are written out once more on purpose: `tables.py` goes on changing, this step never does. A column
is "name kind [key|null|unique] [>table.column]"; a `>` links it to a column of another table.
"""

from __future__ import annotations

from typing import Any

import sqlalchemy as sa
from alembic import op
from sqlalchemy.dialects import sqlite

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None

_TABLES = """
about: name text key, value text;
deposit: deposit_no counted, deposit_digest text unique, data bytes, device_text text, arrived_at_utc
    text;
unanswered: deposit_no whole key, deposit_digest text unique;
answer: answer_no counted, deposit_digest text, outcome text, sentence_text text, record_digest text null,
    leaf_no whole null unique, receipt bytes null, receipt_signature bytes null, at_utc text;
filed: leaf_no whole key, record_digest text unique, deposit_digest text, job_id text, revision small,
    number_text text, number_key key, title_text text, site_text text, site_key key, customer_text text,
    work_order_text text, work_order_key key, tested_on text, approved_on text, issued_at_utc text,
    arrived_at_utc text, tested_by_text text, approved_by_text text, decision_text text, sheet_text text,
    worst text, standing text, core_count small;
core: core_no whole key, leaf_no whole >filed.leaf_no, core_id text, position_text text, position_key key,
    phase_text text, core_number small, serial_text text, serial_key key, class_text text, class_key key,
    terminals_text text, worst text;
result: core_no whole key >core.core_no, sort small key, procedure_id text, subject_text text, row text,
    quantity_id text, value number, value_text text, u_expanded number, verdict text;
curve: core_no whole key >core.core_no, sort small key, terminals_text text, frequency_hz number,
    voltage_response text, current_response text, demagnetised text, point_count small, points bytes;
finding: core_no whole key >core.core_no, sort small key, procedure_id text, row text, quantity_id text,
    rule text, verdict text, text text;
deviation: leaf_no whole key >filed.leaf_no, deviation_id text key, core_id text, found_text text,
    decision_text text, disposition_text text, owner_text text, due_on text, is_open small;
person: leaf_no whole key >filed.leaf_no, person_id text key, part text key, name_text text, name_key key;
instrument: core_no whole key >core.core_no, instrument_id text key, procedure_id text key, name_text
    text, serial_text text, serial_key key, due_on text;
day_root: day text key, tree_size whole, root text;
certificate: fingerprint text key, der bytes, arrived_at_utc text;
signer: record_digest text key, meaning text key, fingerprint text, name_text text, at_utc text,
    standing_text text;
revocation: office_fingerprint text key, list_no small key, data bytes, arrived_at_utc text;
keeping: record_digest text key, retention text, keep_until text, person_text text, at_utc text;
hold: hold_no counted, record_digest text, reason_text text, person_text text, at_utc text, ended_by_text
    text, ended_at_utc text;
tombstone: record_digest text key, deposit_digest text, leaf_no whole, number_text text, revision small,
    reason_text text, person_text text, at_utc text;
saved_search: name_text text key, asked text, person_text text;
"""

_CHECKS = {
    "answer": "outcome IN ('filed', 'passed_on', 'refused')",
    "filed": "standing IN ('current', 'superseded', 'void')",
    "deviation": "is_open IN (0, 1)",
}

_INDICES = (
    ("answer_by_deposit", "answer", ("deposit_digest", "answer_no")),
    ("answer_by_record", "answer", ("record_digest", "answer_no")),
    ("filed_by_job", "filed", ("job_id", "revision")),
    ("filed_by_number", "filed", ("number_key", "leaf_no")),
    ("filed_by_work_order", "filed", ("work_order_key", "leaf_no")),
    ("filed_by_day", "filed", ("tested_on", "leaf_no")),
    ("filed_by_worst", "filed", ("worst", "leaf_no")),
    ("core_by_filed", "core", ("leaf_no",)),
    ("core_by_serial", "core", ("serial_key", "leaf_no")),
    ("core_by_class", "core", ("class_key", "leaf_no")),
    ("finding_by_rule", "finding", ("rule", "core_no")),
    ("deviation_open", "deviation", ("is_open", "leaf_no")),
    ("person_by_name", "person", ("name_key", "leaf_no")),
    ("instrument_by_serial", "instrument", ("serial_key", "core_no")),
    ("hold_by_record", "hold", ("record_digest",)),
)

_ADDED_ONLY = ("answer", "day_root", "certificate", "signer", "revocation", "tombstone")

# What nobody answered yet is told apart by the database itself: it is found without a look at the rest.
_WAITING = (
    ("deposit", "INSERT INTO unanswered VALUES (NEW.deposit_no, NEW.deposit_digest)"),
    ("answer", "DELETE FROM unanswered WHERE deposit_digest = NEW.deposit_digest"),
)

_WHOLE = sa.BigInteger().with_variant(sqlite.INTEGER(), "sqlite")
_KINDS: dict[str, Any] = {
    "text": sa.Text(),
    "key": sa.Text(collation="C").with_variant(sqlite.TEXT(), "sqlite"),
    "whole": _WHOLE,
    "small": sa.Integer().with_variant(sqlite.INTEGER(), "sqlite"),
    "number": sa.Double().with_variant(sqlite.REAL(), "sqlite"),
    "bytes": sa.LargeBinary().with_variant(sqlite.BLOB(), "sqlite"),
}


def upgrade() -> None:
    """Make every table, index and guard, and the table of words."""
    for table in _TABLES.split(";")[:-1]:
        name, _, columns = table.strip().partition(": ")
        made = [_column(spec) for spec in columns.split(",")]
        checks = [sa.CheckConstraint(_CHECKS[name])] if name in _CHECKS else []
        op.create_table(name, *made, *checks, sqlite_strict=True)
    for index, table, names in _INDICES:
        op.create_index(index, table, list(names))
    if op.get_bind().dialect.name == "postgresql":
        _guard_postgresql()
    else:
        _guard_sqlite()


def _column(spec: str) -> sa.Column[Any]:
    name, kind, *rest = spec.split()
    if kind == "counted":
        return sa.Column(name, _WHOLE, sa.Identity(), primary_key=True)
    link = [sa.ForeignKey(word[1:], ondelete="CASCADE") for word in rest if word.startswith(">")]
    finite = [sa.CheckConstraint(f"{name} IS NULL OR ({name} > -1e300 AND {name} < 1e300)")]
    return sa.Column(
        name,
        _KINDS[kind],
        *link,
        *(finite if kind == "number" else []),
        primary_key="key" in rest,
        unique="unique" in rest or None,
        nullable="null" in rest or kind == "number",
        autoincrement=False,
    )


def _guard_sqlite() -> None:
    op.execute("CREATE VIRTUAL TABLE words USING fts5(told)")
    for table in _ADDED_ONLY:
        for verb in ("UPDATE", "DELETE"):
            op.execute(
                f"CREATE TRIGGER {table}_no_{verb.lower()} BEFORE {verb} ON {table} "
                f"BEGIN SELECT RAISE(ABORT, '{table} rows are only ever added'); END"
            )
    op.execute(
        "CREATE TRIGGER deposit_no_update BEFORE UPDATE ON deposit "
        "BEGIN SELECT RAISE(ABORT, 'deposit rows are only ever added'); END"
    )
    op.execute(
        "CREATE TRIGGER deposit_no_delete BEFORE DELETE ON deposit "
        "BEGIN SELECT RAISE(ABORT, 'a deposit goes only where a tombstone stands for it') "
        "WHERE NOT EXISTS (SELECT 1 FROM tombstone WHERE deposit_digest = OLD.deposit_digest); END"
    )
    for table, statement in _WAITING:
        op.execute(f"CREATE TRIGGER {table}_waiting AFTER INSERT ON {table} BEGIN {statement}; END")


def _guard_postgresql() -> None:
    op.execute("CREATE TABLE words (leaf_no bigint PRIMARY KEY, told tsvector NOT NULL)")
    op.execute("CREATE INDEX words_told ON words USING gin (told) WITH (fastupdate = off)")
    op.execute(
        "CREATE FUNCTION only_added() RETURNS trigger LANGUAGE plpgsql AS $$ "
        "BEGIN RAISE EXCEPTION '% rows are only ever added', TG_TABLE_NAME; END $$"
    )
    op.execute(
        "CREATE FUNCTION only_with_tombstone() RETURNS trigger LANGUAGE plpgsql AS $$ "
        "BEGIN IF NOT EXISTS (SELECT 1 FROM tombstone WHERE deposit_digest = OLD.deposit_digest) "
        "THEN RAISE EXCEPTION 'a deposit goes only where a tombstone stands for it'; END IF; "
        "RETURN OLD; END $$"
    )
    for table in _ADDED_ONLY:
        op.execute(
            f"CREATE TRIGGER {table}_only_added BEFORE UPDATE OR DELETE ON {table} "
            "FOR EACH ROW EXECUTE FUNCTION only_added()"
        )
    op.execute(
        "CREATE TRIGGER deposit_no_update BEFORE UPDATE ON deposit FOR EACH ROW EXECUTE FUNCTION only_added()"
    )
    op.execute(
        "CREATE TRIGGER deposit_no_delete BEFORE DELETE ON deposit "
        "FOR EACH ROW EXECUTE FUNCTION only_with_tombstone()"
    )
    for table, statement in _WAITING:
        # A laptop may add to the deposits alone, so that this is done in the name of the owner.
        op.execute(
            f"CREATE FUNCTION {table}_waiting() RETURNS trigger LANGUAGE plpgsql SECURITY DEFINER "
            f"SET search_path FROM CURRENT AS $$ BEGIN {statement}; RETURN NULL; END $$"
        )
        # Otherwise anybody could hang it on a table of his own.
        op.execute(f"REVOKE EXECUTE ON FUNCTION {table}_waiting() FROM PUBLIC")
        op.execute(
            f"CREATE TRIGGER {table}_waiting AFTER INSERT ON {table} "
            f"FOR EACH ROW EXECUTE FUNCTION {table}_waiting()"
        )
