"""Verbs of the office: make it, enrol people, end them, give out its certificate and its list."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from app.desk.keys import KeyLine, KeyVerbs, key_line, refusals
from app.desk.training import demand_real
from app.desk.view import Refusal

if TYPE_CHECKING:
    from app.record.authority import Authority
    from app.record.certificates import Role

REGISTER_FILE = "office-register.json"


@dataclass(frozen=True, slots=True, kw_only=True)
class EnrolledLine:
    """One certificate that the office gave out; `ended_text` is empty while it is in force."""

    name_text: str
    fingerprint: str
    enrolled_text: str
    ended_text: str
    reason_text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OfficeView:
    """The office kept on this computer, and the people on its list."""

    line: KeyLine
    people: tuple[EnrolledLine, ...]


class OfficeVerbs(KeyVerbs):
    """What the keeper of the office's key does."""

    @property
    def office_folder(self) -> Path:
        """Where the office's sealed key, its certificate and its list lie, if it is kept here."""
        return self.settings.folder / "office"

    def office(self) -> OfficeView | None:
        """The office of this computer without unlocking it; None where none is kept here."""
        from app.record import authority, register
        from app.record.instants import said

        with refusals():
            certificate = authority.certificate_in(self.office_folder)
            if certificate is None:
                return None
            listed = register.from_bytes(
                (self.office_folder / authority.REGISTER_FILE).read_bytes(), certificate.der
            )
        people = tuple(
            EnrolledLine(
                name_text=one.name_text,
                fingerprint=one.fingerprint,
                enrolled_text=said(one.enrolled_utc),
                ended_text="" if one.ended_utc is None else said(one.ended_utc),
                reason_text=one.reason_text,
            )
            for one in listed.lines
        )
        return OfficeView(line=key_line(certificate), people=people)

    def make_office(self, name_text: str, passphrase: str) -> OfficeView:
        """Make the office; its certificate is believed on this computer at once."""
        from app.record.authority import Authority

        if not name_text.strip():
            raise Refusal("An office has a name, which stands in every certificate. Nothing was made.")
        with refusals():
            made = Authority.make(
                self.office_folder, name_text=name_text.strip(), passphrase=passphrase, at=self._clock()
            )
            self._follow_office(made)
        return self._office_now()

    def enrol(self, passphrase: str, request: Path, roles: tuple[Role, ...], path: Path) -> OfficeView:
        """Enrol who made a request, and write the certificate that goes back to that person."""
        from app.exchange import signedfile

        demand_real(self.settings, "no certificate is given to others from here")
        with refusals():
            asked = signedfile.load(request)
            office = self._unlocked_office(passphrase)
            pem = office.enrol(asked, roles=roles, at=self._clock())
            self._follow_office(office)
            signedfile.save(path, pem)
        return self._office_now()

    def end_person(
        self, passphrase: str, fingerprint: str, reason_text: str, *, until: datetime | None = None
    ) -> OfficeView:
        """Say that from now, or from `until` on, nothing signed with that certificate counts."""
        with refusals():
            office = self._unlocked_office(passphrase)
            at = self._clock()
            office.end(fingerprint, until=until or at, reason_text=reason_text, at=at)
            self._follow_office(office)
        return self._office_now()

    def write_office_certificate(self, path: Path) -> Path:
        """Write the office's certificate, which everybody who checks has to believe."""
        return self._copy("CERTIFICATE_FILE", path)

    def write_office_list(self, path: Path) -> Path:
        """Write the office's list of people, signed by the office."""
        return self._copy("REGISTER_FILE", path)

    def _copy(self, name: str, path: Path) -> Path:
        from app.exchange import signedfile
        from app.record import authority

        demand_real(self.settings, "no certificate is given to others from here")
        source = self.office_folder / str(getattr(authority, name))
        signedfile.save(path, signedfile.load(source))
        return path

    def _unlocked_office(self, passphrase: str) -> Authority:
        from app.record.authority import KEY_FILE, Authority

        if not (self.office_folder / KEY_FILE).exists():
            raise Refusal("No office is kept on this computer. Nothing was changed.")
        return Authority.open(self.office_folder, passphrase)

    def _follow_office(self, office: Authority) -> None:
        """Believe the office here, and hold its newest list."""
        from app.exchange import signedfile
        from app.record import authority

        self._believe(office.key.certificate)
        newest = (self.office_folder / authority.REGISTER_FILE).read_bytes()
        signedfile.save(self.trust_folder / REGISTER_FILE, newest)

    def _office_now(self) -> OfficeView:
        found = self.office()
        assert found is not None
        return found
