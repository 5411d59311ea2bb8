from __future__ import annotations

from app.log import BEFORE, FILE, MOST_BYTES, Log, place_of


def test_a_line_says_what_kind_of_thing_happened_where_and_how_long_it_took(tmp_path):
    log = Log(tmp_path)
    log.note("verb", "app.desk.readings:ReadingVerbs.key", 12.4)
    time, *said = (tmp_path / "log" / FILE).read_text(encoding="utf-8").split()
    assert said == ["verb", "app.desk.readings:ReadingVerbs.key", "12", "ms"]
    assert time.endswith("Z")


def test_what_is_no_place_in_the_program_is_not_written(tmp_path):
    log = Log(tmp_path)
    log.note("page", "J. Velde")
    log.note("page", "30.9 mA")
    written = (tmp_path / "log" / FILE).read_text(encoding="utf-8")
    assert written.count("page elsewhere") == 2
    assert "Velde" not in written


def test_the_log_stays_within_its_bounds(tmp_path, monkeypatch):
    monkeypatch.setattr("app.log.MOST_BYTES", 2_000)
    log = Log(tmp_path)
    [log.note("verb", "app.log:Log.note", float(number)) for number in range(500)]
    assert len(Log.files_in(tmp_path)) == BEFORE + 1
    assert all(path.stat().st_size <= 2_000 for path in Log.files_in(tmp_path))
    assert (BEFORE + 1) * MOST_BYTES <= 1_000_000


def test_a_folder_that_takes_no_log_stops_nothing(tmp_path):
    (tmp_path / "log").write_text("a file where the folder would be", encoding="utf-8")
    log = Log(tmp_path)
    log.note("start")
    assert Log.files_in(tmp_path) == []


def test_the_place_of_a_function_inside_another_is_named():
    assert place_of(lambda: None).startswith("tests.app.test_log:test_the_place_of")
