"""The files inside the PDF of a sheet, and the sheet made fit for an archive: PDF/A-3b, before it is signed.

Every sheet carries what it was printed from, so that it can be opened as a job again: a draft the job file, a
frozen revision its record, a signed one the signature over that record as well.

Format: ISO 19005-3 (PDF/A-3), level B. The claim is made for the sheet as it is before the first signature;
what a signature adds is not held against that standard here.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Sequence
from dataclasses import dataclass
from io import BytesIO
from typing import TYPE_CHECKING, Any, Final, Literal

if TYPE_CHECKING:
    from pikepdf import Pdf

JOB_FILE: Final = "job.json"
RECORD_FILE: Final = "record.json"
RECORD_SIGNATURE_FILE: Final = "record.p7s"
FLAVOUR: Final = "3b"

_METADATA_DATE: Final = re.compile(rb"(?<=<xmp:MetadataDate>)[^<]*")
_PRODUCER: Final = re.compile(rb"(?<=<pdf:Producer>)[^<]*")
_MAKER: Final = re.compile(rb"(?<=<xmp:CreatorTool>)[^<]*")


@dataclass(frozen=True, slots=True)
class Attached:
    """A file to go into the sheet. `relation` is how it stands to the pages, in the words of ISO 32000-2."""

    name_text: str
    data: bytes
    media_type: str
    about_text: str
    relation: Literal["Source", "Data", "Supplement"] = "Source"


def job_file(data: bytes) -> Attached:
    """The job file of a draft."""
    return Attached(JOB_FILE, data, "application/json", "The job: every plate and reading.")


def record_file(data: bytes) -> Attached:
    """The record of a frozen revision."""
    return Attached(RECORD_FILE, data, "application/json", "The record: every reading and finding.")


def record_signature(data: bytes) -> Attached:
    """The signature over the record."""
    about = "Signature of who tested, over the record."
    return Attached(RECORD_SIGNATURE_FILE, data, "application/pkcs7-signature", about, "Supplement")


def archived(sheet: bytes, attached: Sequence[Attached], *, issued_epoch_s: float) -> bytes:
    """The drawn sheet as PDF/A-3b with these files in it; the same bytes for the same input."""
    import pikepdf
    from pikepdf import pdfa

    at = dt.datetime.fromtimestamp(issued_epoch_s, dt.UTC)
    with pikepdf.open(BytesIO(sheet)) as pdf:
        for one in attached:
            pdf.attachments[one.name_text] = pikepdf.AttachedFileSpec(
                pdf,
                one.data,
                description=one.about_text,
                filename=one.name_text,
                mime_type=one.media_type,
                creation_date=_pdf_date(at),
                mod_date=_pdf_date(at),
                relationship=pikepdf.Name(f"/{one.relation}"),
            )
        pdfa.prepare(pdf, FLAVOUR)
        _take_back_the_clock(pdf, at)
        out = BytesIO()
        # Format: plain cross references, which every reader of PDF and the check of the signatures knows.
        how = pdfa.resolve_save_kwargs(
            FLAVOUR,
            deterministic_id=True,
            min_version="1.7",
            object_stream_mode=pikepdf.ObjectStreamMode.disable,
        )
        pdf.save(out, **how)
    return out.getvalue()


def _take_back_the_clock(pdf: Pdf, at: dt.datetime) -> None:
    """The library puts the time of day and its own name into the metadata; both are those of the sheet."""
    metadata: Any = pdf.Root.Metadata
    packet = metadata.read_bytes()
    maker = _MAKER.search(packet)
    packet = _METADATA_DATE.sub(at.isoformat().encode("ascii"), packet)
    if maker is not None:
        packet = _PRODUCER.sub(lambda _: maker[0], packet)
        pdf.docinfo["/Producer"] = pdf.docinfo["/Creator"]
    metadata.write(packet)


def _pdf_date(at: dt.datetime) -> str:
    return at.strftime("D:%Y%m%d%H%M%SZ")
