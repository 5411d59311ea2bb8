"""The evidence pack: the papers of a revision in one zip file, for somebody who does not have this program.

Reading one is capped: names, number and size of the files are known beforehand, and no file is unpacked
beyond what it may hold, whatever its head says.
"""

from __future__ import annotations

import zipfile
from io import BytesIO
from typing import Final

from app.record.carried import is_name
from app.record.certificates import certificate_of
from app.record.cms import Signature
from app.record.instants import epoch_s
from app.record.papers import NAMES, Papers
from app.record.problem import CannotTell

ZIP_MARK: Final = b"PK\x03\x04"
LARGEST_FILE: Final = 64 * 1024 * 1024
LARGEST_PACK: Final = 128 * 1024 * 1024
# The earliest date that a zip file can hold; the dates that count are inside.
_DATE: Final = (1980, 1, 1, 0, 0, 0)
_KINDS: Final = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)
_ENCRYPTED: Final = 1
_REGULAR: Final = 0o100644 << 16


def build_pack(papers: Papers) -> bytes:
    """The zip file of the papers; the same papers give the same bytes."""
    buffer = BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as packed:
        for name, data in papers.files().items():
            entry = zipfile.ZipInfo(name, _DATE)
            entry.external_attr = _REGULAR
            entry.compress_type = zipfile.ZIP_DEFLATED
            packed.writestr(entry, data)
    return buffer.getvalue()


def read_pack(data: bytes) -> Papers:
    """The papers of a zip file; CannotTell where it is no pack, is damaged, or would grow too large."""
    try:
        with zipfile.ZipFile(BytesIO(data)) as packed:
            entries = packed.infolist()
            _demand_modest(entries)
            files = {entry.filename: _unpacked(packed, entry) for entry in entries}
    # Assumption: on bytes that somebody else arranged, zipfile and zlib may raise anything.
    except CannotTell:
        raise
    except Exception as problem:
        raise CannotTell("The pack is damaged: it cannot be unpacked.") from problem
    if "record.json" not in files:
        raise CannotTell("This is no evidence pack: there is no record in it.")
    attached = {name: content for name, content in files.items() if is_name(name)}
    known = {NAMES[name]: content for name, content in files.items() if name in NAMES}
    return Papers(**known, attached=attached)


def readme(*, tested: Signature, approved: Signature, issued_epoch_s: int, office: bytes | None) -> bytes:
    """One page on how anybody checks the pack with sha256sum and openssl alone."""
    assert tested.at is not None
    assert approved.at is not None
    lines = (
        ("record.p7s", "record.json", epoch_s(tested.at), f"tested, by {tested.certificate.name_text}"),
        (
            "approved.p7s",
            "record.json",
            epoch_s(approved.at),
            f"approved, by {approved.certificate.name_text}",
        ),
        ("issued.p7s", "issued.json", issued_epoch_s, f"issued, by {approved.certificate.name_text}"),
    )
    commands = "\n\n".join(
        f"   # {meaning}\n   openssl cms -verify -binary -purpose any -inform DER -in {signature} \\\n"
        f"     -content {content} -CAfile office-ca.pem -attime {at} -out /dev/null"
        for signature, content, at, meaning in lines
    )
    mark = "not in this pack: ask the office for it" if office is None else certificate_of(office).fingerprint
    return _README.format(commands=commands, office=mark).encode("utf-8")


def _demand_modest(entries: list[zipfile.ZipInfo]) -> None:
    names = [entry.filename for entry in entries]
    if len(set(names)) != len(names):
        raise CannotTell("The pack holds two files of one name.")
    strange = [name for name in names if name not in NAMES and not is_name(name)]
    if strange:
        raise CannotTell(f"This is no evidence pack: it holds {strange[0][:60]!r}.")
    if max((entry.file_size for entry in entries), default=0) > LARGEST_FILE:
        raise CannotTell(f"The pack would unpack to a file of more than {LARGEST_FILE >> 20} MB.")
    if sum(entry.file_size for entry in entries) > LARGEST_PACK:
        raise CannotTell(f"The pack would unpack to more than {LARGEST_PACK >> 20} MB.")
    if any(entry.flag_bits & _ENCRYPTED or entry.compress_type not in _KINDS for entry in entries):
        raise CannotTell("The pack is packed in a way that this program does not write.")


def _unpacked(packed: zipfile.ZipFile, entry: zipfile.ZipInfo) -> bytes:
    with packed.open(entry) as stream:
        # Never more than the head says: a head that lies is found out by the checksum or here.
        content = stream.read(entry.file_size + 1)
    if len(content) != entry.file_size:
        raise CannotTell("The pack is damaged: a file in it is of another size than it says.")
    return content


_README: Final = """\
How to check this pack without the program that made it

You need sha256sum and openssl. Unpack all files into one folder and work there.

1. Whose office is it? The fingerprint of office-ca.pem is to be the one you have from the office by
   another way, such as the contract, the letterhead or a telephone call. In this pack it claims to be
   {office}

   openssl x509 -in office-ca.pem -outform DER | sha256sum

2. Are the signatures those of people of that office? Each line is to end with "Verification successful".
   The number behind -attime is the time of signing, in seconds since 1970.

{commands}

3. Is every file the one that was issued? Compare with the digests under "files" in issued.json.

   sha256sum record.json record.p7s approved.p7s sheet.pdf events.json README.txt

   Photographs and certificates, where the job has any, are the files under attached/. Each bears its own
   digest as its name; what it was called, and where it belongs, stands under "attached" in record.json.

4. Who tested and who approved stands in issued.json. They are to be two people. The names in the
   certificates are shown by

   openssl cms -cmsout -inform DER -in record.p7s -print | grep subject

5. Was one of them ended by the office? Ask the office, or look into office-register.json.

No program can know whether the readings were taken as they were keyed in, whether the clocks of the
computers were right, or whether the two people agreed to say what is not so.
"""


__all__ = ["LARGEST_FILE", "LARGEST_PACK", "ZIP_MARK", "build_pack", "read_pack", "readme"]
