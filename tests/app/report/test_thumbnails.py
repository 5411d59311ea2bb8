"""Photographs as small grey pictures: in proportion, deterministic, nothing where nothing can be decoded."""

from __future__ import annotations

import io

import pytest
from PIL import Image

from app.report.pen import Pen
from app.report.thumbnails import HEIGHT, Thumbnail


def photo(width: int, height: int, form: str = "JPEG") -> bytes:
    """A picture of one colour."""
    made = io.BytesIO()
    Image.new("RGB", (width, height), (200, 120, 40)).save(made, form)
    return made.getvalue()


def _drawn(block: Thumbnail) -> bytes:
    pen = Pen(200.0, 100.0)
    block.draw(pen, 10.0, 10.0, 150.0)
    pen.next_page()
    return pen.finish(title="", author="", producer="", issued_epoch_s=946684800.0)


@pytest.mark.parametrize("form", ["JPEG", "PNG"])
def test_a_photograph_is_drawn_and_twice_the_same(form: str) -> None:
    block = Thumbnail(photo(1200, 900, form))
    assert block.height(150.0) == HEIGHT + 3.0
    assert b"/DeviceGray" in _drawn(block)
    assert _drawn(block) == _drawn(Thumbnail(photo(1200, 900, form)))


def test_a_photograph_of_forty_megapixels_is_taken() -> None:
    assert Thumbnail(photo(8000, 5000)).shows


@pytest.mark.parametrize("data", [b"", b"\xff\xd8\xff\xe0 no picture", photo(300, 200)[:200]])
def test_what_cannot_be_decoded_leaves_its_place_empty(data: bytes) -> None:
    block = Thumbnail(data)
    assert (block.shows, block.height(150.0)) == (False, 0.0)


def test_the_sheet_of_a_job_shows_its_photograph(desk_with_photo) -> None:  # type: ignore[no-untyped-def]
    from app.report.sheet import render

    given = desk_with_photo
    assert list(given.pictures)
    assert len(render(given)) > 0


@pytest.fixture
def desk_with_photo(tmp_path):  # type: ignore[no-untyped-def]
    from app.desk import Desk
    from app.jobstore import Store
    from app.settings import Settings
    from ctcore.job import Header

    path = tmp_path / "plate.jpg"
    path.write_bytes(photo(1200, 900))
    store = Store.open(tmp_path / "store.sqlite")
    desk = Desk(store, Settings.load(tmp_path))
    job_id = desk.new_job(Header(number_text="77")).view.job.job_id
    desk.attach(job_id, path)
    yield desk.sheet_input(job_id)
    store.close()
