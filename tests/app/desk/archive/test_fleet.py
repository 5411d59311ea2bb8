"""Figures of the office: jobs by state, instruments due by registers and archive, and tables on paper."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pypdfium2

from app.desk import Desk
from app.desk.archive.fleet import count_archive, due_lines, when_due
from app.desk.registers import Registers
from app.jobstore.archive import Archive, DueInstrument
from app.report.plain_tables import PlainTable
from ctcore.job import Instrument
from tests.app.jobstore.archive.conftest import file, first

DAY = date(2031, 6, 1)


def due(serial_text: str, due_on: str) -> DueInstrument:
    return DueInstrument(
        name_text="Meter", serial_text=serial_text, due_on=due_on, record_count=1, last_used_on="2031-05-04"
    )


def test_jobs_are_counted_by_state_with_their_worst_verdict(desk: Desk, job_id: str) -> None:
    (count,) = desk.state_counts()
    assert (count.state, count.job_count, count.core_count) == ("planned", 1, 6)
    assert sum(number for _, number in count.by_worst) == 1


def test_a_day_is_told_by_how_near_it_is() -> None:
    days = ("2031-05-31", "2031-07-01", "2031-08-30", "2031-08-31", "", "spring")
    assert [when_due(day, DAY) for day in days] == ["ended", "soon", "later", "far", "unknown", "unknown"]


def test_the_registers_know_better_than_an_old_record_when_an_instrument_is_due() -> None:
    kept = Registers(
        instruments=(
            Instrument(instrument_id="i1", name_text="Ohmmeter", serial_text="m 7", due_on="2031-06-10"),
            Instrument(instrument_id="i2", name_text="Voltmeter", serial_text="V 1", due_on="2033-01-01"),
        )
    )
    found = due_lines(
        kept, [due("M 7", "2030-01-01"), due("V 1", "2031-01-01"), due("X", "2031-07-20")], today=DAY
    )
    assert [(one.serial_text, one.due_on, one.when) for one in found] == [
        ("m 7", "2031-06-10", "soon"),
        ("X", "2031-07-20", "later"),
    ]
    assert found[0].last_used_on == "2031-05-04"


def test_an_archive_is_counted_in_one_go(place: str) -> None:
    archive = Archive.open(place)
    file(archive, first())
    found = count_archive(archive, today=DAY)
    archive.close()
    assert found.deviations == ()
    assert sum(one.outside_count for one in found.faults) >= 0


def test_tables_are_put_on_paper_whole_with_their_heads_on_every_page(desk: Desk, tmp_path: Path) -> None:
    rows = tuple((f"Instrument {n}", f"S-{n}", "2031-06-10") for n in range(120))
    table = PlainTable(heading="Instruments due", heads=("Name", "Serial", "Due"), rows=rows)
    empty = PlainTable(heading="Open deviations", heads=("Found",), rows=(), note_text="None is open.")
    desk.write_tables(tmp_path / "f.pdf", (table, empty), title="Figures", said_text="As of 1 Jun 2031.")

    document = pypdfium2.PdfDocument(str(tmp_path / "f.pdf"))
    pages = [page.get_textpage().get_text_range() for page in document]
    whole = "\n".join(pages)
    document.close()
    assert len(pages) > 2
    assert all("Serial" in page for page in pages[:-1])
    assert all(f"S-{n}" in whole for n in range(120))
    assert f"page {len(pages)} of {len(pages)}" in pages[-1]
    assert "None is open." in whole


def test_a_table_is_copied_parted_by_tabs() -> None:
    table = PlainTable(heading="Due", heads=("Name", "Day"), rows=(("A\nmeter", "2031-06-10"),))
    assert table.tabbed == "Due\nName\tDay\nA meter\t2031-06-10"
