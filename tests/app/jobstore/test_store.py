from __future__ import annotations

import dataclasses
import sqlite3
import subprocess
import sys
import threading
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from app.jobstore import Store, StoreProblem, lock, parts_of
from app.record.act import Act
from app.record.canonical import digest
from app.record.chain import verify_chain
from ctcore.errors import BadInput
from ctcore.findings import Finding
from ctcore.job import Header, Job, Reading

MakeAct = Callable[..., Act]
MakeReading = Callable[..., Reading]


def test_a_job_comes_back_as_it_was_made(filled: Store, job: Job) -> None:
    assert filled.load("j1") == job


def test_a_job_comes_back_after_closing_and_opening(filled: Store, path: Path, job: Job) -> None:
    filled.close()
    with closing(Store.open(path)) as again:
        assert (again.load("j1"), again.device_id, again.opening_note) == (job, "d1", None)


def test_a_closed_store_is_one_plain_file(filled: Store, path: Path) -> None:
    filled.close()
    assert [entry.name for entry in path.parent.iterdir()] == [path.name]


def test_a_reading_gets_device_and_sequence_from_the_store(
    filled: Store, act: MakeAct, reading: MakeReading
) -> None:
    filled.append("j1", act(), readings=[reading()])
    receipt = filled.append("j1", act(), readings=[reading(), reading()])
    assert [(entry.device_id, entry.device_seq) for entry in receipt.readings] == [("d1", 2), ("d1", 3)]
    assert filled.load("j1").readings[1:] == receipt.readings


def test_every_field_of_a_reading_comes_back(filled: Store, act: MakeAct, reading: MakeReading) -> None:
    entered = reading(
        "> 2000 ", value_text=None, over_range=True, under_range=True, instrument_id="m1", supersedes_id="r0",
        reason_text="slipped lead", struck=True, withdrawn=True,
    )  # fmt: skip
    filled.append("j1", act(), readings=[entered])
    assert filled.load("j1").readings == (dataclasses.replace(entered, device_id="d1", device_seq=1),)


def test_a_reading_of_another_device_keeps_its_device_and_sequence(
    filled: Store, act: MakeAct, reading: MakeReading
) -> None:
    foreign = reading(device_id="d9", device_seq=41)
    assert filled.append("j1", act(), readings=[foreign]).readings == (foreign,)


def test_a_new_number_follows_the_own_ones_that_came_along(
    filled: Store, act: MakeAct, reading: MakeReading
) -> None:
    receipt = filled.append("j1", act(), readings=[reading(device_id="d1", device_seq=5), reading()])
    assert [entry.device_seq for entry in receipt.readings] == [5, 6]


def test_a_sequence_number_cannot_stand_twice(filled: Store, act: MakeAct, reading: MakeReading) -> None:
    filled.append("j1", act(), readings=[reading(device_id="d9", device_seq=41)])
    with pytest.raises(StoreProblem, match="contradicts what is stored"):
        filled.append("j1", act(), readings=[reading(device_id="d9", device_seq=41)])


def test_a_refused_entry_leaves_nothing_behind(filled: Store, act: MakeAct, reading: MakeReading) -> None:
    entered = reading()
    filled.append("j1", act(), readings=[entered])
    with pytest.raises(StoreProblem, match=r"^Everything saved before is safe\."):
        filled.append("j1", act(), readings=[reading(), entered], state="handed_in")
    assert (len(filled.events()), len(filled.load("j1").readings)) == (2, 1)
    assert filled.load("j1").state == "being_tested"


@pytest.mark.parametrize("text", ["1\0", "\ud800"])
def test_text_that_no_store_can_keep_is_refused_at_its_field(
    filled: Store, act: MakeAct, reading: MakeReading, text: str
) -> None:
    with pytest.raises(BadInput):
        filled.append("j1", act(), readings=[reading(text)])
    assert len(filled.events()) == 1


def test_parts_replace_those_of_the_same_id_and_removed_ones_go(
    filled: Store, job: Job, act: MakeAct
) -> None:
    first = dataclasses.replace(job.positions[0], name_text="Bay 7")
    after = dataclasses.replace(job, positions=(first,), header=Header(number_text="1043"))
    kept = [part.part_id for part in parts_of(after)]
    gone = [part.part_id for part in parts_of(job) if part.part_id not in kept]
    filled.append("j1", act(), parts=parts_of(after), removed_parts=gone)
    assert filled.load("j1") == after
    assert [(line.number_text, line.core_count) for line in filled.jobs()] == [("1043", 4)]


def test_a_new_state_is_stored_with_its_event(filled: Store, act: MakeAct) -> None:
    receipt = filled.append("j1", act("handed in"), state="handed_in")
    assert (filled.load("j1").state, receipt.event.content) == ("handed_in", {"state": "handed_in"})


def test_the_event_names_the_job_and_keeps_the_act(filled: Store, act: MakeAct) -> None:
    entered = act(to="265.2")
    event = filled.append("j1", entered).event
    assert event.act == dataclasses.replace(entered, where={"row": "7", "job_id": "j1"})
    assert filled.events("j1")[-1] == event


def test_the_events_form_one_chain_over_all_jobs(filled: Store, job: Job, act: MakeAct) -> None:
    filled.create(dataclasses.replace(job, job_id="j2"), act("job made"))
    filled.append("j1", act())
    assert verify_chain(filled.events(), filled.heads()[0]) is None
    assert [event.n for event in filled.events("j1")] == [1, 3]


def test_two_devices_have_a_chain_each_in_one_store(
    filled: Store, path: Path, act: MakeAct, reading: MakeReading
) -> None:
    filled.append("j1", act(), readings=[reading()])
    filled.close()
    with closing(Store.open(path, device_id="d2")) as other:
        receipt = other.append("j1", act(), readings=[reading()])
        heads, events = other.heads(), other.events()
        assert other.faults() == []
    assert (receipt.readings[0].device_id, receipt.readings[0].device_seq) == ("d2", 1)
    assert [(head.device_id, head.n) for head in heads] == [("d1", 2), ("d2", 1)]
    assert verify_chain(events[:2], heads[0]) is None
    assert verify_chain(events[2:], heads[1]) is None


def test_a_fork_in_a_chain_is_refused_by_the_table_itself(filled: Store, path: Path) -> None:
    filled.close()
    with closing(sqlite3.connect(path)) as raw, pytest.raises(sqlite3.IntegrityError, match="UNIQUE"):
        raw.execute(
            "INSERT INTO event SELECT device_id, n + 7, prev, digest, head, job_id, kind, person_id, at_utc,"
            " body FROM event"
        )


@pytest.mark.parametrize("table", ["event", "reading", "revision"])
@pytest.mark.parametrize("words", ["UPDATE {} SET event_n = 1", "DELETE FROM {}"])
def test_rows_that_are_only_ever_added_cannot_be_changed_or_deleted(
    filled: Store, path: Path, act: MakeAct, reading: MakeReading, table: str, words: str
) -> None:
    filled.append("j1", act(), readings=[reading()])
    filled.freeze("j1", b"{}", act(), revision=1, state="approved")
    filled.close()
    statement = words.format(table).replace("event SET event_n", "event SET n")
    with (
        closing(sqlite3.connect(path)) as raw,
        pytest.raises(sqlite3.IntegrityError, match="only ever added"),
    ):
        raw.execute(statement)


def test_a_job_is_not_made_twice(filled: Store, job: Job, act: MakeAct) -> None:
    with pytest.raises(StoreProblem, match="contradicts what is stored"):
        filled.create(job, act())


def test_a_job_brings_its_readings_along(store: Store, job: Job, act: MakeAct, reading: MakeReading) -> None:
    brought = (reading(device_id="d9", device_seq=3), reading())
    receipt = store.create(dataclasses.replace(job, readings=brought), act())
    assert store.load("j1").readings == receipt.readings
    assert [entry.device_id for entry in receipt.readings] == ["d9", "d1"]


def test_an_unknown_job_is_said_to_be_unknown(filled: Store, act: MakeAct) -> None:
    with pytest.raises(StoreProblem, match="no such job"):
        filled.load("j9")
    with pytest.raises(StoreProblem, match="no such job"):
        filled.append("j9", act())
    assert len(filled.events()) == 1


def test_the_list_shows_the_job_changed_last_first(filled: Store, job: Job, act: MakeAct) -> None:
    filled.create(dataclasses.replace(job, job_id="j2"), act(at_utc="2031-05-05T08:00:00.000Z"))
    line = filled.jobs()[1]
    assert [entry.job_id for entry in filled.jobs()] == ["j2", "j1"]
    assert (line.number_text, line.site_text, line.state, line.core_count) == (
        "1042",
        "Fenmark",
        "being_tested",
        6,
    )
    assert (line.worst, line.changed_at_utc) == ("not tested", "2031-05-04T08:42:07.120Z")


FINDINGS = (
    Finding("a.c1", "r_winding_75degc_ohm", 3.0, 2.0, -1.0, "outside", "plate", "resistance.limit", take=2),
    Finding("a.c1", "polarity", "agrees", "agrees", None, "within", "IEC 61869-2", "ratio.polarity"),
)


def test_findings_come_back_with_their_digest_and_rules(filled: Store) -> None:
    filled.save_findings("j1", "a.c1", FINDINGS, input_digest="ab", rules_version="7")
    stored = filled.findings("j1")["a.c1"]
    assert (stored.findings, stored.input_digest, stored.rules_version) == (FINDINGS, "ab", "7")
    assert isinstance(stored.findings[0].value, float)
    assert filled.jobs()[0].worst == "outside"


def test_new_findings_replace_those_of_the_core_alone(filled: Store) -> None:
    filled.save_findings("j1", "a.c1", FINDINGS, input_digest="ab", rules_version="7")
    filled.save_findings("j1", "a.c2", FINDINGS[1:], input_digest="cd", rules_version="7")
    filled.save_findings("j1", "a.c1", (), input_digest="ef", rules_version="8")
    stored = filled.findings("j1")
    assert (stored["a.c1"].findings, stored["a.c2"].findings) == ((), FINDINGS[1:])


def test_a_frozen_record_comes_back_byte_for_byte(filled: Store, act: MakeAct) -> None:
    receipt = filled.freeze("j1", b'{"a":1}', act("frozen"), revision=1, state="approved")
    (stored,) = filled.revisions("j1")
    assert (stored.revision, stored.record_bytes, stored.digest) == (1, b'{"a":1}', digest(b'{"a":1}'))
    assert stored.frozen_at_utc == "2031-05-04T08:42:07.120Z"
    assert receipt.event.content["record"] == {"revision": 1, "digest": stored.digest}
    assert filled.load("j1").state == "approved"


def test_a_revision_is_frozen_once(filled: Store, act: MakeAct) -> None:
    filled.freeze("j1", b"{}", act(), revision=1, state="approved")
    with pytest.raises(StoreProblem, match="contradicts what is stored"):
        filled.freeze("j1", b"[]", act(), revision=1, state="approved")


def test_a_photograph_is_kept_beside_the_store_and_pinned_to_its_step(filled: Store, act: MakeAct) -> None:
    attachment = filled.add_attachment(
        "j1", b"\x89PNG", name_text="plate.png", media_type="image/png", core_id="a.c1",
        procedure_id="resistance", act=act("attached"),
    )  # fmt: skip
    assert filled.attachments("j1") == [attachment]
    assert filled.attachment_bytes(attachment) == b"\x89PNG"
    assert filled.events()[-1].content["attachment"]["digest"] == digest(b"\x89PNG")
    assert (attachment.core_id, attachment.procedure_id, attachment.size_bytes_count) == (
        "a.c1",
        "resistance",
        4,
    )


def test_a_second_opener_in_this_program_may_only_read(filled: Store, path: Path, act: MakeAct) -> None:
    with closing(Store.open(path)) as second:
        assert second.read_only
        assert "already open in another window since" in str(second.read_only_reason)
        assert second.load("j1") == filled.load("j1")
        with pytest.raises(StoreProblem, match=r"Nothing was changed\. This store is already open"):
            second.append("j1", act())


def test_a_second_process_may_only_read_and_says_so(filled: Store, path: Path) -> None:
    script = (
        "import sys; from pathlib import Path; from app.jobstore import Store\n"
        "store = Store.open(Path(sys.argv[1]))\n"
        "print(store.read_only, len(store.jobs()), store.read_only_reason); store.close()"
    )
    answer = run(script, path)
    assert answer.startswith("True 1 This store is already open in another window")
    assert filled.read_only is False


def test_the_second_opener_sees_what_the_first_saved_meanwhile(
    filled: Store, path: Path, act: MakeAct, reading: MakeReading
) -> None:
    with closing(Store.open(path)) as second:
        filled.append("j1", act(), readings=[reading()])
        assert len(second.load("j1").readings) == 1


def test_the_store_can_be_written_again_once_the_first_window_is_closed(filled: Store, path: Path) -> None:
    filled.close()
    with closing(Store.open(path)) as second:
        assert second.read_only_reason is None


def test_a_store_opened_for_reading_only_writes_nothing(filled: Store, path: Path, act: MakeAct) -> None:
    filled.close()
    before = path.read_bytes()
    with closing(Store.open(path, read_only=True)) as reader:
        assert (reader.device_id, len(reader.jobs())) == ("d1", 1)
        with pytest.raises(StoreProblem, match="opened for reading only"):
            reader.add_attachment(
                "j1", b"x", name_text="x", media_type="x", core_id="", procedure_id="", act=act()
            )
    assert path.read_bytes() == before
    assert [entry.name for entry in path.parent.iterdir()] == [path.name]


def test_another_thread_than_the_opening_one_may_write(
    filled: Store, act: MakeAct, reading: MakeReading
) -> None:
    entered = [reading() for _ in range(20)]
    threads = [
        threading.Thread(target=lambda one=one: filled.append("j1", act(), readings=[one])) for one in entered
    ]
    [thread.start() for thread in threads]
    [thread.join() for thread in threads]
    assert sorted(entry.device_seq for entry in filled.load("j1").readings) == list(range(1, 21))
    assert filled.faults() == []


def test_a_closed_store_says_that_it_is_closed(filled: Store) -> None:
    filled.close()
    filled.close()
    with pytest.raises(StoreProblem, match="is closed"):
        filled.jobs()


FULL_DISK = """
import resource, signal, sys
from pathlib import Path
from app.jobstore import Store, StoreProblem
from app.record.act import Act
path = Path(sys.argv[1])
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
store = Store.open(path)
size = path.stat().st_size
# The journal may grow past nothing, so the very first page that is put aside fails.
resource.setrlimit(resource.RLIMIT_FSIZE, (size if sys.argv[2] == "store" else 512, resource.RLIM_INFINITY))
act = Act("remark", "p1", "A. Tester", "2031-05-04T08:42:07Z", 120, "Etc/UTC", {}, None, "x" * 50000)
try:
    store.append("j1", act)
    print("saved")
except StoreProblem as problem:
    print(problem.sentence)
resource.setrlimit(resource.RLIMIT_FSIZE, (resource.RLIM_INFINITY, resource.RLIM_INFINITY))
print(len(store.events()), store.faults())
store.append("j1", act)
print(len(store.events()), store.faults())
store.close()
"""


@pytest.mark.skipif(sys.platform == "win32", reason="file size limits are a thing of POSIX")
@pytest.mark.parametrize("full", ["store", "journal"])
def test_after_a_failed_write_the_store_is_read_again_and_says_first_what_is_safe(
    filled: Store, path: Path, act: MakeAct, reading: MakeReading, full: str
) -> None:
    filled.append("j1", act(), readings=[reading(), reading()])
    filled.close()
    lines = run(FULL_DISK, path, full).splitlines()
    assert lines[0].startswith(
        "Your 2 readings are saved, the last one of 2031-05-04 10:42:07. The last entry was not"
    )
    assert lines[1:] == ["2 []", "3 []"]


def run(script: str, *args: object) -> str:
    root = Path(__file__).parents[3]
    done = subprocess.run(
        [sys.executable, "-c", script, *map(str, args)], cwd=root, capture_output=True, text=True, timeout=60
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


def test_a_file_that_may_not_be_written_opens_for_reading_and_says_why(
    filled: Store, path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    filled.close()
    monkeypatch.setattr("os.access", lambda *_: False)
    with closing(Store.open(path)) as reader:
        assert reader.read_only_reason == "The file jobs.coreleaf may not be written to."
        assert len(reader.jobs()) == 1


def test_a_folder_that_may_not_be_written_opens_for_reading_and_says_why(
    filled: Store, path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    filled.close()
    monkeypatch.setattr(lock, "take", refuse)
    with closing(Store.open(path)) as reader:
        assert reader.read_only_reason == "The folder of jobs.coreleaf may not be written to."
        assert len(reader.jobs()) == 1


def test_a_new_store_in_a_folder_that_may_not_be_written_is_refused(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(lock, "take", refuse)
    with pytest.raises(
        StoreProblem, match=r"Nothing was changed\. A store cannot be made .*Permission denied"
    ):
        Store.open(path)


def test_a_file_that_cannot_be_attached_leaves_no_event(
    filled: Store, act: MakeAct, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("app.jobstore.attachments.write_whole", refuse)
    with pytest.raises(StoreProblem, match=r"plate\.png was not attached.*Permission denied"):
        filled.add_attachment(
            "j1",
            b"x",
            name_text="plate.png",
            media_type="image/png",
            core_id="",
            procedure_id="",
            act=act(),
        )
    assert (filled.attachments("j1"), len(filled.events())) == ([], 1)


def test_a_job_whose_parts_were_spoiled_is_said_to_be_unreadable(filled: Store, path: Path) -> None:
    filled.close()
    with closing(sqlite3.connect(path)) as raw:
        raw.execute("UPDATE part SET body = '{' WHERE part_id = 'header'")
        raw.commit()
    with closing(Store.open(path)) as store:
        with pytest.raises(StoreProblem, match=r"A piece of the file jobs\.coreleaf can't be read"):
            store.load("j1")
        assert "can't be read" in store.faults()[0]


def test_a_store_that_fails_in_its_first_transaction_is_let_go(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("app.jobstore.store.settle_device", refuse)
    with pytest.raises(PermissionError):
        Store.open(path)
    monkeypatch.undo()
    with closing(Store.open(path)) as store:
        assert store.read_only is False


def test_a_disk_that_is_gone_altogether_is_said_to_be_unreadable(
    filled: Store, path: Path, act: MakeAct
) -> None:
    away = path.with_name("elsewhere")
    filled._engine.dispose()  # type: ignore[union-attr]
    path.rename(away)
    path.mkdir()
    with pytest.raises(
        StoreProblem, match=r"still in the file jobs\.coreleaf, but it can't be read at the moment"
    ):
        filled.append("j1", act())
    path.rmdir()
    away.rename(path)
    filled.append("j1", act())
    assert filled.faults() == []


def refuse(*_: object) -> None:
    raise PermissionError(13, "Permission denied")
