"""The verb that checks a file: is it what was signed? A sheet that this store knows is held against it."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from app.desk.chains import StorePapers
from app.desk.keys import KeyVerbs, refusals
from app.desk.view import Refusal
from app.jobstore import Store, StoreProblem

if TYPE_CHECKING:
    from app.record.act import Event
    from app.record.papers import Papers
    from app.record.trust import Trust
    from app.record.verdict import Verdict


def verdict_on_store(path: Path, trust: Trust) -> Verdict:
    """The verdict on a store that is not open here: it is opened for reading, and nothing is written."""
    from app.record.verdict import Verdict
    from app.record.verify import verify_path

    try:
        store = Store.open(path, read_only=True)
    except StoreProblem as problem:
        return Verdict(outcome="cannot tell", sentences=(f"Cannot tell: {problem.sentence}",))
    try:
        return verify_path(path, trust=trust, store=StorePapers(store))
    finally:
        store.close()


class CheckingVerbs(KeyVerbs):
    """Looking at files of others, and at one's own."""

    def check(self, path: Path, pack: Path | None = None) -> Verdict:
        """Genuine, altered or cannot tell, with what was found. OSError where the file cannot be read."""
        from app.record.verify import is_store, verify_path

        with refusals():
            trust = self.trust()
        if pack is not None and not pack.exists():
            raise Refusal(f"{pack.name} is not there, so nothing was checked.")
        if not is_store(path):
            known = None if pack is not None else self._issue_of(path)
            return verify_path(path, trust=trust, pack=pack, store=known)
        if path.exists() and path.samefile(self.store.path):
            return verify_path(path, trust=trust, store=StorePapers(self.store))
        return verdict_on_store(path, trust)

    def _issue_of(self, path: Path) -> _Known | None:
        """What this store issued of the record that a sheet carries; None where it issued nothing of it."""
        from app.record.problem import Altered, CannotTell
        from app.record.sheet_reading import PDF_MARK, read

        data = path.read_bytes()
        if not data.startswith(PDF_MARK):
            return None
        try:
            record = read(data).attached.get("record.json")
        # Assumption: parsers that others wrote may raise anything; the check itself says what is wrong.
        except (Altered, CannotTell, Exception):
            return None
        issued = [one for one in StorePapers(self.store).papers() if one.issued is not None]
        found = tuple(one for one in issued if one.record == record)
        return _Known(found) if found else None


class _Known:
    """The papers of one issue, as a check asks for them."""

    def __init__(self, found: Sequence[Papers]) -> None:
        self._found = found

    def faults(self) -> list[str]:
        """The store itself is not looked at here."""
        return []

    def events(self) -> Sequence[Event]:
        """Nor is its trail."""
        return ()

    def papers(self) -> Sequence[Papers]:
        """What was issued."""
        return self._found
