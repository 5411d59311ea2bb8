"""The folder that laptops and office share: look, leave a job there, put away what is in."""

from __future__ import annotations

import time
from pathlib import Path
from typing import TYPE_CHECKING, Final

from app.desk.drafts import DraftVerbs
from app.desk.signing import SigningVerbs
from app.desk.states import row_of
from app.desk.view import Refusal

if TYPE_CHECKING:
    from app.exchange.folder import Folder, FolderFile
    from app.settings import Settings

REMEMBERED: Final = "exchange-taken.json"


def folder_of(settings: Settings) -> Folder | None:
    """The folder that is shared; None where none is named. It is looked at without the store."""
    from app.exchange.folder import Folder

    named = settings.get("exchange_folder_text").strip()
    return Folder(Path(named).expanduser(), settings.folder / REMEMBERED) if named else None


def waiting_in(folder: Folder) -> list[FolderFile]:
    """What waits in the folder; Refusal where it is not there."""
    from app.exchange.folder import FolderProblem

    try:
        return folder.look(time.time)
    except FolderProblem as problem:
        raise Refusal(problem.sentence) from problem


def safe_name(number: str) -> str:
    """A job's number as part of the name of a file.

    >>> safe_name("TX-401/A")
    'TX-401-A'
    """
    return "".join(sign if sign.isalnum() or sign in "-_ " else "-" for sign in number).strip() or "job"


class FolderVerbs(DraftVerbs, SigningVerbs):
    """What goes into the folder."""

    def send_to_folder(self, job_id: str) -> Path:
        """Leave a job in the folder: a draft while it is open, its signed file once it is not.

        A file that stands there is never written over.
        """
        folder = folder_of(self.settings)
        if folder is None:
            raise Refusal("Everything is kept here. No exchange folder is named: name it in the preferences.")
        waiting_in(folder)
        its = self._of(job_id)
        signed = row_of(its.job.state).locked
        ending = ".zip" if its.job.state == "issued" else ".json"
        at_text = self._clock().strftime("%Y-%m-%d %H%M%S")
        name = f"{safe_name(its.job.header.number_text)} {self.store.device_id[:4]} {at_text}{ending}"
        path = folder.path / name
        if path.exists():
            raise Refusal(f"Everything is kept here. {name} stands in the folder already: try again.")
        return self.write_signed_file(job_id, path) if signed else self.hand_out(job_id, path)
