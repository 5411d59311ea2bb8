"""The folder that laptops and office share: look, leave a job there, put away what is in."""

from __future__ import annotations

import time
from pathlib import Path
from typing import TYPE_CHECKING, Final

from app.desk.drafts import DraftVerbs
from app.desk.signing import SigningVerbs
from app.desk.states import row_of
from app.desk.view import Refusal
from app.exchange.outbox import Outbox

if TYPE_CHECKING:
    from app.desk.core import OpenJob
    from app.exchange.folder import Folder, FolderFile
    from app.settings import Settings

REMEMBERED: Final = "exchange-taken.json"
OUTBOX: Final = "outbox"


def folder_of(settings: Settings) -> Folder | None:
    """The folder that is shared; None where none is named. It is looked at without the store."""
    from app.exchange.folder import Folder

    named = settings.get("exchange_folder_text").strip()
    return Folder(Path(named).expanduser(), settings.folder / REMEMBERED) if named else None


def outbox_of(settings: Settings) -> Outbox:
    """Where drafts and signed jobs wait for the archive."""
    return Outbox(settings.folder / OUTBOX)


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
        """Leave a job in the folder: a draft while it is open here, its signed file once it is not.

        Without a folder it waits on the disk for the archive, where the office takes it from. A file that
        stands there is never written over.
        """
        its = self._of(job_id)
        folder = folder_of(self.settings)
        if folder is not None:
            waiting_in(folder)
        signed = row_of(its.job.state).locked or self._away(its) is not None
        ending = ".zip" if its.job.state == "issued" else ".json"
        at_text = self._clock().strftime("%Y-%m-%d %H%M%S")
        name = f"{safe_name(its.job.header.number_text)} {self.store.device_id[:4]} {at_text}{ending}"
        path = folder.path / name if folder is not None else self._outgoing(its, name)
        if path.exists():
            raise Refusal(f"Everything is kept here. {name} stands in the folder already: try again.")
        return self.write_signed_file(job_id, path) if signed else self.hand_out(job_id, path)

    def _outgoing(self, its: OpenJob, name: str) -> Path:
        if not self.settings.get("archive_place_text"):
            raise Refusal("Everything is kept here. No exchange folder is named: name it in the preferences.")
        if its.job.state == "issued":
            raise Refusal("Everything is kept here. What is issued goes to the archive by itself.")
        return outbox_of(self.settings).place_for(its.job.job_id, name)
