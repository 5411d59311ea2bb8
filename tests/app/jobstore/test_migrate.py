"""Migrations are tried on the frozen stores of released forms, never on empty ones."""

from __future__ import annotations

import json
import shutil
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest
from sqlalchemy import Connection, inspect

from app.jobstore import Store, StoreProblem, migrate
from app.jobstore.engine import open_engine
from app.jobstore.form import APPLICATION_ID
from app.jobstore.migrate import MIGRATIONS_FOLDER, bring_up
from app.jobstore.tables import APPEND_ONLY, metadata
from app.record.act import Act, ChainHead
from app.record.chain import verify_chain
from ctcore import job as job_module

SPECIMENS = Path(__file__).parents[2] / "specimens"

NEXT_STEP = """
revision = "0002"
down_revision = "0001"
import sqlalchemy as sa
from alembic import op

def upgrade():
    op.add_column("job", sa.Column("region_text", sa.Text))
    with op.batch_alter_table("judgement") as table:
        table.add_column(sa.Column("judged_at_utc", sa.Text))
"""


@pytest.fixture
def specimen(tmp_path: Path) -> Path:
    copy = tmp_path / "old.coreleaf"
    shutil.copyfile(SPECIMENS / "store_form_1.coreleaf", copy)
    shutil.copytree(SPECIMENS / "store_form_1.coreleaf.attachments", tmp_path / "old.coreleaf.attachments")
    return copy


@pytest.fixture
def newer_program(monkeypatch: pytest.MonkeyPatch) -> None:
    """This program as it would be with one more step."""
    monkeypatch.setattr(migrate, "HEAD_REVISION", "0002")


def test_where_no_copy_can_be_made_the_store_is_left_as_it_was(
    specimen: Path, newer_program: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = specimen.read_bytes()
    monkeypatch.setattr(migrate, "sync_folder", refuse)
    with pytest.raises(StoreProblem, match=r"left exactly as it was: a copy .*No space left.*Free some disk"):
        bring_up(specimen, read_only=False, upgrade=step())
    assert specimen.read_bytes() == before
    assert not list(specimen.parent.glob("*.backup"))


def refuse(*_: object) -> None:
    raise OSError(28, "No space left on device")


def counts(path: Path) -> dict[str, int]:
    with closing(sqlite3.connect(path)) as raw:
        return {name: raw.execute(f'SELECT count(*) FROM "{name}"').fetchone()[0] for name in metadata.tables}


def step(*statements: str) -> Callable[[Connection], None]:
    def upgrade(connection: Connection) -> None:
        for statement in statements:
            connection.exec_driver_sql(statement)
        connection.exec_driver_sql("UPDATE alembic_version SET version_num = '0002'")

    return upgrade


def test_the_store_of_form_1_opens_with_everything_that_was_in_it(specimen: Path) -> None:
    wanted = json.loads((SPECIMENS / "store_form_1.json").read_text(encoding="utf-8"))
    with closing(Store.open(specimen)) as store:
        assert store.load("j1") == job_module.from_plain(wanted["job"])
        assert store.heads() == [ChainHead(**head) for head in wanted["heads"]]
        assert store.faults() == []
        assert store.attachment_bytes(store.attachments("j1")[0]) == b"plate, photographed\n"
        assert [kept.record_bytes for kept in store.revisions("j1")] == [b'{"frozen":"once"}']
        assert [line.worst for line in store.jobs()] == ["outside"]


def test_the_trail_of_the_store_of_form_1_goes_on(specimen: Path) -> None:
    act = Act("remark", "p1", "A. Tester", "2031-06-01T08:00:00Z", 120, "Etc/UTC")
    with closing(Store.open(specimen, device_id="device-south")) as store:
        store.append("j1", act)
        assert verify_chain([event for event in store.events() if event.device_id == "device-south"]) is None


def test_a_new_store_has_the_tables_that_the_program_works_with(path: Path) -> None:
    """The written-out baseline and the tables of the program agree."""
    Store.open(path).close()
    made = open_engine(path.with_name("straight"))
    metadata.create_all(made)
    migrated = open_engine(path)
    shapes = [
        {
            name: (
                [
                    (column["name"], str(column["type"]), column["nullable"])
                    for column in look.get_columns(name)
                ],
                look.get_pk_constraint(name)["constrained_columns"],
                sorted(str(entry["column_names"]) for entry in look.get_unique_constraints(name)),
                sorted(
                    str((entry["constrained_columns"], entry["referred_table"], entry["options"]))
                    for entry in look.get_foreign_keys(name)
                ),
                sorted(str((entry["name"], entry["column_names"])) for entry in look.get_indexes(name)),
                sorted(entry["sqltext"] for entry in look.get_check_constraints(name)),
                look.get_table_options(name),
            )
            for name in metadata.tables
        }
        for look in (inspect(made), inspect(migrated))
    ]
    made.dispose()
    migrated.dispose()
    assert shapes[0] == shapes[1]


def test_every_table_is_strict_and_every_kept_one_is_guarded(path: Path) -> None:
    Store.open(path).close()
    with closing(sqlite3.connect(path)) as raw:
        strict = dict(raw.execute("SELECT name, strict FROM pragma_table_list WHERE schema = 'main'"))
        triggers = {row[0] for row in raw.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'")}
        ids = (
            raw.execute("PRAGMA application_id").fetchone()[0],
            raw.execute("PRAGMA user_version").fetchone()[0],
        )
    assert [name for name in metadata.tables if strict[name] != 1] == []
    assert triggers == {f"{name}_no_{verb}" for name in APPEND_ONLY for verb in ("update", "delete")}
    assert ids == (APPLICATION_ID, 1)


def test_a_real_step_keeps_every_row_and_leaves_a_copy_of_the_old_form(
    specimen: Path, newer_program: None, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "100% steps"
    shutil.copytree(MIGRATIONS_FOLDER, folder, ignore=shutil.ignore_patterns("__pycache__"))
    (folder / "versions" / "0002_more.py").write_text(NEXT_STEP, encoding="utf-8")
    monkeypatch.setattr(migrate, "MIGRATIONS_FOLDER", folder)
    before = counts(specimen)
    bring_up(specimen, read_only=False)
    assert counts(specimen) == before
    assert migrate.revision_of(specimen, read_only=True) == "0002"
    copy = specimen.with_name("old.coreleaf.form-0001.backup")
    assert migrate.revision_of(copy, read_only=True) == "0001"
    assert counts(copy) == before


@pytest.mark.parametrize(
    ("statements", "reason"),
    [
        (["ALTER TABLE job ADD COLUMN a TEXT", "SELECT no_such_function()"], "no such function"),
        (["DELETE FROM finding"], "would have changed rows of finding"),
        (["DROP TABLE meta"], "would have changed rows of meta"),
        (["UPDATE part SET job_id = 'nobody'"], "would have changed links between rows"),
        (["DROP TRIGGER reading_no_delete"], "would have changed the guard reading_no_delete"),
    ],
)
def test_a_step_that_fails_or_loses_something_leaves_the_file_as_it_was(
    specimen: Path, newer_program: None, monkeypatch: pytest.MonkeyPatch, statements: list[str], reason: str
) -> None:
    monkeypatch.setattr(migrate, "known_revisions", lambda: frozenset({"0001", "0002"}))
    before = specimen.read_bytes()
    with pytest.raises(StoreProblem, match=rf"^Everything saved in .* is as it was: .*{reason}"):
        bring_up(specimen, read_only=False, upgrade=step(*statements))
    assert specimen.read_bytes() == before


def test_children_outlive_a_parent_table_that_is_made_anew(
    specimen: Path, newer_program: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    """With foreign keys on, the dropped parent would take its findings with it."""
    monkeypatch.setattr(migrate, "known_revisions", lambda: frozenset({"0001", "0002"}))
    before = counts(specimen)
    anew = step(
        "CREATE TABLE judgement_new AS SELECT * FROM judgement",
        "DROP TABLE judgement",
        "CREATE TABLE judgement(job_id TEXT NOT NULL, core_id TEXT NOT NULL, worst TEXT NOT NULL,"
        " input_digest TEXT NOT NULL, rules_version TEXT NOT NULL, PRIMARY KEY(job_id, core_id)) STRICT",
        "INSERT INTO judgement SELECT * FROM judgement_new",
        "DROP TABLE judgement_new",
    )
    bring_up(specimen, read_only=False, upgrade=anew)
    assert counts(specimen) == before


def test_a_store_that_is_not_sound_after_the_commit_is_put_back_from_the_copy(
    specimen: Path, newer_program: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(migrate, "known_revisions", lambda: frozenset({"0001", "0002"}))
    monkeypatch.setattr(migrate, "_sound", lambda looked_at: looked_at != specimen)
    before = counts(specimen)
    with pytest.raises(StoreProblem, match=r"taken back from the copy old\.coreleaf\.form-0001\.backup"):
        bring_up(specimen, read_only=False, upgrade=step("ALTER TABLE job ADD COLUMN a TEXT"))
    assert (migrate.revision_of(specimen, read_only=True), counts(specimen)) == ("0001", before)


def test_nothing_is_tried_where_no_sound_copy_can_be_made(
    specimen: Path, newer_program: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(migrate, "known_revisions", lambda: frozenset({"0001", "0002"}))
    monkeypatch.setattr(migrate, "_sound", lambda _: False)
    before = specimen.read_bytes()
    with pytest.raises(StoreProblem, match=r"left exactly as it was: a copy of it could not be made"):
        bring_up(specimen, read_only=False, upgrade=step())
    assert specimen.read_bytes() == before


def test_an_old_store_is_read_in_a_copy_of_its_own_and_left_byte_for_byte(
    specimen: Path, newer_program: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(migrate, "known_revisions", lambda: frozenset({"0001", "0002"}))
    monkeypatch.setattr(migrate, "run_steps", step("ALTER TABLE job ADD COLUMN a TEXT"))
    before = specimen.read_bytes()
    with closing(Store.open(specimen, read_only=True)) as store:
        assert (store.load("j1").job_id, store.faults(), store.read_only) == ("j1", [], True)
        assert store.attachment_bytes(store.attachments("j1")[0]) == b"plate, photographed\n"
    assert specimen.read_bytes() == before
    assert sorted(entry.name for entry in specimen.parent.iterdir()) == [
        "old.coreleaf", "old.coreleaf.attachments",
    ]  # fmt: skip


def test_where_the_copies_take_none_nothing_is_tried(
    specimen: Path, newer_program: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(migrate, "known_revisions", lambda: frozenset({"0001", "0002"}))
    monkeypatch.setattr(migrate, "run_steps", refuse)
    before = specimen.read_bytes()

    def keep() -> None:
        raise StoreProblem("Everything saved is in the store. No copy was made.")

    with pytest.raises(StoreProblem, match="No copy was made"):
        Store.open(specimen, before_upgrade=keep)
    assert specimen.read_bytes() == before


def test_a_store_of_a_newer_program_is_refused_by_name_and_left_byte_for_byte(specimen: Path) -> None:
    with closing(sqlite3.connect(specimen)) as raw:
        raw.execute("UPDATE alembic_version SET version_num = '0412'")
        raw.commit()
    before = specimen.read_bytes()
    with pytest.raises(
        StoreProblem, match=r"left exactly as it was\. It was made by a newer Coreleaf .*0412"
    ):
        Store.open(specimen)
    assert specimen.read_bytes() == before
    assert sorted(entry.name for entry in specimen.parent.iterdir()) == [
        "old.coreleaf", "old.coreleaf.attachments",
    ]  # fmt: skip


def test_a_file_that_is_no_database_is_refused_and_left_byte_for_byte(path: Path) -> None:
    path.write_bytes(b"not a database at all, " * 100)
    with pytest.raises(StoreProblem, match=r"left exactly as it was\. It can't be read as a store"):
        Store.open(path)
    assert path.read_bytes() == b"not a database at all, " * 100


@pytest.mark.parametrize(
    "statement",
    [
        "CREATE TABLE somebody_elses(a)",
        "PRAGMA application_id = 1129080369; CREATE TABLE a(b)",
        "PRAGMA application_id = 1129080369; CREATE TABLE alembic_version(version_num TEXT)",
    ],
)
def test_a_database_of_another_program_is_refused_and_left_byte_for_byte(path: Path, statement: str) -> None:
    with closing(sqlite3.connect(path)) as raw:
        raw.executescript(statement)
    before = path.read_bytes()
    with pytest.raises(StoreProblem, match="can't be read as a store"):
        Store.open(path)
    assert path.read_bytes() == before


def test_a_store_cut_short_is_refused_and_left_byte_for_byte(specimen: Path) -> None:
    cut = specimen.read_bytes()[:6000]
    specimen.write_bytes(cut)
    with pytest.raises(StoreProblem, match="can't be read"):
        Store.open(specimen)
    assert specimen.read_bytes() == cut


def test_a_spoiled_table_that_the_database_cannot_even_name_is_refused(specimen: Path) -> None:
    spoiled = specimen.read_bytes().replace(b"core_count INTEGER", b"core_count \xc9NTEGER")
    specimen.write_bytes(spoiled)
    with pytest.raises(StoreProblem, match="can't be read as a store"):
        Store.open(specimen, read_only=True)
    assert specimen.read_bytes() == spoiled


def test_a_store_marked_for_a_log_is_not_opened_for_reading_so_that_nothing_is_left_beside_it(
    specimen: Path,
) -> None:
    marked = specimen.read_bytes()[:18] + b"\x02\x02" + specimen.read_bytes()[20:]
    specimen.write_bytes(marked)
    with pytest.raises(StoreProblem, match="left exactly as it was"):
        Store.open(specimen, read_only=True)
    assert specimen.read_bytes() == marked
    assert sorted(entry.name for entry in specimen.parent.iterdir()) == [
        "old.coreleaf", "old.coreleaf.attachments",
    ]  # fmt: skip


def test_a_store_marked_for_a_log_is_set_right_when_it_is_opened_for_writing(specimen: Path) -> None:
    specimen.write_bytes(specimen.read_bytes()[:18] + b"\x02\x02" + specimen.read_bytes()[20:])
    Store.open(specimen).close()

    with closing(Store.open(specimen, read_only=True)) as store:
        assert store.faults() == []


@pytest.mark.parametrize("read_only", [False, True])
def test_a_folder_in_the_place_of_the_store_cannot_be_read_at_the_moment(path: Path, read_only: bool) -> None:
    path.mkdir()
    with pytest.raises(StoreProblem, match="can't be read at the moment"):
        Store.open(path, read_only=read_only)


def test_a_copy_that_cannot_be_read_is_not_sound(path: Path) -> None:
    path.write_bytes(b"not a database at all, " * 100)
    assert not migrate._sound(path)


def test_an_empty_file_becomes_a_new_store(path: Path) -> None:
    path.touch()
    with closing(Store.open(path)) as store:
        assert store.jobs() == []
