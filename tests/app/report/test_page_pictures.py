from __future__ import annotations

import shutil
import subprocess

import numpy as np
import pytest

from app.report.page_pictures import Entry, Hit, NoPages, PagedFile
from app.report.pen import Pen
from tests.app.report.reading_back import words_of

A4 = (595.3, 841.9)


def paper(*pages: str) -> bytes:
    """A PDF with a line of words and a black square on each page, and a bookmark to it."""
    pen = Pen(*A4)
    for number, words in enumerate(pages):
        pen.bookmark(f"p{number}", f"Part {number + 1}")
        pen.text(72.0, 100.0, words, size=12.0)
        pen.box(100.0 + 40.0 * number, 300.0, 80.0, 80.0, fill=0.0)
        pen.next_page()
    return pen.finish(title="t", author="a", producer="p", issued_epoch_s=0.0)


def grey_of(file: PagedFile, page: int, dpi: float) -> np.ndarray:
    shown = file.picture(page, dpi, grey=True)
    return np.frombuffer(shown.pixels, np.uint8).reshape(shown.height, shown.stride)[:, : shown.width]


@pytest.fixture
def file():
    with PagedFile(paper("Turns 1\u202f000 at 15\u00a0VA", "second page", "third page")) as opened:
        yield opened


def test_a_page_is_as_large_as_its_paper_at_that_fineness(file):
    shown = file.picture(0, 144.0)
    assert (file.page_count, file.size_pt(0)) == (3, pytest.approx(A4, abs=0.1))
    assert (shown.width, shown.height, shown.channels) == (1191, 1684, 4)
    assert len(shown.pixels) == shown.stride * shown.height


def test_a_picture_is_what_another_program_draws(tmp_path):
    """Reference: pdftoppm of poppler, which shares no code with PDFium."""
    if shutil.which("pdftoppm") is None:
        pytest.fail("pdftoppm is wanted to compare with: apt-get install poppler-utils")
    data = paper("Turns", "second")
    (tmp_path / "a.pdf").write_bytes(data)
    subprocess.run(
        ["pdftoppm", "-gray", "-r", "100", "-f", "2", "-l", "2", "a.pdf", "page"],
        cwd=tmp_path, check=True, timeout=60,
    )  # fmt: skip
    (drawn,) = tmp_path.glob("page*.pgm")
    head, body = drawn.read_bytes().split(b"\n255\n", 1)
    wide, high = (int(part) for part in head.split()[1:3])
    theirs = np.frombuffer(body, np.uint8).reshape(high, wide).astype(float)
    with PagedFile(data) as file:
        ours, other = (grey_of(file, page, 100.0)[:high, :wide].astype(float) for page in (1, 0))
    assert np.abs(ours - theirs).mean() < 0.5
    # The other page differs by a square that stands 40 points further left.
    assert np.abs(other - theirs).mean() > 2.0


def test_bands_are_the_page_cut_in_pieces(file):
    whole = grey_of(file, 1, 203.0)
    tops = range(0, whole.shape[0], 277)
    bands = [file.band(1, 203.0, top, 277, grey=True) for top in tops]
    pieces = [np.frombuffer(b.pixels, np.uint8).reshape(b.height, b.stride)[:, : b.width] for b in bands]
    assert np.array_equal(np.vstack(pieces), whole)
    assert max(band.height for band in bands) == 277


@pytest.mark.parametrize("wanted", ["1 000", "turns 1 000 AT 15 va", "  15   VA "])
def test_words_are_found_whatever_gaps_and_letters_they_are_printed_with(file, wanted, tmp_path):
    (hit,) = file.find(0, wanted)
    printed = words_of(paper("Turns 1\u202f000 at 15\u00a0VA"), tmp_path)
    assert hit.page == 0
    assert printed[0].left - 2 < hit.boxes[0].left < hit.boxes[-1].right < printed[-1].right + 2
    assert printed[0].top - 4 < hit.boxes[0].top < hit.boxes[0].bottom < printed[0].bottom + 4


def test_what_does_not_stand_there_is_not_found(file):
    assert file.find(1, "Turns") == ()
    assert file.find(0, "   ") == ()
    assert file.find(0, ".*") == ()
    assert isinstance(file.find(2, "THIRD")[0], Hit)


def test_the_list_of_contents_leads_to_pages(file):
    assert file.entries() == tuple(Entry(f"Part {n + 1}", n, 0) for n in range(3))
    assert "second page" in file.words(1)


@pytest.mark.parametrize("data", [b"", b"no pdf", b"%PDF-1.7\n%%EOF"])
def test_bytes_that_are_no_pdf_are_refused_in_a_sentence(data):
    with pytest.raises(NoPages) as refused:
        PagedFile(data)
    assert refused.value.sentence.endswith(".")
