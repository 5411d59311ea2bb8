"""An archive of the first released form opens for ever, with everything in it."""

from __future__ import annotations

import shutil
from pathlib import Path

from app.desk.archive.looking_through import look_through
from app.jobstore.archive import Archive, Asked
from app.record import pack
from app.record.canonical import digest
from app.record.trust import NOBODY

SPECIMEN = Path(__file__).resolve().parents[3] / "specimens" / "archive_form_1.coreleaf-archive"
ROOT = "80edb55d7da3dd2f0425e94df144095d3df31b76d87c4adbd9732883cf87b2d8"


def opened(tmp_path: Path) -> Archive:
    return Archive.open(str(shutil.copy(SPECIMEN, tmp_path / "archive")))


def test_it_opens_with_what_was_filed_in_it(tmp_path: Path) -> None:
    archive = opened(tmp_path)
    (hit,) = archive.search(Asked(words_text="1042")).hits
    papers = archive.papers(hit.filed.record_digest)

    assert (hit.filed.revision, hit.filed.tested_by_text) == (2, "A. Tester")
    assert digest(papers.record) == hit.filed.record_digest
    assert [one.reason_text for one in archive.holds()] == ["claim"]
    assert archive.tree().root == ROOT
    archive.close()


def test_its_order_is_whole_and_its_packs_read(tmp_path: Path) -> None:
    archive = opened(tmp_path)
    faults = look_through(archive, NOBODY).faults
    archive.close()

    # Nobody here vouches for the people of the specimen; nothing else is wanting.
    assert all("vouches" in one for one in faults)


def test_what_is_searched_can_be_made_anew_from_it(tmp_path: Path) -> None:
    archive = opened(tmp_path)
    before = archive.search(Asked(superseded_too=True))
    assert archive.rebuild() == 2
    assert archive.search(Asked(superseded_too=True)) == before
    assert pack.read_pack(archive.packed(before.hits[0].filed.record_digest)).issued
    archive.close()
