"""Verbs on keys: make one, have it enrolled, say whose certificates are believed on this computer."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from app.desk.core import DeskCore
from app.desk.training import demand_real
from app.desk.view import NotOpened, Refusal
from app.record.problem import Altered, CannotTell, KeyProblem, SigningProblem, WrongPassphrase

if TYPE_CHECKING:
    from app.record.certificates import Certificate
    from app.record.people_keys import Unlocked
    from app.record.trust import Trust


@dataclass(frozen=True, slots=True, kw_only=True)
class KeyLine:
    """A certificate as a person compares it: whose, until when, its fingerprint, and whether enrolled.

    `office_text` names the office that enrolled the person, where its certificate is known here.
    """

    name_text: str
    person_id: str
    fingerprint: str
    fingerprint_groups: str
    until_text: str
    enrolled: bool
    roles: tuple[str, ...]
    office_text: str = ""


class KeyVerbs(DeskCore):
    """What a person does with the own key, and with the certificates of others."""

    @property
    def key_folder(self) -> Path:
        """Where sealed keys lie."""
        return self.settings.folder / "keys"

    @property
    def trust_folder(self) -> Path:
        """Where the certificates lie that are believed here."""
        return self.settings.folder / "trust"

    def my_key(self) -> KeyLine | None:
        """The key of who sits here; None where there is none yet."""
        from app.record import people_keys

        with refusals():
            person_id = self.settings.me()[0]
            if not people_keys.has_key(self.key_folder, person_id):
                return None
            certificate = people_keys.load_certificate(self.key_folder, person_id)
            return dataclasses.replace(key_line(certificate), office_text=self._office_of(certificate))

    def number_in_jobs(self, name_text: str) -> str:
        """The number in the records of a person of that name in an open job; "" where there is none."""
        people = (person for its in self._open.values() for person in its.job.people)
        return next((person.person_id for person in people if person.name_text == name_text), "")

    def make_key(self, passphrase: str) -> KeyLine:
        """Make the key of who sits here; its certificate is believed on this computer at once."""
        from app.record import people_keys

        person_id, name_text = self.settings.me()
        if not self.settings.get("person_name_text"):
            raise Refusal("Say first who you are; a key is made for a person with a name.")
        with refusals():
            key = people_keys.make(
                self.key_folder,
                person_id=person_id,
                name_text=name_text,
                passphrase=passphrase,
                at=self._clock(),
            )
            self._believe(key.certificate)
        return key_line(key.certificate)

    def change_passphrase(self, old: str, new: str) -> None:
        """Seal the key again under a new passphrase."""
        from app.record import people_keys

        with refusals():
            people_keys.change_passphrase(self.key_folder, self.settings.me()[0], old=old, new=new)

    def ask_for_certificate(self, passphrase: str, path: Path) -> Path:
        """Write the request that the office enrols; no secret is in it."""
        from app.exchange import signedfile
        from app.record import people_keys

        demand_real(self.settings, "no key is given to others from here")
        with refusals():
            signedfile.save(path, people_keys.request(self._unlocked(passphrase)))
        return path

    def take_certificate(self, path: Path) -> KeyLine:
        """Put the office's certificate of the own key in place of the self-signed one."""
        from app.exchange import signedfile
        from app.record import people_keys

        with refusals():
            pem = signedfile.load(path)
            return key_line(people_keys.take_certificate(self.key_folder, self.settings.me()[0], pem))

    def write_certificate(self, path: Path) -> Path:
        """Write the own certificate for others to believe; no secret is in it."""
        from app.exchange import signedfile
        from app.record import people_keys
        from app.record.certificates import pem_of

        demand_real(self.settings, "no key is given to others from here")
        with refusals():
            certificate = people_keys.load_certificate(self.key_folder, self.settings.me()[0])
            signedfile.save(path, pem_of(certificate.der))
        return path

    def write_key(self, passphrase: str, file_passphrase: str, path: Path) -> Path:
        """Write the own key for another program, sealed as weakly as that kind of file allows."""
        from app.exchange import signedfile
        from app.record import people_keys

        demand_real(self.settings, "no key is given to others from here")
        with refusals():
            data, _warning = people_keys.export_pkcs12(self._unlocked(passphrase), file_passphrase)
            signedfile.save(path, data)
        return path

    def believe(self, path: Path, fingerprint: str) -> KeyLine:
        """Believe a certificate of an office or a person, after its fingerprint was compared another way."""
        from app.exchange import signedfile
        from app.record.certificates import certificate_of

        with refusals():
            certificate = certificate_of(signedfile.load(path))
            if certificate.fingerprint != "".join(fingerprint.split()).casefold():
                raise Refusal("The fingerprint is not that of this certificate. Nobody new is believed.")
            self._believe(certificate)
            return key_line(certificate)

    def take_register(self, path: Path) -> None:
        """Take the office's list of people, where an office believed here signed it."""
        from app.exchange import signedfile

        with refusals():
            data = signedfile.load(path)
            self.trust().with_register(data)
            self.trust_folder.mkdir(parents=True, exist_ok=True)
            signedfile.save(self.trust_folder / "office-register.json", data)

    def signer_of(self, path: Path) -> KeyLine:
        """Whose signature a signed file carries: for comparing the fingerprint before believing it."""
        from app.exchange import signedfile

        with refusals():
            return key_line(_signer(signedfile.load(path)))

    def stranger_in(self, path: Path) -> KeyLine | None:
        """Who signed a file, where nobody known here vouches for it; else None."""
        from app.exchange import signedfile
        from app.record.certificates import is_issued_by

        data = signedfile.load(path)
        if signedfile.kind_of(data) == "job file":
            return None
        with refusals():
            certificate, trust = _signer(data), self.trust()
        known = certificate.fingerprint in {one.fingerprint for one in trust.people}
        vouched = any(is_issued_by(certificate.der, one.der) for one in trust.offices)
        return None if known or vouched else key_line(certificate)

    def believe_signer(self, path: Path, fingerprint: str) -> KeyLine:
        """Believe who signed a file, after the fingerprint was compared another way."""
        from app.exchange import signedfile

        with refusals():
            certificate = _signer(signedfile.load(path))
            if certificate.fingerprint != "".join(fingerprint.split()).casefold():
                raise Refusal("The fingerprint is not that of who signed. Nobody new is believed.")
            self._believe(certificate)
            return key_line(certificate)

    def trust(self) -> Trust:
        """Whom this computer believes."""
        from app.record.trust import trust_in

        return trust_in(self.trust_folder)

    def _believe(self, certificate: Certificate) -> None:
        from app.exchange import signedfile
        from app.record.certificates import pem_of

        self.trust_folder.mkdir(parents=True, exist_ok=True)
        name = f"{certificate.fingerprint[:16]}.pem"
        signedfile.save(self.trust_folder / name, pem_of(certificate.der))

    def _office_of(self, certificate: Certificate) -> str:
        from app.record.certificates import is_issued_by

        offices = (one for one in self.trust().offices if is_issued_by(certificate.der, one.der))
        return next((one.name_text for one in offices), "")

    def _unlocked(self, passphrase: str) -> Unlocked:
        """The key of who sits here, able to sign."""
        from app.record import people_keys

        person_id = self.settings.me()[0]
        if not people_keys.has_key(self.key_folder, person_id):
            raise Refusal("You have no key here yet. Make one first; nothing was signed.")
        with refusals():
            return people_keys.unlock(self.key_folder, person_id, passphrase)

    def _office_papers(self, key: Unlocked) -> tuple[bytes | None, bytes | None]:
        """Certificate and list of the office that enrolled a key; None and None where none did."""
        from app.record.certificates import is_issued_by, pem_of

        offices = [one for one in self.trust().offices if is_issued_by(key.certificate.der, one.der)]
        if not offices:
            return None, None
        listed = self.trust_folder / "office-register.json"
        return pem_of(offices[0].der), listed.read_bytes() if listed.exists() else None


@contextmanager
def refusals() -> Iterator[None]:
    """What keys, signatures and papers refuse with, as the sentence of a verb."""
    try:
        yield
    except WrongPassphrase as problem:
        raise NotOpened(problem.sentence) from problem
    except (KeyProblem, SigningProblem, Altered, CannotTell) as problem:
        raise Refusal(problem.sentence) from problem


def key_line(certificate: Certificate) -> KeyLine:
    """A certificate in words."""
    from app.record.canonical import digest_groups
    from app.record.instants import said

    return KeyLine(
        name_text=certificate.name_text,
        person_id=certificate.person_id,
        fingerprint=certificate.fingerprint,
        fingerprint_groups=digest_groups(certificate.fingerprint),
        until_text=said(certificate.until_utc),
        enrolled=not certificate.self_signed,
        roles=certificate.roles,
    )


def _signer(data: bytes) -> Certificate:
    """Who signed last in a file: who answered, else who tested."""
    from app.exchange import signedfile
    from app.record import cms, pack, signed_job, signing

    if signedfile.kind_of(data) == "pack":
        papers = pack.read_pack(data)
        if papers.issued is None or papers.issued_signature is None:
            raise CannotTell("The pack carries no signature of an issue.")
        return cms.check(papers.issued, papers.issued_signature, what=signing.THE_ISSUE).certificate
    job = signed_job.from_bytes(data)
    if job.sent_back is not None and job.sent_back_signature is not None:
        return cms.check(job.sent_back, job.sent_back_signature, what="the answer").certificate
    return cms.check(job.record, job.tested, what=signing.THE_RECORD).certificate
