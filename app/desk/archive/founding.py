"""Setting up the office's archive: its tables, its key, who may do what; and the key opened for a run."""

from __future__ import annotations

import datetime as dt
import os
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Final

from app.desk.keys import refusals
from app.desk.view import Refusal
from app.jobstore.archive import Archive
from app.jobstore.archive.engine import POSTGRESQL, engine_of
from app.jobstore.archive.roles import grant
from app.record import authority, people_keys

if TYPE_CHECKING:
    from app.record.people_keys import Unlocked

# The archive's key is kept like that of a person, under this number.
KEY_ID: Final = "archive"
# Where the passphrase of a process that nobody sits at lies: a file that its own login alone can read.
PASSPHRASE_FILE: Final = "CORELEAF_ARCHIVE_PASSPHRASE_FILE"


@dataclass(frozen=True, slots=True, kw_only=True)
class Founded:
    """What was set up: the number of the archive, the fingerprint of its key, the roles that exist now."""

    archive_id: str
    fingerprint: str
    enrolled: bool
    roles: tuple[str, ...]
    request: Path | None


def found(
    place_text: str,
    *,
    keys: Path,
    passphrase: str,
    office: Path | None,
    office_passphrase: str,
    clock: Callable[[], dt.datetime],
) -> Founded:
    """Make the tables and the key of an archive, and have the key enrolled by the office of that folder.

    What is there already stays. Without an office a request is written, which the office enrols elsewhere.
    """
    archive = Archive.open(place_text)
    try:
        with refusals():
            if not people_keys.has_key(keys, KEY_ID):
                people_keys.make(
                    keys, person_id=KEY_ID, name_text="Archive", passphrase=passphrase, at=clock()
                )
            key = people_keys.unlock(keys, KEY_ID, passphrase)
            request = None
            if "archive" not in key.certificate.roles:
                if office is None:
                    request = _asked(keys, key)
                else:
                    _enrol(keys, key, office, office_passphrase, clock())
            certificate = people_keys.load_certificate(keys, KEY_ID)
        return Founded(
            archive_id=archive.archive_id,
            fingerprint=certificate.fingerprint,
            enrolled="archive" in certificate.roles,
            roles=_roles(archive),
            request=request,
        )
    finally:
        archive.close()


def unlocked(keys: Path, passphrase: str) -> Unlocked:
    """The archive's key, able to sign; Refusal where there is none or the office has not enrolled it."""
    if not people_keys.has_key(keys, KEY_ID):
        raise Refusal("Nothing was taken in. There is no key of the archive here: set the archive up first.")
    with refusals():
        key = people_keys.unlock(keys, KEY_ID, passphrase)
    if "archive" not in key.certificate.roles:
        raise Refusal(
            "Nothing was taken in. The office has not enrolled the archive's key yet, so its receipts would "
            "count for nothing: have the request enrolled, and put the certificate beside the key."
        )
    return key


def passphrase_of_process() -> str | None:
    """The passphrase for a process that nobody sits at; None where no file is named for it."""
    named = os.environ.get(PASSPHRASE_FILE)
    if not named:
        return None
    path = Path(named)
    try:
        text = path.read_text("utf-8").strip("\r\n")
    except (OSError, UnicodeDecodeError) as problem:
        raise Refusal(f"Nothing was taken in. The passphrase in {path} cannot be read.") from problem
    if os.name == "posix" and path.stat().st_mode & 0o077:
        raise Refusal(f"Nothing was taken in. {path} can be read by others: take their rights away first.")
    return text


def _asked(keys: Path, key: Unlocked) -> Path:
    from app.record.files import write_whole

    path = keys / "archive-request.pem"
    write_whole(path, people_keys.request(key))
    return path


def _enrol(keys: Path, key: Unlocked, office: Path, office_passphrase: str, at: dt.datetime) -> None:
    its = authority.Authority.open(office, office_passphrase)
    pem = its.enrol(people_keys.request(key), roles=("archive",), at=at)
    people_keys.take_certificate(keys, KEY_ID, pem)


def _roles(archive: Archive) -> tuple[str, ...]:
    if archive.url.get_backend_name() != POSTGRESQL:
        return ()
    engine = engine_of(archive.url)
    try:
        return grant(engine)
    finally:
        engine.dispose()
