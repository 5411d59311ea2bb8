"""The archive on the command line: set up, taken in, checked, made anew; each failure a sentence."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from app import commands
from app.desk.archive import founding
from app.jobstore.archive import Archive
from app.record import authority, certificates, envelope
from tests.app.record.signed_scene import MADE, office, revision_of

PASSPHRASE = "four words of a sentence"


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A computer of the office that believes who signed the revisions of the tests."""
    monkeypatch.setattr(envelope, "MEMORY_KIB", 64)
    monkeypatch.setenv("CORELEAF_HOME", str(tmp_path))
    (tmp_path / "trust").mkdir()
    (tmp_path / "trust" / "office.pem").write_bytes(certificates.pem_of(office().certificate.der))
    its = authority.Authority.make(
        tmp_path / "office", name_text="Archive Office", passphrase=PASSPHRASE, at=dt.datetime.now(dt.UTC)
    )
    (tmp_path / "trust" / "archive-office.pem").write_bytes(its.certificate_pem)
    secret = tmp_path / "secret"
    secret.write_text(PASSPHRASE + "\n")
    secret.chmod(0o600)
    monkeypatch.setenv(founding.PASSPHRASE_FILE, str(secret))
    monkeypatch.setattr("sys.stdin", _Typed())
    return tmp_path


class _Typed:
    """Somebody who types the passphrase of the office."""

    def isatty(self) -> bool:
        return False

    def readline(self) -> str:
        return PASSPHRASE + "\n"


def run(home: Path, *words: str) -> int:
    return commands.run(["archive", *words, "--place", str(home / "archive.sqlite")])


def left(home: Path, *data: bytes) -> None:
    archive = Archive.open(str(home / "archive.sqlite"))
    for one in data:
        archive.deposit(one, device_text="laptop", at=MADE)
    archive.close()


def test_an_archive_is_set_up_filled_checked_and_made_anew(
    home: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(home, "setup", "--office", str(home / "office")) == 0
    assert "The archive is ready" in capsys.readouterr().out
    left(home, revision_of().packed, b"rubbish")

    assert run(home, "intake") == 0
    told = capsys.readouterr().out
    assert "1 filed, 0 passed on to be reviewed, 1 refused" in told
    assert "laptop: " in told
    assert run(home, "check") == 0
    assert "Whole: 1 records" in capsys.readouterr().out
    assert run(home, "rebuild") == 0
    assert run(home, "roots") == 0
    assert len(capsys.readouterr().out.splitlines()) == 2


def test_setting_up_again_changes_nothing(home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(home, "setup", "--office", str(home / "office")) == 0
    first = capsys.readouterr().out
    assert run(home, "setup", "--office", str(home / "office")) == 0
    assert capsys.readouterr().out == first


def test_without_an_office_a_request_is_written_and_nothing_is_taken_in(
    home: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(home, "setup") == 0
    assert "archive-request.pem" in capsys.readouterr().out
    assert run(home, "intake") == 73
    assert "has not enrolled the archive's key" in capsys.readouterr().err


def test_intake_without_a_key_says_so(home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(home, "intake") == 73
    assert "set the archive up first" in capsys.readouterr().err


def test_a_passphrase_that_others_can_read_is_not_used(
    home: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (home / "secret").chmod(0o644)
    assert run(home, "intake") == 73
    assert "take their rights away" in capsys.readouterr().err


def test_no_archive_named_is_a_sentence(home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert commands.run(["archive", "roots"]) == 73
    assert "No archive is named" in capsys.readouterr().err


def test_an_archive_that_was_changed_is_found_out(home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    run(home, "setup", "--office", str(home / "office"))
    left(home, revision_of().packed)
    run(home, "intake")
    archive = Archive.open(str(home / "archive.sqlite"))
    with archive._engine.begin() as connection:
        connection.exec_driver_sql("DROP TRIGGER deposit_no_update")
        connection.exec_driver_sql("UPDATE deposit SET data = x'00'")
    archive.close()

    assert run(home, "check") == 1
    assert "not the one that came" in capsys.readouterr().out


def test_records_are_written_out_with_their_digests(home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    run(home, "setup", "--office", str(home / "office"))
    left(home, revision_of().packed, revision_of("1043").packed)
    run(home, "intake")
    out = home / "out"

    assert run(home, "export", "--out", str(out), "--what", "sheets,packs,csv", "--number", "1042") == 0
    assert {path.suffix for path in out.iterdir()} == {".pdf", ".zip", ".csv", ".json", ""}
    assert run(home, "export", "--out", str(out), "--what", "everything") == 73
    assert "takes sheets, packs, csv and json" in capsys.readouterr().err


def test_packs_of_a_folder_are_taken_in_and_put_away(home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = home / "shared"
    folder.mkdir()
    (folder / "issued.zip").write_bytes(revision_of().packed)
    run(home, "setup", "--office", str(home / "office"))
    capsys.readouterr()

    assert run(home, "intake", "--folder", str(folder)) == 0
    assert "1 filed" in capsys.readouterr().out
    assert (folder / "taken" / "issued.zip").exists()
