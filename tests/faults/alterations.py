"""What people might do to signed papers, each way by name, with the outcome that it has to have.

The control is a check that believes every certificate that fits its signature: it takes foreign people for
genuine, and must be caught.
"""

from __future__ import annotations

import dataclasses
import datetime as dt
import io
import json
import random
import sys
import zipfile
from collections.abc import Callable, Iterator
from io import BytesIO
from typing import Any

from app.record import cms, pack, papers, sheet_signing, signed_job, signing, trail
from app.record.act import Event
from app.record.canonical import canonical
from app.record.certificates import pem_of
from app.record.papers import Papers
from app.record.people_keys import Unlocked
from app.record.trust import Trust, trust_of
from app.record.verdict import Outcome, Verdict
from app.record.verify import verify_bytes
from tests.app.record.signed_scene import (
    APPROVED_AT,
    APPROVER_ID,
    MADE,
    PLACES,
    TESTED_AT,
    TESTER_ID,
    TEXTS,
    events,
    key_of,
    listed,
    office,
    person,
    revision_of,
    the_approver,
    the_tester,
    trust,
)

_FLIPS_SHORT = 10
_FLIPS_LONG = 400

Case = tuple[Outcome, Callable[[], Verdict]]


def run(long: bool) -> dict[str, Any]:
    """The result of the suite."""
    failed = 0
    for name, (wanted, made) in WAYS.items():
        verdict = made()
        if verdict.outcome != wanted or not verdict.sentences[0]:
            failed += 1
            print(f"{name}: {verdict.outcome} where {wanted} belongs: {verdict.sentences}", file=sys.stderr)
    flips = list(flipped_files(_FLIPS_LONG if long else _FLIPS_SHORT))
    failed += sum(checked(repacked(**{field: data})).outcome != "altered" for field, data in flips)
    return {
        "name": "alterations",
        "cases": len(WAYS) + len(flips),
        "failed": failed,
        "control_caught": control_caught(),
    }


def flipped_files(count: int) -> Iterator[tuple[str, bytes]]:
    """Each file of a pack with a bit turned over, so many times. The office's list is left out: a broken one
    is not used, and says nothing of the other files."""
    chance = random.Random(count)
    its = revision_of().papers
    for name, data in its.files().items():
        for _ in range(count if name != "office-register.json" else 0):
            at = chance.randrange(len(data))
            yield (
                papers.NAMES[name],
                data[:at] + bytes((data[at] ^ 1 << chance.randrange(8),)) + data[at + 1 :],
            )


def checked(data: bytes, *, by: Trust | None = None, against: bytes | None = None) -> Verdict:
    return verify_bytes(data, trust=trust() if by is None else by, pack=against)


def repacked(**changes: bytes | None) -> bytes:
    """The pack of number 1042 with other files in it."""
    return pack.build_pack(dataclasses.replace(revision_of().papers, **changes))


def reissued(given: Papers, key: Unlocked, **changes: Any) -> bytes:
    """A pack whose issue says something else, signed by that key: what an approver could do who lies."""
    issued = dataclasses.replace(papers.from_bytes(revision_of().papers.issued or b""), **changes)
    data = papers.to_bytes(issued)
    signature = cms.sign(data, key, meaning="issued", at=APPROVED_AT)
    return pack.build_pack(dataclasses.replace(given, issued=data, issued_signature=signature))


def whole_pack_by(one: Unlocked, other: Unlocked, *, at: dt.datetime = APPROVED_AT) -> bytes:
    """A pack signed by two others in place of tester and approver, by one who keeps no rule."""
    its = revision_of()
    tested = cms.sign(its.record, one, meaning="tested", at=TESTED_AT)
    approved = cms.sign(its.record, other, meaning="approved", at=at)
    sheet = sheet_signing.certify(
        its.pages,
        one,
        at=TESTED_AT,
        attached=[
            sheet_signing.Attached("record.json", its.record, "application/json", ""),
            sheet_signing.Attached("record.p7s", tested, "application/pkcs7-signature", ""),
        ],
    )
    sheet = countersigned(sheet, other, at=at, name_text=other.certificate.name_text)
    draft = dataclasses.replace(its.draft, tested=tested, approved=approved, sheet=sheet, readme=None)
    issued = papers.Issued(
        job_id=its.job.job_id,
        number_text=its.number_text,
        revision=its.revision_number,
        tested=papers.signed_of(cms.check(its.record, tested, what="it")),
        approved=papers.signed_of(cms.check(its.record, approved, what="it")),
        decision="approved",
        concessions_text="",
        issued_at_utc="2031-05-06T07:15:00Z",
        files=papers.digests(draft),
    )
    data = papers.to_bytes(issued)
    return pack.build_pack(papers.with_issue(draft, data, cms.sign(data, other, meaning="issued", at=at)))


def countersigned(
    sheet: bytes, key: Unlocked, *, at: dt.datetime = APPROVED_AT, name_text: str = ""
) -> bytes:
    """The second signature without the question whether it is another person."""
    from unittest import mock

    texts = {**TEXTS, sheet_signing.NAME_FIELD: name_text}
    with mock.patch.object(sheet_signing, "demand_two_people"):
        return sheet_signing.countersign(sheet, key, at=at, texts=texts, pictures={})


# Ways with a sheet


def stamped_after_signing() -> Verdict:
    from pyhanko.pdf_utils import generic
    from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter

    writer = IncrementalPdfFileWriter(BytesIO(revision_of().sheet))
    stamp = writer.add_object(generic.StreamObject(stream_data=b"0 0 50 50 re f"))
    writer.add_stream_to_page(0, stamp)
    out = BytesIO()
    writer.write(out)
    return checked(out.getvalue())


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
    """The drawing of a page is taken from another sheet, byte for byte in its place."""
    one, other = revision_of().sheet, revision_of("7781").sheet
    place = next(at for at, (ours, theirs) in enumerate(zip(one, other, strict=False)) if ours != theirs)
    return checked(one[:place] + other[place : place + 400] + one[place + 400 :])


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
    sheet = sheet_signing.certify(
        revision_of().pages, both, at=TESTED_AT, attached=revision_of().attached, places=PLACES
    )
    return checked(countersigned(sheet, both))


def same_key_under_two_names() -> Verdict:
    other = person("C. Double", "p-double", ("approver",), key_name="A. Tester")
    return checked(countersigned(revision_of().certified, other))


def roles_swapped_in_the_sheet() -> Verdict:
    its = revision_of()
    sheet = sheet_signing.certify(its.pages, the_approver(), at=TESTED_AT, attached=its.attached)
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


# Ways with a pack


def signer_swapped() -> Verdict:
    other = person("C. Other", "p-other", ("tester",))
    return checked(repacked(tested=cms.sign(revision_of().record, other, meaning="tested", at=TESTED_AT)))


def roles_swapped() -> Verdict:
    its = revision_of().papers
    return checked(repacked(tested=its.approved, approved=its.tested))


def signed_in_the_other_role() -> Verdict:
    return checked(whole_pack_by(the_approver(), the_tester()))


def same_person_twice() -> Verdict:
    both = person("A. Tester", TESTER_ID, ("tester", "approver"))
    return checked(whole_pack_by(both, both))


def same_person_under_a_second_key() -> Verdict:
    again = person("A. Tester", TESTER_ID, ("approver",), key_name="second key of A. Tester")
    return checked(whole_pack_by(the_tester(), again))


def certificate_expired() -> Verdict:
    return checked(whole_pack_by(the_tester(), the_approver(), at=MADE + dt.timedelta(days=1000)))


def signed_before_the_certificate() -> Verdict:
    late = person("B. Approver", APPROVER_ID, ("approver",), at=APPROVED_AT + dt.timedelta(days=1))
    return checked(whole_pack_by(the_tester(), late))


def ended_before_signing() -> Verdict:
    ended = {APPROVER_ID: TESTED_AT}
    by = trust_of([pem_of(office().certificate.der)], [listed(number=2, ended=ended)])
    return checked(revision_of().packed, by=by)


def ended_after_signing() -> Verdict:
    ended = {APPROVER_ID: APPROVED_AT + dt.timedelta(days=1)}
    by = trust_of([pem_of(office().certificate.der)], [listed(number=2, ended=ended)])
    return checked(revision_of().packed, by=by)


def old_list_put_back() -> Verdict:
    """The list in the pack is older than the one known here, which ended the approver."""
    by = trust_of([pem_of(office().certificate.der)], [listed(number=9, ended={APPROVER_ID: TESTED_AT})])
    return checked(repacked(register=listed(number=1)), by=by)


def list_of_another_office() -> Verdict:
    return checked(repacked(register=listed(by="Foreign Office")))


def list_altered() -> Verdict:
    data = (revision_of().papers.register or b"").replace(b"A. Tester", b"A. Wester")
    return checked(repacked(register=data))


def not_in_the_list() -> Verdict:
    stranger = person("D. Stranger", "p-stranger", ("approver",))
    return checked(whole_pack_by(the_tester(), stranger))


def foreign_office() -> Verdict:
    by = trust_of([pem_of(office("Foreign Office").certificate.der)])
    return checked(revision_of().packed, by=by)


def foreign_office_of_the_same_name() -> Verdict:
    """An office that gave itself the name of ours enrolled an approver."""
    from app.record import certificates
    from app.record.certificates import certificate_of

    subject, private = certificates.office_subject("Invented Test Office"), key_of("false office")
    made = certificates.issue(
        certificates.subject_of("B. Approver", APPROVER_ID, ("approver",)),
        key_of("false approver").public_key(),
        issuer=subject,
        by=private,
        at=MADE,
        years=2,
    )
    return checked(whole_pack_by(the_tester(), Unlocked(certificate_of(made), key_of("false approver"))))


def enrolled_by_a_colleague() -> Verdict:
    """Somebody whom the office enrolled plays office."""
    from app.record import certificates
    from app.record.certificates import certificate_of

    made = certificates.issue(
        certificates.subject_of("E. Guest", "p-guest", ("approver",)),
        key_of("guest").public_key(),
        issuer=certificates.load_x509(the_tester().certificate.der).subject,
        by=the_tester().private,
        at=MADE,
        years=2,
    )
    return checked(whole_pack_by(the_tester(), Unlocked(certificate_of(made), key_of("guest"))))


def self_signed_unknown() -> Verdict:
    return checked(whole_pack_by(the_tester(), person("B. Approver", "p-alone", (), by="", key_name="alone")))


def record_with_a_doubled_name() -> Verdict:
    record = revision_of().record.replace(b'"revision":1', b'"revision":1,"revision":1')
    return checked(repacked(record=record))


def record_in_another_form_signed() -> Verdict:
    """Other spellings, properly signed by who declared: still not the one form."""
    its = revision_of()
    record = json.dumps(json.loads(its.record), indent=1).encode()
    return checked(
        repacked(record=record, tested=cms.sign(record, the_tester(), meaning="tested", at=TESTED_AT))
    )


def record_of_a_newer_program() -> Verdict:
    record = canonical({**json.loads(revision_of().record), "version": 2})
    job = signed_job.SignedJob(
        record=record, tested=cms.sign(record, the_tester(), meaning="tested", at=TESTED_AT)
    )
    return checked(signed_job.to_bytes(job))


def record_of_another_job() -> Verdict:
    other = revision_of("7781")
    return checked(repacked(record=other.record, tested=other.tested))


def issue_replayed() -> Verdict:
    other = revision_of("7781").papers
    return checked(repacked(issued=other.issued, issued_signature=other.issued_signature))


def issue_of_the_earlier_revision() -> Verdict:
    older, newer = revision_of().papers, revision_of(revision_number=2).papers
    given = dataclasses.replace(newer, issued=older.issued, issued_signature=older.issued_signature)
    return checked(pack.build_pack(given))


def revision_renumbered() -> Verdict:
    issued = (revision_of().papers.issued or b"").replace(b'"revision":1', b'"revision":2')
    return checked(repacked(issued=issued))


def revision_renumbered_by_the_approver() -> Verdict:
    return checked(reissued(revision_of().papers, the_approver(), revision=2))


def issued_by_somebody_else() -> Verdict:
    other = person("F. Further", "p-further", ("approver",))
    return checked(reissued(revision_of().papers, other))


def issue_names_other_people() -> Verdict:
    told = dataclasses.replace(
        papers.from_bytes(revision_of().papers.issued or b"").tested, name_text="G. Ghost"
    )
    return checked(reissued(revision_of().papers, the_approver(), tested=told))


def concessions_differ_from_the_sheet() -> Verdict:
    return checked(reissued(revision_of().papers, the_approver(), concessions_text="None at all"))


def issue_missing() -> Verdict:
    return checked(repacked(issued=None, issued_signature=None))


def approval_missing() -> Verdict:
    return checked(repacked(approved=None))


def sheet_missing() -> Verdict:
    return checked(repacked(sheet=None))


def readme_altered() -> Verdict:
    return checked(repacked(readme=b"Trust me."))


def certificate_of_another_office_put_in() -> Verdict:
    return checked(repacked(office=pem_of(office("Foreign Office").certificate.der)))


def event_dropped_and_issued() -> Verdict:
    """The approver issues events that do not lead to the head that the record was signed with."""
    return _issued_with_events(trail.to_bytes(_chain_rewritten()))


def event_altered_and_issued() -> Verdict:
    altered = trail.to_bytes(events()).replace(b"freeze", b"thaws!")
    return _issued_with_events(altered)


def events_altered() -> Verdict:
    return checked(repacked(events=trail.to_bytes(events()[:2])))


def _issued_with_events(data: bytes) -> Verdict:
    given = dataclasses.replace(revision_of().papers, events=data)
    return checked(reissued(given, the_approver(), files=papers.digests(given)))


def _chain_rewritten() -> list[Event]:
    from app.record.chain import next_event

    first, freeze, hand_in = events()
    other = next_event(
        freeze.prev, freeze.n, freeze.device_id, dataclasses.replace(freeze.act, person_name_text="H. Hidden")
    )
    return [first, other, next_event(other.head, hand_in.n, hand_in.device_id, hand_in.act)]


# Ways with files that are none


def zip_bomb() -> Verdict:
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as packed:
        packed.writestr("record.json", bytes(80 * 1024 * 1024))
    return checked(buffer.getvalue())


def zip_bomb_that_lies() -> Verdict:
    """The head says a few bytes, and much more is packed."""
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr("record.json", bytes(1024 * 1024))
    size = (1024 * 1024).to_bytes(4, "little")
    return checked(buffer.getvalue().replace(size, (64).to_bytes(4, "little")))


def pack_with_a_file_twice() -> Verdict:
    import warnings

    buffer = io.BytesIO(revision_of().packed)
    with warnings.catch_warnings(), zipfile.ZipFile(buffer, "a") as packed:
        warnings.simplefilter("ignore")
        packed.writestr("record.json", revision_of("7781").record)
    return checked(buffer.getvalue())


def pack_with_a_path() -> Verdict:
    buffer = io.BytesIO(revision_of().packed)
    with zipfile.ZipFile(buffer, "a") as packed:
        packed.writestr("../../outside.txt", b"")
    return checked(buffer.getvalue())


def pack_cut_off() -> Verdict:
    return checked(revision_of().packed[:-400])


def not_a_sheet_of_ours() -> Verdict:
    return checked(b"%PDF-1.4\n1 0 obj <<>> endobj\ntrailer <<>>\n%%EOF\n")


def nothing_at_all() -> Verdict:
    return checked(b"")


def job_file_without_signature() -> Verdict:
    return checked(b'{"format": "coreleaf-job", "version": 1}')


def signed_job_altered() -> Verdict:
    its = revision_of()
    record = its.record.replace(b"1042", b"1043")
    return checked(signed_job.to_bytes(signed_job.SignedJob(record=record, tested=its.tested)))


def answer_to_another_record() -> Verdict:
    one, other = revision_of(), revision_of("7781")
    answer = signing.sign_sent_back(
        other.record, other.tested, the_approver(), at=APPROVED_AT, reason_text="Again."
    )
    job = signed_job.SignedJob(record=one.record, tested=one.tested)
    return checked(signed_job.to_bytes(signed_job.with_answer(job, *answer)))


def unspoiled_pack() -> Verdict:
    return checked(revision_of().packed)


def unspoiled_sheet() -> Verdict:
    return checked(revision_of().sheet, against=revision_of().packed)


WAYS: dict[str, Case] = {
    made.__name__: (wanted, made)  # type: ignore[misc]
    for wanted, ways in (
        (
            "genuine",
            (unspoiled_pack, unspoiled_sheet, ended_after_signing, list_of_another_office, list_altered),
        ),
        (
            "altered",
            (
                stamped_after_signing, stamped_by_the_approver, signature_cut_off_with_pack,
                page_of_another_sheet, sheet_of_another_record, container_of_another_sheet,
                container_in_small_letters,
                something_in_the_padding, same_person_signs_both_in_the_sheet, same_key_under_two_names,
                roles_swapped_in_the_sheet, signer_swapped, roles_swapped, signed_in_the_other_role,
                same_person_twice, same_person_under_a_second_key, record_with_a_doubled_name,
                record_in_another_form_signed, record_of_another_job, issue_replayed,
                issue_of_the_earlier_revision, revision_renumbered, revision_renumbered_by_the_approver,
                issued_by_somebody_else, issue_names_other_people, concessions_differ_from_the_sheet,
                readme_altered, certificate_of_another_office_put_in, event_dropped_and_issued,
                event_altered_and_issued, events_altered, signed_job_altered, answer_to_another_record,
                signed_by_a_usual_program,
            ),
        ),
        (
            "cannot tell",
            (
                signature_cut_off, both_signatures_cut_off, sheet_of_another_pack,
                certificate_expired, signed_before_the_certificate, ended_before_signing, old_list_put_back,
                not_in_the_list, foreign_office, foreign_office_of_the_same_name, enrolled_by_a_colleague,
                self_signed_unknown, record_of_a_newer_program, issue_missing, approval_missing,
                sheet_missing, zip_bomb, zip_bomb_that_lies, pack_with_a_file_twice, pack_with_a_path,
                pack_cut_off, not_a_sheet_of_ours, nothing_at_all, job_file_without_signature,
            ),
        ),
    )
    for made in ways
}  # fmt: skip


def control_caught() -> bool:
    """Whether a check that believes any certificate is seen to take foreign people for genuine."""
    from unittest import mock

    with mock.patch.object(Trust, "standing", return_value="believed"):
        return foreign_office().outcome == "genuine" and self_signed_unknown().outcome == "genuine"


if __name__ == "__main__":
    print(run("long" in sys.argv[1:]))
