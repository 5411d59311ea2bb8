"""The sheet as bytes to show and to print, and the trail of printing."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from app.desk import Change, Desk
from app.desk.journey import journey_of
from app.jobstore import Store
from app.report.page_pictures import PagedFile
from ctcore.errors import BadInput
from tests.app.desk.stages import FIELD, Stages


def text_of(data: bytes) -> str:
    with PagedFile(data) as file:
        return "\n".join(file.words(page) for page in range(file.page_count))


@pytest.fixture
def read(desk: Desk, job_id: str, key_point: Callable[[str, str, str], Change]) -> str:
    key_point("1", "20", "3.4")
    return job_id


def test_an_open_job_shows_a_draft_that_says_so(desk: Desk, read: str, tmp_path: Path) -> None:
    shown = desk.sheet_pdf(read)

    assert (shown.standing, shown.revision, shown.revisions, shown.open_for_draft) == ("draft", 1, (), True)
    assert shown.data == desk.sheet(read, tmp_path / "a.pdf").read_bytes()
    assert "DRAFT, NOT FROZEN" in text_of(shown.data)


def test_a_frozen_job_shows_its_revision(desk: Desk, read: str) -> None:
    desk.freeze(read)
    shown = desk.sheet_pdf(read)

    assert (shown.standing, shown.revision, shown.revisions) == ("frozen", 1, (1,))
    assert "DRAFT" not in text_of(shown.data)


def test_an_earlier_revision_can_be_shown_beside_the_draft_of_the_next(desk: Desk, read: str) -> None:
    desk.freeze(read)
    desk.revise(read, "retest")

    assert desk.sheet_pdf(read).standing == "draft"
    assert desk.sheet_pdf(read).revision == 2
    assert desk.sheet_pdf(read, revision=1).standing == "frozen"


def test_of_a_signed_revision_the_signed_file_itself_is_shown(stages: Stages, tmp_path: Path) -> None:
    stage = stages.stage("handed_in").copied(tmp_path / "stage")
    from tests.app.desk.making import Clock, sit_down

    seat = sit_down(stage.folder / FIELD, Clock(stage.now))
    kept = [one for one in seat.store.attachments(stage.job_id) if one.name_text == "revision-1-tested.pdf"]
    shown = seat.desk.sheet_pdf(stage.job_id)

    assert shown.standing == "signed"
    assert shown.data == seat.store.attachment_bytes(kept[0])
    seat.close()


def test_a_job_that_is_not_on_the_table_is_put_back(desk: Desk, read: str) -> None:
    desk.close_job(read)
    desk.sheet_pdf(read)

    assert read not in desk._open


def test_printing_is_in_the_trail_and_moves_nothing(desk: Desk, store: Store, read: str) -> None:
    desk.freeze(read)
    before, count = journey_of(store.events(read)), len(store.events(read))
    desk.note_printed(read, revision=1, standing="frozen", words="pages 1 to 2, 3 copies, on Office 2")

    assert len(store.events(read)) == count + 1
    assert journey_of(store.events(read)) == before
    (line,) = [line for line in desk.trail(read) if line.what_text == "printed"]
    assert line.to_text == "revision 1, frozen: pages 1 to 2, 3 copies, on Office 2"
    assert desk.view(read).job.state == "handed_in"
    assert store.faults() == []


def test_field_forms_are_written_and_their_number_stays_in_the_trail(
    desk: Desk, store: Store, read: str, core_id: str, tmp_path: Path
) -> None:
    path = tmp_path / "forms.pdf"
    change = desk.field_forms(read, path, core_ids=(core_id,), procedure_ids=("ratio",), paper="Letter")
    line = desk.trail(read)[-1]

    assert line.what_text == "field forms written"
    assert line.to_text.endswith(", 1 page")
    number = line.to_text.removeprefix("number ").removesuffix(", 1 page")
    assert number in text_of(path.read_bytes())
    assert number in change.note_text
    assert desk.view(read).job.readings == change.view.job.readings


def test_forms_of_a_test_that_is_not_planned_are_refused(desk: Desk, read: str, tmp_path: Path) -> None:
    count = len(desk.trail(read))
    with pytest.raises(BadInput, match="none of the tests asked for is planned"):
        desk.field_forms(read, tmp_path / "forms.pdf", procedure_ids=("load",))

    assert not (tmp_path / "forms.pdf").exists()
    assert len(desk.trail(read)) == count
