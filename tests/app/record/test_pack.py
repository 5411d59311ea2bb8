from __future__ import annotations

import io
import shlex
import shutil
import subprocess
import zipfile
from pathlib import Path

import pytest

from app.record import cms, pack
from app.record.problem import CannotTell
from tests.app.record.signed_scene import APPROVED_AT, revision_of

ITS = revision_of()


def zipped(files: dict[str, bytes], kind: int = zipfile.ZIP_DEFLATED) -> bytes:
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", kind) as packed:
        for name, data in files.items():
            packed.writestr(name, data)
    return buffer.getvalue()


def test_the_papers_come_back_from_their_pack() -> None:
    assert pack.read_pack(ITS.packed) == ITS.papers


def test_the_same_papers_give_the_same_bytes() -> None:
    assert pack.build_pack(ITS.papers) == ITS.packed


@pytest.mark.skipif(not shutil.which("openssl"), reason="openssl is not on this computer")
def test_the_lines_of_the_read_me_run_as_they_are_printed(tmp_path: Path) -> None:
    with zipfile.ZipFile(io.BytesIO(ITS.packed)) as packed:
        packed.extractall(tmp_path)
    text = (tmp_path / "README.txt").read_text("utf-8").replace("\\\n", " ")
    lines = [line for line in text.splitlines() if line.strip().startswith("openssl cms -verify")]

    said = [
        subprocess.run(shlex.split(line), cwd=tmp_path, capture_output=True, check=False) for line in lines
    ]

    assert [one.stderr.strip() for one in said] == [b"CMS Verification successful"] * 3


@pytest.mark.skipif(not shutil.which("sha256sum"), reason="sha256sum is not on this computer")
def test_the_digests_of_the_issue_are_those_of_sha256sum(tmp_path: Path) -> None:
    with zipfile.ZipFile(io.BytesIO(ITS.packed)) as packed:
        packed.extractall(tmp_path)
    text = (tmp_path / "README.txt").read_text("utf-8")
    line = next(line for line in text.splitlines() if line.strip().startswith("sha256sum"))

    said = subprocess.run(shlex.split(line), cwd=tmp_path, capture_output=True, text=True, check=True).stdout

    issued = (tmp_path / "issued.json").read_text("utf-8")
    found = [name for digest, name in map(str.split, said.splitlines()) if f'"{name}":"{digest}"' in issued]
    assert found == ["record.json", "record.p7s", "approved.p7s", "sheet.pdf", "events.json", "README.txt"]


def test_without_an_office_the_read_me_says_whom_to_ask() -> None:
    text = pack.readme(
        tested=cms.check(ITS.record, ITS.tested, what="it"),
        approved=cms.check(ITS.record, ITS.approved, what="it"),
        issued_epoch_s=int(APPROVED_AT.timestamp()),
        office=None,
    )

    assert b"ask the office for it" in text


def test_a_file_that_would_grow_too_large_is_not_unpacked(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(pack, "LARGEST_FILE", 1 << 20)

    with pytest.raises(CannotTell, match="file of more than 1 MB"):
        pack.read_pack(zipped({"record.json": bytes((1 << 20) + 1)}))


def test_files_that_are_too_large_together_are_not_unpacked(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(pack, "LARGEST_PACK", 1 << 20)

    with pytest.raises(CannotTell, match="more than 1 MB"):
        pack.read_pack(zipped({"record.json": bytes(1 << 20), "record.p7s": b"1"}))


@pytest.mark.parametrize("name", ["../record.json", "/etc/record.json", "record.json/", "x" * 500])
def test_a_strange_name_is_refused(name: str) -> None:
    with pytest.raises(CannotTell, match="no evidence pack"):
        pack.read_pack(zipped({name: b""}))


def test_another_way_of_packing_is_refused() -> None:
    with pytest.raises(CannotTell, match="in a way"):
        pack.read_pack(zipped({"record.json": b"{}"}, zipfile.ZIP_BZIP2))


@pytest.mark.parametrize("files", [{}, {"sheet.pdf": b""}], ids=["empty", "without a record"])
def test_a_pack_has_a_record(files: dict[str, bytes]) -> None:
    with pytest.raises(CannotTell, match="no record in it"):
        pack.read_pack(zipped(files))


def test_a_file_of_another_size_than_it_says_is_refused() -> None:
    data = zipped({"record.json": b"0123456789"}, zipfile.ZIP_STORED)
    ten, nine = (10).to_bytes(4, "little"), (9).to_bytes(4, "little")
    short = data[:30] + data[30:].replace(ten + ten, nine + nine)

    with pytest.raises(CannotTell, match="damaged"):
        pack.read_pack(short)


def test_a_file_that_ends_before_its_size_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(zipfile.ZipExtFile, "read", lambda *_: b"")

    with pytest.raises(CannotTell, match="another size"):
        pack.read_pack(zipped({"record.json": b"0123456789"}))
