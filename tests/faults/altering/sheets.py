"""Ways with a sheet."""

from __future__ import annotations

from collections.abc import Callable
from io import BytesIO

from app.record import sheet_signing
from app.record.verdict import Outcome, Verdict
from tests.app.record.signed_scene import (
    APPROVED_AT,
    PLACES,
    TESTED_AT,
    TESTER_ID,
    person,
    revision_of,
    the_approver,
    the_tester,
)
from tests.faults.altering.hands import checked, countersigned, repacked


def stamped_after_signing() -> Verdict:
    return checked(stamped())


def stamped() -> bytes:
    """The signed sheet with something drawn on its first page afterwards."""
    from pyhanko.pdf_utils import generic
    from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter

    writer = IncrementalPdfFileWriter(BytesIO(revision_of().sheet))
    stamp = writer.add_object(generic.StreamObject(stream_data=b"0 0 50 50 re f"))
    writer.add_stream_to_page(0, stamp)
    out = BytesIO()
    writer.write(out)
    return out.getvalue()


def stamped_by_the_approver() -> Verdict:
    """More than the form is changed before the second signature, which then covers it."""
    from pyhanko.pdf_utils import generic
    from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter

    writer = IncrementalPdfFileWriter(BytesIO(revision_of().certified))
    writer.add_stream_to_page(0, writer.add_object(generic.StreamObject(stream_data=b"0 0 50 50 re f")))
    sheet = sheet_signing._signed(
        writer, the_approver(), field="ApprovedBy", meaning="approved", at=APPROVED_AT, picture=None
    )
    return checked(sheet)


def signature_cut_off() -> Verdict:
    sheet = revision_of().sheet
    return checked(sheet[: len(revision_of().certified)])


def signature_cut_off_with_pack() -> Verdict:
    return checked(revision_of().certified, against=revision_of().packed)


def both_signatures_cut_off() -> Verdict:
    return checked(revision_of().pages)


def page_of_another_sheet() -> Verdict:
    return checked(with_the_page_of_another())


def with_the_page_of_another() -> bytes:
    """The drawing of a page is taken from another sheet, byte for byte in its place."""
    one, other = revision_of().sheet, revision_of("7781").sheet
    place = next(at for at, (ours, theirs) in enumerate(zip(one, other, strict=False)) if ours != theirs)
    return one[:place] + other[place : place + 400] + one[place + 400 :]


def sheet_of_another_record() -> Verdict:
    return checked(repacked(sheet=revision_of("7781").sheet))


def sheet_of_another_pack() -> Verdict:
    return checked(revision_of("7781").sheet, against=revision_of().packed)


def container_of_another_sheet() -> Verdict:
    from app.record.sheet_reading import containers

    one, other = revision_of().sheet, revision_of("7781").sheet
    (_, ours), (_, theirs) = containers(one), containers(other)
    return checked(one[: ours.start] + other[theirs.start : theirs.end] + one[ours.end :])


def container_in_small_letters() -> Verdict:
    from app.record.sheet_reading import containers

    sheet, (_, last) = revision_of().sheet, containers(revision_of().sheet)
    return checked(sheet[: last.start] + sheet[last.start : last.end].lower() + sheet[last.end :])


def something_in_the_padding() -> Verdict:
    from app.record.sheet_reading import containers

    sheet, (_, last) = revision_of().sheet, containers(revision_of().sheet)
    return checked(sheet[: last.end - 3] + b"AB" + sheet[last.end - 1 :])


def same_person_signs_both_in_the_sheet() -> Verdict:
    both = person("A. Tester", TESTER_ID, ("tester", "approver"))
    sheet = sheet_signing.certify(revision_of().pages, both, at=TESTED_AT, places=PLACES)
    return checked(countersigned(sheet, both))


def same_key_under_two_names() -> Verdict:
    other = person("C. Double", "p-double", ("approver",), key_name="A. Tester")
    return checked(countersigned(revision_of().certified, other))


def roles_swapped_in_the_sheet() -> Verdict:
    its = revision_of()
    sheet = sheet_signing.certify(its.pages, the_approver(), at=TESTED_AT)
    return checked(countersigned(sheet, the_tester()))


def signed_by_a_usual_program() -> Verdict:
    """A PDF with a signature of another make: valid for a reader of PDF, but no sheet of ours."""
    from asn1crypto import keys, x509
    from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
    from pyhanko.sign import signers
    from pyhanko_certvalidator.registry import SimpleCertificateStore

    from app.record.people_keys import private_bytes

    signer = signers.SimpleSigner(
        signing_cert=x509.Certificate.load(the_tester().certificate.der),
        signing_key=keys.PrivateKeyInfo.load(private_bytes(the_tester().private)),
        cert_registry=SimpleCertificateStore(),
    )
    out = signers.sign_pdf(
        IncrementalPdfFileWriter(BytesIO(revision_of().pages)),
        signers.PdfSignatureMetadata(field_name="Signature1"),
        signer=signer,
    )
    return checked(out.getvalue())


def unspoiled_sheet() -> Verdict:
    return checked(revision_of().sheet, against=revision_of().packed)


WAYS: dict[Outcome, tuple[Callable[[], Verdict], ...]] = {
    "genuine": (unspoiled_sheet,),
    "altered": (
        stamped_after_signing,
        stamped_by_the_approver,
        signature_cut_off_with_pack,
        page_of_another_sheet,
        sheet_of_another_record,
        container_of_another_sheet,
        container_in_small_letters,
        something_in_the_padding,
        same_person_signs_both_in_the_sheet,
        same_key_under_two_names,
        roles_swapped_in_the_sheet,
        signed_by_a_usual_program,
    ),
    "cannot tell": (
        signature_cut_off,
        both_signatures_cut_off,
        sheet_of_another_pack,
    ),
}
