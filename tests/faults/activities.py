"""What the program does while a fault strikes: one activity each, and what has to hold afterwards.

An activity starts in a folder that `prepare` made. `rounds` does it over and over and tells after each call
that returned what would be shown as saved by then; `problems` says what of it is not so, and what else is
wrong with what lies there.
"""

from __future__ import annotations

import hashlib
import os
import random
import time
import uuid
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from unittest import mock

from sqlalchemy import Connection

from app.desk import Address, Desk
from app.desk.copies import CopyKeeper
from app.exchange import jobfile
from app.exchange.problem import JobFileProblem
from app.jobstore import Store, StoreProblem, migrate
from app.jobstore.copies import Copy, copies_in, open_copy
from app.record import envelope
from app.settings import Settings
from tests.app.desk.making import PASSPHRASE, Clock, complete_job
from tests.one_core import act, one_core, reading

STORE_NAME = "store.sqlite"
SLOWEST_OPENING_S = 2.0
_NEXT_FORM = "0002"

Tell = Callable[[str], None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Activity:
    """One activity; `longest_s` is how long a kill may wait, `fresh` asks for a new folder each time."""

    name: str
    prepare: Callable[[Path], None]
    rounds: Callable[[Path, Tell], Iterator[None]]
    problems: Callable[[Path, list[str]], list[str]]
    longest_s: float = 0.12
    fresh: bool = False


# Keying


def make_store(folder: Path) -> None:
    """A store with one job of one core."""
    with closing(Store.open(folder / STORE_NAME)) as store:
        store.create(one_core(), act("job"))


def key(folder: Path, tell: Tell) -> Iterator[None]:
    """Key readings through the store, one to three at a time."""
    with closing(Store.open(folder / STORE_NAME)) as store:
        while True:
            texts = fresh_texts()
            store.append("j1", act(), readings=[reading(text) for text in texts])
            _tell_all(tell, texts)
            yield


def key_at_desk(folder: Path, tell: Tell) -> Iterator[None]:
    """Key readings with the verbs of the desk, as the window does."""
    with desk_in(folder) as desk:
        while True:
            texts = fresh_texts()
            entries = [
                (Address("c1", "excitation", 1, str(row), "v_excitation_v"), text)
                for row, text in enumerate(texts, start=1)
            ]
            desk.key_many("j1", entries)
            _tell_all(tell, texts)
            yield


def attach_and_freeze(folder: Path, tell: Tell) -> Iterator[None]:
    """Attach a file, freeze a revision, close and open again."""
    while True:
        with closing(Store.open(folder / STORE_NAME)) as store:
            data = os.urandom(9000)
            store.add_attachment(
                "j1",
                data,
                name_text="plate.jpg",
                media_type="image/jpeg",
                core_id="c1",
                procedure_id="",
                act=act("attach"),
            )
            tell(f"attached {hashlib.sha256(data).hexdigest()}")
            revision = len(store.revisions("j1")) + 1
            store.freeze("j1", b"{}" * 2000, act("freeze"), revision=revision, state="handed_in")
            tell(f"frozen {revision}")
        yield


# Opening and migrating


def leave_unfinished(folder: Path) -> None:
    """A store whose last entry was broken off in the middle: its journal lies beside it."""
    make_store(folder)
    child = os.fork()
    if child == 0:
        store = Store.open(folder / STORE_NAME)
        with store._open_one().connect() as connection, connection.begin():
            connection.exec_driver_sql("PRAGMA cache_size=1")
            for number in range(200):
                connection.exec_driver_sql("INSERT INTO meta VALUES (?, ?)", (f"half {number}", "x" * 5000))
            os._exit(0)
    os.waitpid(child, 0)


def open_and_key(folder: Path, tell: Tell) -> Iterator[None]:
    """Open, which takes back what was broken off; key one reading; close."""
    while True:
        with closing(Store.open(folder / STORE_NAME)) as store:
            (text,) = fresh_texts(most=1)
            store.append("j1", act(), readings=[reading(text)])
            tell(text)
        yield


def make_full_store(folder: Path) -> None:
    """A store with enough in it for a migration to take a while."""
    with closing(Store.open(folder / STORE_NAME)) as store:
        store.create(one_core(), act("job"))
        for text in ("first", "second"):
            store.append("j1", act(), readings=[reading(f"{text} {number}") for number in range(300)])


def bring_up(folder: Path, tell: Tell) -> Iterator[None]:
    """Open the store with a program that is newer by one step: a copy is made and checked before."""
    keep = CopyKeeper(Settings(folder, {})).make_before_upgrade
    with _newer_program(), closing(Store.open(folder / STORE_NAME, before_upgrade=keep)):
        tell("migrated")
        yield


def problems_of_migrated(folder: Path, told: list[str]) -> list[str]:
    """The store is of the one form or the other, and can be brought up with everything in it."""
    path = folder / STORE_NAME
    try:
        form = migrate.revision_of(path, read_only=True)
    except StoreProblem:
        form = "broken off"
    if told and form != _NEXT_FORM:
        return [f"said to be migrated, and is of form {form}"]
    found = [] if form != _NEXT_FORM or _kept_copies(folder) else ["brought up without a copy before"]
    with _newer_program():
        for copy in _kept_copies(folder):
            with closing(open_copy(copy.path)) as kept:
                found += kept.faults()
        with closing(Store.open(path)) as store:
            count = len(store.load("j1").readings)
            return [*found, *store.faults(), *([] if count == 600 else [f"{count} readings of 600"])]


def _kept_copies(folder: Path) -> list[Copy]:
    return [one for place in (folder / "copies").glob("*") for one in copies_in(place)]


@contextmanager
def _newer_program() -> Iterator[None]:
    with (
        mock.patch.object(migrate, "HEAD_REVISION", _NEXT_FORM),
        mock.patch.object(migrate, "known_revisions", return_value=frozenset({"0001", _NEXT_FORM})),
        mock.patch.object(migrate, "run_steps", _next_step),
    ):
        yield


def _next_step(connection: Connection) -> None:
    connection.exec_driver_sql("ALTER TABLE job ADD COLUMN region_text TEXT")
    connection.exec_driver_sql("UPDATE part SET sort = sort + 0")
    connection.exec_driver_sql(f"UPDATE alembic_version SET version_num = '{_NEXT_FORM}'")


# Signing, giving out, taking in, copying


def make_signer(folder: Path) -> None:
    """A store with one job, and the key of who sits there, sealed cheaply."""
    with cheap_envelopes(), desk_in(folder) as desk:
        desk.store.create(one_core(), act("job"))
        desk.make_key(PASSPHRASE)


def sign(folder: Path, tell: Tell) -> Iterator[None]:
    """Begin a job, key it, sign it as tested and hand it in, with the file that travels."""
    with cheap_envelopes(), desk_in(folder) as desk:
        while True:
            job_id = complete_job(desk)
            desk.hand_in(job_id, PASSPHRASE, "M. Oskarrin", folder / "travels.coreleaf-signed")
            tell(f"signed {job_id}")
            yield


def give_out(folder: Path, tell: Tell) -> Iterator[None]:
    """Write a job file and a sheet over the ones that are there."""
    with desk_in(folder) as desk:
        while True:
            (text,) = fresh_texts(most=1)
            desk.key("j1", Address("c1", "excitation", 1, "1", "v_excitation_v"), text)
            tell(text)
            desk.export_job("j1", folder / "job.json")
            desk.sheet("j1", folder / "sheet.pdf")
            tell("given out")
            yield


def problems_of_given_out(folder: Path, told: list[str]) -> list[str]:
    """What was given out is whole, or not there."""
    found = problems_of_store(folder, [text for text in told if text != "given out"])
    job, sheet = folder / "job.json", folder / "sheet.pdf"
    if "given out" in told and not (job.exists() and sheet.exists()):
        found.append("what was given out is not there")
    try:
        if job.exists():
            jobfile.load(job)
    except JobFileProblem as problem:
        found.append(problem.sentence)
    if sheet.exists() and not sheet.read_bytes().rstrip().endswith(b"%%EOF"):
        found.append("half a sheet stands there")
    return found


def take_in(folder: Path, tell: Tell) -> Iterator[None]:
    """Take in one job file after the other."""
    with desk_in(folder) as desk:
        while True:
            job_id = str(uuid.uuid4())
            jobfile.save(one_core(job_id), folder / "coming.json")
            desk.take_in(folder / "coming.json")
            tell(f"job {job_id}")
            yield


def copy(folder: Path, tell: Tell) -> Iterator[None]:
    """Key a reading, make a copy, and so on; the folder of copies is thinned meanwhile."""
    with desk_in(folder) as desk:
        keeper = CopyKeeper(desk.settings)
        while True:
            (text,) = fresh_texts(most=1)
            desk.store.append("j1", act(), readings=[reading(text)])
            tell(text)
            if keeper.make().trouble_text == "":
                tell(f"copied {text}")
            yield


def problems_of_copies(folder: Path, told: list[str]) -> list[str]:
    """Every copy that counts is whole, and one of them holds what was last said to be copied."""
    found = problems_of_store(folder, [text for text in told if not text.startswith("copied ")])
    kept: set[str] = set()
    for one in _kept_copies(folder):
        try:
            with closing(open_copy(one.path)) as opened:
                found += opened.faults()
                kept |= kept_in(opened)
        except StoreProblem as problem:
            found.append(f"a copy counts that does not verify: {problem.sentence}")
    copied = {text.removeprefix("copied ") for text in told if text.startswith("copied ")}
    return found + [f"no copy holds {text}" for text in copied - kept]


# What has to hold


def problems_of_store(folder: Path, told: list[str]) -> list[str]:
    """What is wrong with the store: it opens soon, is whole, says what happened, holds what was told."""
    path = folder / STORE_NAME
    left_locked = path.with_name(path.name + ".lock").exists()
    started_s = time.process_time()
    try:
        store = Store.open(path)
    except StoreProblem as problem:
        return [problem.sentence]
    took_s = time.process_time() - started_s
    try:
        found = store.faults()
        if took_s > SLOWEST_OPENING_S:
            found.append(f"opening took {took_s:.1f} s of the processor")
        if store.read_only:
            found.append(f"opened for reading only: {store.read_only_reason}")
        if left_locked and store.opening_note is None:
            found.append("nothing was said about the unexpected stop")
        lost = set(told) - kept_in(store)
        return found + [f"lost {len(lost)} of {len(told)}: {text}" for text in sorted(lost)[:3]]
    except StoreProblem as problem:
        return [problem.sentence]
    finally:
        store.close()


def kept_in(store: Store) -> set[str]:
    """Everything in a store, in the words in which it is told."""
    kept = set[str]()
    for line in store.jobs():
        kept |= {entry.as_typed_text for entry in store.load(line.job_id).readings}
        kept |= {f"attached {entry.digest}" for entry in store.attachments(line.job_id)}
        kept |= {f"frozen {entry.revision}" for entry in store.revisions(line.job_id)}
        kept.add(f"job {line.job_id}")
        if any(event.act.kind == "sign" for event in store.events(line.job_id)):
            kept.add(f"signed {line.job_id}")
    return kept


@contextmanager
def desk_in(folder: Path) -> Iterator[Desk]:
    """A desk over the store of a folder."""
    settings = Settings(folder, {"person_name_text": "A. Tester", "person_id": "p1"})
    with closing(Store.open(folder / STORE_NAME)) as store:
        yield Desk(store, settings, clock=Clock())


@contextmanager
def cheap_envelopes() -> Iterator[None]:
    """Envelopes that cost a thief nothing: what they cost in earnest is measured where they are made."""
    with mock.patch.object(envelope, "MEMORY_KIB", 64):
        yield


def fresh_texts(most: int = 3) -> list[str]:
    """Texts that never came before: a number and a mark behind it that no other has."""
    return [f"{random.uniform(1, 500):.3f} V {uuid.uuid4()}" for _ in range(random.randint(1, most))]


def _tell_all(tell: Tell, texts: list[str]) -> None:
    for text in texts:
        tell(text)


_store = partial(Activity, prepare=make_store, problems=problems_of_store)

ACTIVITIES = (
    _store(name="key", rounds=key),
    _store(name="key_at_desk", rounds=key_at_desk),
    _store(name="attach_and_freeze", rounds=attach_and_freeze),
    _store(name="open", rounds=open_and_key, prepare=leave_unfinished),
    _store(
        name="migrate",
        rounds=bring_up,
        prepare=make_full_store,
        problems=problems_of_migrated,
        longest_s=0.6,
        fresh=True,
    ),
    _store(name="sign", rounds=sign, prepare=make_signer, longest_s=0.9),
    _store(name="give_out", rounds=give_out, problems=problems_of_given_out, longest_s=0.5),
    _store(name="take_in", rounds=take_in),
    _store(name="copy", rounds=copy, problems=problems_of_copies, longest_s=0.3),
)


def named(name: str) -> Activity:
    """The activity of that name."""
    return next(one for one in ACTIVITIES if one.name == name)
