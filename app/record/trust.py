"""Whom this computer believes: offices, single people, and the offices' lists of who was ended.

Read from a folder: `*.pem` with the certificates of offices and of single people, `*register*.json` with
lists.
"""

from __future__ import annotations

import dataclasses
import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from app.record import register
from app.record.certificates import Certificate, Role, certificate_of, is_issued_by, is_office, is_valid_at
from app.record.cms import Meaning
from app.record.instants import said
from app.record.problem import Altered, CannotTell, KeyProblem
from app.record.register import Register

_ROLE_FOR: Final[dict[Meaning, Role]] = {
    "tested": "tester",
    "approved": "approver",
    "issued": "approver",
    "sent back": "approver",
    "archived": "archive",
}


@dataclass(frozen=True, slots=True)
class Trust:
    """Offices and single people that are believed, and the newest list of each office."""

    offices: tuple[Certificate, ...] = ()
    people: tuple[Certificate, ...] = ()
    registers: tuple[Register, ...] = ()

    def with_register(self, data: bytes) -> Trust:
        """With a list that one of the offices signed, if it is newer than the one known.

        Altered or CannotTell where no office known here signed it.
        """
        problems: list[Altered | CannotTell] = []
        for office in self.offices:
            try:
                given = register.from_bytes(data, office.der)
            except (Altered, CannotTell) as problem:
                problems.append(problem)
                continue
            old = self._register_of(office)
            if old is not None and old.number >= given.number:
                return self
            kept = tuple(one for one in self.registers if one is not old)
            return dataclasses.replace(self, registers=(*kept, given))
        raise problems[0] if problems else CannotTell("The list of people is that of an office unknown here.")

    def standing(self, certificate: Certificate, *, meaning: Meaning, at: dt.datetime) -> str:
        """In words, why this certificate counted for that meaning at that time.

        CannotTell, with what is missing, where it did not.
        """
        who = certificate.name_text
        office = next((one for one in self.offices if is_issued_by(certificate.der, one.der)), None)
        if office is None:
            return self._standing_alone(certificate, at)
        _demand_valid(office, at, f"The office {office.name_text}")
        _demand_valid(certificate, at, who)
        if _ROLE_FOR[meaning] not in certificate.roles:
            raise CannotTell(f'{who} is not enrolled as {_ROLE_FOR[meaning]}, so "{meaning}" does not count.')
        listed = self._register_of(office)
        if listed is None:
            return f"{who} is enrolled by {office.name_text}; whether that was ended since is not known here."
        self._demand_listed(certificate, listed, at)
        return f"{who} is enrolled by {office.name_text}, by its list of {said(listed.made_utc)}."

    def _standing_alone(self, certificate: Certificate, at: dt.datetime) -> str:
        who = certificate.name_text
        if certificate.fingerprint not in {one.fingerprint for one in self.people}:
            kind = "made by its holder alone" if certificate.self_signed else "from an office unknown here"
            raise CannotTell(
                f"Nobody known here vouches for the key of {who}: its certificate is {kind}. "
                f"Compare its fingerprint with {who} by another way, or ask for the office's certificate."
            )
        _demand_valid(certificate, at, who)
        return f"{who} is known here by the certificate itself, not by an office."

    def _demand_listed(self, certificate: Certificate, listed: Register, at: dt.datetime) -> None:
        who, line = certificate.name_text, listed.line(certificate.fingerprint)
        if line is None and certificate.from_utc <= listed.made_utc:
            raise CannotTell(f"The certificate of {who} does not stand in the office's list of people.")
        if line is not None and line.ended_utc is not None and line.ended_utc <= at:
            raise CannotTell(
                f"{who} signed on {said(at)}, but was ended by the office on {said(line.ended_utc)}: "
                f"{line.reason_text}"
            )

    def _register_of(self, office: Certificate) -> Register | None:
        return next((one for one in self.registers if one.office_fingerprint == office.fingerprint), None)


NOBODY: Final = Trust()


def trust_of(pems: Iterable[bytes], registers: Iterable[bytes] = ()) -> Trust:
    """Trust in these certificates; KeyProblem where one cannot be read or no office here signed a list."""
    given = [certificate_of(one) for pem in pems for one in _each(pem)]
    offices = tuple(one for one in given if is_office(one.der))
    trust = Trust(offices=offices, people=tuple(one for one in given if one not in offices))
    for data in registers:
        try:
            trust = trust.with_register(data)
        except (Altered, CannotTell) as problem:
            raise KeyProblem(problem.sentence) from problem
    return trust


def trust_in(folder: Path, *, more: Sequence[Path] = ()) -> Trust:
    """Trust in what lies in a folder, and in more certificates; nobody where there is no such folder."""
    return trust_of(
        [path.read_bytes() for path in (*sorted(folder.glob("*.pem")), *more)],
        [path.read_bytes() for path in sorted(folder.glob("*register*.json"))],
    )


def _each(pem: bytes) -> list[bytes]:
    """The certificates of a file that may hold several."""
    mark = b"-----END CERTIFICATE-----"
    found = [part + mark for part in pem.split(mark)[:-1]]
    return found or [pem]


def _demand_valid(certificate: Certificate, at: dt.datetime, who: str) -> None:
    if not is_valid_at(certificate, at):
        raise CannotTell(
            f"{who} signed on {said(at)}, but the certificate was in force only from "
            f"{said(certificate.from_utc)} to {said(certificate.until_utc)}."
        )
