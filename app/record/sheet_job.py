"""What a sheet was printed from, taken out of its PDF: a job file, or the record of a frozen revision."""

from __future__ import annotations

from dataclasses import dataclass

from app.record import cms, sheet_reading
from app.record.problem import Altered, CannotTell
from app.record.sheet_files import JOB_FILE, RECORD_FILE, RECORD_SIGNATURE_FILE
from app.record.signing import THE_RECORD


@dataclass(frozen=True, slots=True)
class Inside:
    """The bytes in a sheet and whether they are a record; a draft holds a job file."""

    data: bytes
    is_record: bool


def inside(sheet: bytes) -> Inside:
    """What is in the sheet; where it is signed, only what the signatures cover.

    Altered where a signature does not hold or the record in the sheet is not the one that was signed,
    CannotTell where the PDF is no sheet of this program. Whether to trust who signed is not asked here.
    """
    files = _signed_files(sheet) if sheet_reading.is_signed(sheet) else sheet_reading.attached_to(sheet)
    if RECORD_SIGNATURE_FILE in files and not sheet_reading.is_signed(sheet):
        raise Altered("The signatures of the sheet were cut off; the record in it was signed.")
    found = [name for name in (JOB_FILE, RECORD_FILE) if name in files]
    if len(found) != 1:
        raise CannotTell("This PDF is no sheet of this program: there is no job in it, or more than one.")
    return Inside(files[found[0]], found[0] == RECORD_FILE)


def _signed_files(sheet: bytes) -> dict[str, bytes]:
    read = sheet_reading.read(sheet)
    files = read.attached
    if RECORD_FILE not in files or RECORD_SIGNATURE_FILE not in files:
        raise CannotTell("The signed record is not attached to the sheet.")
    tested = cms.check(files[RECORD_FILE], files[RECORD_SIGNATURE_FILE], what=THE_RECORD)
    if tested.certificate != read.signatures[0].signature.certificate:
        raise Altered("The sheet and the record attached to it were signed by different people.")
    return files
