"""The office: a certificate of its own, made on first use, that enrols people and ends them.

Three files in a folder: `office.key.json`, the envelope; `office-ca.pem`, the certificate, to be handed to
everybody; `office-register.json`, the signed list of people, to be handed out again after each change.
"""

from __future__ import annotations

import dataclasses
import datetime as dt
from pathlib import Path
from typing import TYPE_CHECKING, Final

from app.record import certificates, envelope, people_keys, register
from app.record.certificates import ROLES, Certificate, Role, certificate_of
from app.record.files import write_whole
from app.record.instants import said
from app.record.people_keys import Unlocked
from app.record.problem import Altered, CannotTell, KeyProblem
from app.record.register import Line, Register

if TYPE_CHECKING:
    from cryptography.hazmat.primitives.asymmetric.rsa import RSAPublicKey

KIND: Final = "office"
KEY_FILE: Final = "office.key.json"
CERTIFICATE_FILE: Final = "office-ca.pem"
REGISTER_FILE: Final = "office-register.json"


class Authority:
    """An office that is unlocked. Every change of its list is on the disk when the call returns."""

    def __init__(self, folder: Path, key: Unlocked, listed: Register) -> None:
        self.folder = folder
        self.key = key
        self.register = listed

    @classmethod
    def make(cls, folder: Path, *, name_text: str, passphrase: str, at: dt.datetime) -> Authority:
        """A new office; KeyProblem where the folder holds one already or the passphrase is weak."""
        if (folder / KEY_FILE).exists():
            raise KeyProblem("There is an office in this folder already. It was left as it is.")
        subject = certificates.office_subject(name_text)
        private = certificates.new_key()
        der = certificates.issue(
            subject,
            private.public_key(),
            issuer=subject,
            by=private,
            at=at,
            years=certificates.OFFICE_YEARS,
            office=True,
        )
        sealed = envelope.seal(people_keys.private_bytes(private), passphrase, {"kind": KIND})
        key = Unlocked(certificate_of(der), private)
        folder.mkdir(parents=True, exist_ok=True, mode=0o700)
        write_whole(folder / CERTIFICATE_FILE, certificates.pem_of(der))
        made = cls(folder, key, Register(0, at, key.certificate.fingerprint))
        made._keep((), at)
        envelope.save(sealed, folder / KEY_FILE)
        return made

    @classmethod
    def open(cls, folder: Path, passphrase: str) -> Authority:
        """The office of a folder, unlocked; KeyProblem where a file of it is damaged or does not fit."""
        sealed = envelope.load(folder / KEY_FILE)
        try:
            certificate = certificate_of((folder / CERTIFICATE_FILE).read_bytes())
            listed = register.from_bytes((folder / REGISTER_FILE).read_bytes(), certificate.der)
        except (OSError, Altered, CannotTell) as problem:
            raise KeyProblem(
                "The office's certificate or its list of people cannot be used. "
                "Put back your copy of the folder."
            ) from problem
        if sealed.about != {"kind": KIND}:
            raise KeyProblem("The key file is not that of an office. Nothing was unlocked.")
        private = people_keys.private_of(envelope.unseal(sealed, passphrase))
        people_keys.demand_pair(private, certificate)
        return cls(folder, Unlocked(certificate, private), listed)

    @property
    def certificate_pem(self) -> bytes:
        """The certificate of the office, for everybody who checks."""
        return certificates.pem_of(self.key.certificate.der)

    def enrol(self, request_pem: bytes, *, roles: tuple[Role, ...], at: dt.datetime) -> bytes:
        """The certificate, in PEM, of the person who made this request, in force from `at`.

        See the person or ask by telephone before: the request says who it is from, and only that.
        """
        name_text, person_id, public = _request(request_pem)
        if not roles or not set(roles) <= set(ROLES):
            raise KeyProblem(f"Nobody was enrolled: everybody has one role or more of {', '.join(ROLES)}.")
        self._demand_free(person_id, name_text, certificates.key_fingerprint(public))
        der = certificates.issue(
            certificates.subject_of(name_text, person_id, roles),
            public,
            issuer=certificates.load_x509(self.key.certificate.der).subject,
            by=self.key.private,
            at=at,
            years=certificates.PERSON_YEARS,
        )
        made = certificate_of(der)
        self._keep(
            (*self.register.lines, Line(made.fingerprint, made.key_fingerprint, person_id, name_text, at)), at
        )
        return certificates.pem_of(der)

    def end(self, fingerprint: str, *, until: dt.datetime, reason_text: str, at: dt.datetime) -> None:
        """From `until` on, nothing signed with this certificate counts; what was signed before still does."""
        line = self.register.line(fingerprint)
        if line is None:
            raise KeyProblem("Nobody was ended: the office gave out no such certificate.")
        if line.ended_utc is not None:
            raise KeyProblem(f"{line.name_text} was ended on {said(line.ended_utc)} already.")
        if not reason_text.strip():
            raise KeyProblem("Nobody was ended: it has a reason, which stands in the list.")
        ended = dataclasses.replace(line, ended_utc=until, reason_text=reason_text.strip())
        self._keep(tuple(ended if one is line else one for one in self.register.lines), at)

    def _keep(self, lines: tuple[Line, ...], at: dt.datetime) -> None:
        office = self.key.certificate.fingerprint
        changed = Register(self.register.number + 1, at.replace(microsecond=0), office, lines)
        write_whole(self.folder / REGISTER_FILE, register.to_bytes(changed, self.key))
        self.register = changed

    def _demand_free(self, person_id: str, name_text: str, key_fingerprint: str) -> None:
        """A key is that of one person, and the number of a person that of one name."""
        for line in self.register.lines:
            if line.person_id == person_id and line.name_text != name_text:
                raise KeyProblem(f"Nobody was enrolled: the number of {name_text} is {line.name_text}'s.")
            if line.person_id != person_id and line.key_fingerprint == key_fingerprint:
                raise KeyProblem(f"Nobody was enrolled: this key is {line.name_text}'s.")


def _request(pem: bytes) -> tuple[str, str, RSAPublicKey]:
    from cryptography import x509
    from cryptography.hazmat.primitives.asymmetric.rsa import RSAPublicKey

    try:
        asked = x509.load_pem_x509_csr(pem)
        public = asked.public_key()
        sound = asked.is_signature_valid
    except ValueError as problem:
        raise KeyProblem("Nobody was enrolled: this is no request for a certificate.") from problem
    if not isinstance(public, RSAPublicKey) or public.key_size != certificates.KEY_BITS or not sound:
        raise KeyProblem("Nobody was enrolled: the request was not made by this program, or it is damaged.")
    name_text, person_id = certificates.named(asked.subject)
    return name_text, person_id, public


def certificate_in(folder: Path) -> Certificate | None:
    """The certificate of the office of a folder, without unlocking it; None where there is none."""
    path = folder / CERTIFICATE_FILE
    return certificate_of(path.read_bytes()) if path.exists() else None
