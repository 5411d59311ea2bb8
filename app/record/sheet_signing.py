"""The two signatures in the PDF of a sheet: PAdES, both fields made before the first signature.

The tester certifies the sheet, which from then on permits nothing but filling in its form; the approver fills
in the block of the approval and signs over the whole file, as an incremental update. What else stands in the
sheet cannot be changed by either of them without the signatures showing it.

Pictures of fields come as small PDFs of one page each, drawn by the caller with embedded fonts.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from io import BytesIO
from typing import TYPE_CHECKING, Any, Final

from app.record import cms
from app.record.people_keys import Unlocked
from app.record.problem import Altered, SigningProblem

if TYPE_CHECKING:
    from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter

TESTED_FIELD: Final = "TestedBy"
APPROVED_FIELD: Final = "ApprovedBy"
SIGNATURE_FIELDS: Final = (TESTED_FIELD, APPROVED_FIELD)
DECISION_FIELD: Final = "ApprovalDecision"
CONCESSIONS_FIELD: Final = "ApprovalConcessions"
NAME_FIELD: Final = "ApprovalName"
TIME_FIELD: Final = "ApprovalTime"
TEXT_FIELDS: Final = (DECISION_FIELD, CONCESSIONS_FIELD, NAME_FIELD, TIME_FIELD)

# Assumption: a certificate of ours takes about 1.2 kB in a signature of about 2 kB; names of 64 signs of four
# bytes each, three times over, add less than 1 kB. Counted in hexadecimal digits.
_ROOM_DIGITS: Final = 2 * 4096
_READ_ONLY: Final = 1
_MULTILINE: Final = 1 << 12
_PRINTED: Final = 4
_FILL_FORMS: Final = 2


@dataclass(frozen=True, slots=True)
class Place:
    """Where a field stands: page counted from 0, corners in points from the lower left of the page."""

    field: str
    page: int
    left: float
    lower: float
    right: float
    upper: float


def certify(
    sheet: bytes,
    key: Unlocked,
    *,
    at: dt.datetime,
    places: Sequence[Place] = (),
    picture: bytes | None = None,
) -> bytes:
    """The sheet with its form, signed as tested; the record is in it already.

    A field without a place is there all the same, but not to be seen. SigningProblem for no fresh sheet.
    """
    from app.record.sheet_reading import is_signed

    if is_signed(sheet):
        raise SigningProblem("Nothing was signed: this sheet carries a signature already.")
    writer = _opened(sheet)
    where = {place.field: place for place in places}
    for field in SIGNATURE_FIELDS:
        _add_signature_field(writer, field, where.get(field))
    for field in TEXT_FIELDS:
        _add_text_field(writer, field, where.get(field))
    return _signed(writer, key, field=TESTED_FIELD, meaning="tested", at=at, picture=picture)


def countersign(
    sheet: bytes,
    key: Unlocked,
    *,
    at: dt.datetime,
    texts: Mapping[str, str],
    pictures: Mapping[str, bytes],
    picture: bytes | None = None,
) -> bytes:
    """The certified sheet with the block of the approval filled in, signed as approved.

    `texts` and `pictures` are by the names in TEXT_FIELDS. SigningProblem where the sheet was not certified,
    was altered since, was signed by the same person, or is approved already.
    """
    from app.record.sheet_reading import containers, demand_covered

    found = containers(sheet)
    if len(found) != 1:
        raise SigningProblem("Nothing was signed: this sheet does not wait for an approval.")
    try:
        tested = demand_covered(sheet, found)[0]
    except Altered as problem:
        raise SigningProblem(f"Nothing was signed. {problem.sentence}") from problem
    demand_two_people(tested, key)
    writer = _opened(sheet)
    fields = {str(one["/T"]): one for one in (field.get_object() for field in _fields(writer))}
    for name in TEXT_FIELDS:
        _fill(writer, fields[name], texts.get(name, ""), pictures.get(name))
    return _signed(writer, key, field=APPROVED_FIELD, meaning="approved", at=at, picture=picture)


def demand_two_people(tested: cms.Signature, key: Unlocked) -> None:
    """SigningProblem where the approver is who tested, by number or by key."""
    theirs, ours = tested.certificate, key.certificate
    if ours.person_id == theirs.person_id or ours.key_fingerprint == theirs.key_fingerprint:
        raise SigningProblem(
            f"Nothing was signed: {theirs.name_text} tested this job, and somebody else has to approve it."
        )


def _opened(sheet: bytes) -> IncrementalPdfFileWriter:
    from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
    from pyhanko.pdf_utils.misc import PdfError

    try:
        return IncrementalPdfFileWriter(BytesIO(sheet), strict=True)
    except (PdfError, ValueError) as problem:
        raise SigningProblem("Nothing was signed: the sheet cannot be read as PDF.") from problem


def _add_signature_field(writer: IncrementalPdfFileWriter, field: str, place: Place | None) -> None:
    from pyhanko.sign.fields import SigFieldSpec, append_signature_field

    box = None if place is None else (place.left, place.lower, place.right, place.upper)
    spec = SigFieldSpec(
        field,
        on_page=0 if place is None else place.page,
        box=box,  # type: ignore[arg-type]  # whole points are asked for by the hint alone
        empty_field_appearance=True,
    )
    append_signature_field(writer, spec)


def _add_text_field(writer: IncrementalPdfFileWriter, field: str, place: Place | None) -> None:
    from pyhanko.pdf_utils import generic
    from pyhanko.pdf_utils.generic import pdf_name, pdf_string

    page = writer.find_page_for_modification(0 if place is None else place.page)[0]
    corners = (0, 0, 0, 0) if place is None else (place.left, place.lower, place.right, place.upper)
    flags = _READ_ONLY | (_MULTILINE if field == CONCESSIONS_FIELD else 0)
    made = writer.add_object(
        generic.DictionaryObject(
            {
                pdf_name("/Type"): pdf_name("/Annot"),
                pdf_name("/Subtype"): pdf_name("/Widget"),
                pdf_name("/FT"): pdf_name("/Tx"),
                pdf_name("/T"): pdf_string(field),
                pdf_name("/V"): pdf_string(""),
                # Format: no font is named, because viewers would draw with one that is not embedded;
                # read-only fields are shown by their picture.
                pdf_name("/DA"): pdf_string("0 g"),
                pdf_name("/Ff"): generic.NumberObject(flags),
                pdf_name("/F"): generic.NumberObject(_PRINTED),
                pdf_name("/Rect"): generic.ArrayObject([generic.FloatObject(one) for one in corners]),
                pdf_name("/P"): page,
            }
        )
    )
    _fields(writer).append(made)
    writer.update_container(_fields(writer))
    writer.register_annotation(page, made)


def _fields(writer: IncrementalPdfFileWriter) -> Any:
    return writer.root["/AcroForm"]["/Fields"]


def _fill(writer: IncrementalPdfFileWriter, field: Any, text: str, picture: bytes | None) -> None:
    from pyhanko.pdf_utils.generic import pdf_name, pdf_string

    field[pdf_name("/V")] = pdf_string(text)
    _show(writer, field, picture)
    writer.update_container(field)


def _show(writer: IncrementalPdfFileWriter, field: Any, picture: bytes | None) -> None:
    """Put the first page of a small PDF in the place of the field."""
    from pyhanko.pdf_utils import generic
    from pyhanko.pdf_utils.generic import pdf_name
    from pyhanko.pdf_utils.reader import PdfFileReader

    if picture is not None:
        shown = writer.import_page_as_xobject(PdfFileReader(BytesIO(picture)))
        field[pdf_name("/AP")] = generic.DictionaryObject({pdf_name("/N"): shown})
        writer.update_container(field)


def _signed(
    writer: IncrementalPdfFileWriter,
    key: Unlocked,
    *,
    field: str,
    meaning: cms.Meaning,
    at: dt.datetime,
    picture: bytes | None,
) -> bytes:
    from pyhanko.sign.fields import MDPPerm, SigSeedSubFilter
    from pyhanko.sign.signers import cms_embedder
    from pyhanko.sign.signers.pdf_byterange import SignatureObject

    embedding = cms_embedder.PdfCMSEmbedder().write_cms(field, writer, existing_fields_only=True)
    _show(writer, next(embedding).get_object(), picture)
    placeholder = SignatureObject(
        timestamp=at.astimezone(dt.UTC).replace(microsecond=0),
        subfilter=SigSeedSubFilter.PADES,
        name=key.certificate.name_text,
        reason=meaning,
        bytes_reserved=_ROOM_DIGITS,
    )
    permitted = cms_embedder.SigMDPSetup(
        md_algorithm="sha256",
        certify=meaning == "tested",
        docmdp_perms=MDPPerm(_FILL_FORMS) if meaning == "tested" else None,
    )
    embedding.send(cms_embedder.SigObjSetup(sig_placeholder=placeholder, mdp_setup=permitted))
    prepared, output = embedding.send(cms_embedder.SigIOSetup(md_algorithm="sha256"))
    # Format: PAdES keeps the time of signing in the dictionary of the PDF, which the signature covers.
    signature = cms.sign_digest(prepared.document_digest, key, meaning=meaning, at=None)
    embedding.send(signature)
    signed: bytes = output.getvalue()
    return signed
