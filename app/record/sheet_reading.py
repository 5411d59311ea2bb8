"""The signatures in the PDF of a sheet read back, first on the bytes alone, then with a reader of PDF.

Signatures in a PDF leave their own containers uncovered. So each container has to be, to the last digit,
what this program wrote: capital hexadecimal digits of one signature as `cms` checks it, then zeros. Every
other byte of the file is covered by the last signature. Only when all of that holds does a reader of PDF see
the file.
"""

from __future__ import annotations

import datetime as dt
import hashlib
import logging
import re
import zlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from io import BytesIO
from typing import TYPE_CHECKING, Any, Final

from app.record import cms, der
from app.record.cms import Signature
from app.record.problem import Altered, CannotTell
from app.record.sheet_signing import APPROVED_FIELD, SIGNATURE_FIELDS, TESTED_FIELD, TEXT_FIELDS
from ctcore.errors import BadInput

if TYPE_CHECKING:
    from pyhanko.pdf_utils.reader import PdfFileReader
    from pyhanko.sign.validation.pdf_embedded import EmbeddedPdfSignature

PDF_MARK: Final = b"%PDF-"
_WHAT: Final = "the sheet"
_SIGNED_MARK: Final = b"/ByteRange"
_RANGE_MARK: Final = b"/ByteRange [0 "
_RANGE: Final = re.compile(rb"/ByteRange \[0 (\d{1,10}) (\d{1,10}) (\d{1,10})\]")
_DIGITS: Final = re.compile(rb"<[0-9A-F]+>")
_MEANING_OF: Final[Mapping[str, cms.Meaning]] = {TESTED_FIELD: "tested", APPROVED_FIELD: "approved"}
_LONGEST_ATTACHED: Final = 64 * 1024 * 1024
_NOT_OURS: Final = "This PDF is no signed sheet of this program: "
_WRITTEN_ANEW: Final = (
    "This PDF is no signed sheet of this program, or another program wrote it anew after it was signed: "
    "there is no signature in it that can be read."
)
_TOO_LONG: Final = "The files attached to the sheet are larger than this program reads."

# The reader of PDF would write what it makes of hostile bytes to standard error.
logging.getLogger("pyhanko").addHandler(logging.NullHandler())


@dataclass(frozen=True, slots=True)
class Container:
    """Where a signature lies in the file: from `start` to `end`, and how far the bytes it covers go."""

    start: int
    end: int
    covered_to: int


@dataclass(frozen=True, slots=True)
class SheetSignature:
    """A signature of a sheet with the field it stands in and the time it says."""

    field: str
    signature: Signature
    at: dt.datetime


@dataclass(frozen=True, slots=True)
class ReadSheet:
    """A sheet whose signatures fit: who signed, what is attached, what the block of the approval says."""

    signatures: tuple[SheetSignature, ...]
    attached: dict[str, bytes]
    texts: dict[str, str]

    def signed(self, field: str) -> SheetSignature | None:
        """The signature in that field."""
        return next((one for one in self.signatures if one.field == field), None)


def containers(sheet: bytes) -> list[Container]:
    """The containers of signatures in the order of the file, found without reading the PDF."""
    found = []
    for match in _RANGE.finditer(sheet):
        start, end, rest = (int(number) for number in match.groups())
        if start < end <= end + rest <= len(sheet) and _DIGITS.fullmatch(sheet, start, end):
            found.append(Container(start, end, end + rest))
    return sorted(found, key=lambda one: one.start)


def demand_covered(sheet: bytes, found: Sequence[Container]) -> list[Signature]:
    """What each container says; Altered where one does not fit or the last leaves bytes uncovered."""
    if sheet.count(_RANGE_MARK) != len(found):
        raise Altered("A signature of the sheet is damaged.")
    if found[-1].covered_to != len(sheet):
        raise Altered("Something was added to the sheet after it was signed.")
    return [_checked(sheet, one) for one in found]


def read(sheet: bytes) -> ReadSheet:
    """The sheet with its signatures checked; Altered or CannotTell where they do not hold."""
    found = containers(sheet)
    if not found:
        # Where even the mark of a signature is spoiled there is nothing left to compare with.
        raise CannotTell(_WRITTEN_ANEW)
    signatures = demand_covered(sheet, found)
    reader, embedded = _opened(sheet)
    if len(embedded) != len(found):
        raise Altered("The sheet holds a signature that is none of this program.")
    read_signatures = []
    for signature, container, one in zip(signatures, found, embedded, strict=True):
        read_signatures.append(_read_signature(signature, container, one))
    fields = [one.field for one in read_signatures]
    if fields != list(SIGNATURE_FIELDS[: len(fields)]):
        raise CannotTell(f"{_NOT_OURS}its signatures stand in other fields.")
    _demand_only_filled_in(embedded)
    return ReadSheet(tuple(read_signatures), _attached(reader), _texts(reader))


def is_signed(sheet: bytes) -> bool:
    """Whether a sheet carries, or pretends to carry, a signature."""
    return _SIGNED_MARK in sheet


def attached_to(sheet: bytes) -> dict[str, bytes]:
    """The files in a sheet that nobody signed; CannotTell where it is no sheet of ours."""
    try:
        return _attached(_opened(sheet)[0])
    except CannotTell as problem:
        if problem.sentence == _TOO_LONG:
            raise
        raise CannotTell("This PDF is no sheet of this program: there is no job in it.") from problem


def _checked(sheet: bytes, one: Container) -> Signature:
    digits = sheet[one.start + 1 : one.end - 1]
    filled = bytes.fromhex(digits.decode("ascii") + "0" * (len(digits) % 2))
    try:
        length = der.first_length(filled)
    except BadInput as problem:
        raise Altered("The signature of the sheet is damaged.") from problem
    if filled[length:].strip(b"\0") or len(digits) % 2:
        raise Altered("Something was put behind the signature of the sheet.")
    covered = hashlib.sha256(sheet[: one.start])
    covered.update(sheet[one.end : one.covered_to])
    signature = cms.check_digest(covered.digest(), filled[:length], what=_WHAT)
    if signature.at is not None:
        raise Altered("The signature of the sheet was taken from elsewhere.")
    return signature


def _opened(sheet: bytes) -> tuple[PdfFileReader, list[EmbeddedPdfSignature]]:
    from pyhanko.pdf_utils.reader import PdfFileReader

    try:
        reader = PdfFileReader(BytesIO(sheet), strict=True)
        return reader, list(reader.embedded_signatures)
    # Assumption: on bytes that somebody else arranged, a reader of PDF may raise anything.
    except Exception as problem:
        raise CannotTell(f"{_NOT_OURS}it cannot be read.") from problem


def _read_signature(signature: Signature, container: Container, one: EmbeddedPdfSignature) -> SheetSignature:
    from pyhanko.pdf_utils import generic

    reach = [0, container.start, container.end, container.covered_to - container.end]
    if [int(number) for number in one.byte_range] != reach:
        raise Altered("The signatures of the sheet do not stand where the file says.")
    field = str(one.field_name)
    if field not in _MEANING_OF or one.sig_object.get("/SubFilter") != "/ETSI.CAdES.detached":
        raise CannotTell(f"{_NOT_OURS}its signatures are of another kind.")
    if _MEANING_OF[field] != signature.meaning:
        raise Altered(f'The signature in the field {field} was made to say "{signature.meaning}".')
    try:
        at = generic.parse_pdf_date(one.sig_object["/M"], strict=True)
        if at.tzinfo is None:
            raise ValueError("a time of no zone")
    except Exception as problem:
        raise CannotTell(f"{_NOT_OURS}a signature has no time.") from problem
    return SheetSignature(field, signature, at.astimezone(dt.UTC))


def _demand_only_filled_in(embedded: Sequence[EmbeddedPdfSignature]) -> None:
    """Altered where anything but the form was changed between the first signature and the end of the file."""
    from pyhanko.sign.fields import MDPPerm
    from pyhanko.sign.validation import SignatureCoverageLevel

    first = embedded[0]
    try:
        first.compute_integrity_info()
        told = first.summarise_integrity_info()
        whole = first.coverage in (
            SignatureCoverageLevel.ENTIRE_FILE,
            SignatureCoverageLevel.ENTIRE_REVISION,
        )
        permitted = first.docmdp_level == MDPPerm.FILL_FORMS and bool(told["docmdp_ok"])
    except Exception as problem:
        raise Altered("What was added to the sheet after the first signature cannot be read.") from problem
    if not whole or not permitted:
        raise Altered("More than its form was changed in the sheet after it was signed as tested.")


def _attached(reader: PdfFileReader) -> dict[str, bytes]:
    """The files in the sheet; all of them together are unpacked no further than this program reads."""
    files: dict[str, bytes] = {}
    room = _LONGEST_ATTACHED
    try:
        named = reader.root["/Names"]["/EmbeddedFiles"]["/Names"]
        for at in range(0, len(named), 2):
            data = _file(named[at + 1], room)
            room -= len(data)
            files[str(named[at])] = data
    except CannotTell:
        raise
    except Exception as problem:
        raise CannotTell(f"{_NOT_OURS}the record is not attached to it.") from problem
    return files


def _file(spec: Any, room: int) -> bytes:
    """The bytes of an embedded file; CannotTell where they are more than there is room for."""
    stream = spec["/EF"]["/F"]
    packed: bytes = stream.encoded_data
    if "/Filter" not in stream:
        if len(packed) > room:
            raise CannotTell(_TOO_LONG)
        return packed
    if stream["/Filter"] != "/FlateDecode" or "/DecodeParms" in stream:
        raise ValueError("packed in a way that no sheet of this program is")
    data = zlib.decompressobj().decompress(packed, room + 1)
    if len(data) > room:
        raise CannotTell(_TOO_LONG)
    return data


def _texts(reader: PdfFileReader) -> dict[str, str]:
    try:
        fields = [one.get_object() for one in reader.root["/AcroForm"]["/Fields"]]
        found = {str(one["/T"]): one for one in fields}
        return {name: str(found[name]["/V"]) for name in TEXT_FIELDS}
    except Exception as problem:
        raise CannotTell(f"{_NOT_OURS}it has no block for the approval.") from problem
