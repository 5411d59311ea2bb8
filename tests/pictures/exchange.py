"""Pictures of what goes between computers: merge, questions, the queue to the archive, the folder."""

from __future__ import annotations

import dataclasses
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Any


def _coming(stage: Any, folder: Path, year: str) -> Path:
    """A draft that somebody else worked on, while the same fields were changed here."""
    from app.desk import Desk
    from app.jobstore import Store
    from app.settings import Settings

    desk, job_id = stage.window.session.desk, stage.window.session.job_id
    desk.hand_out(job_id, folder / "out.json")
    settings = Settings.load(folder)
    settings.change(person_name_text="R. Second", organisation_text="Tarnbeck Test Services")
    store = Store.open(folder / "store.sqlite")
    other = Desk(store, settings)
    other.take_in(folder / "out.json")
    for its, serial, weather, text in (
        (desk, f"88213/{year}", f"dry in {year}", f"30.{year} mA"),
        (other, f"88218/{year}", f"rain in {year}", f"31.{year} mA"),
    ):
        job = its.view(job_id).job
        its.set_header(job_id, dataclasses.replace(job.header, weather_text=weather))
        its.set_ct(job_id, dataclasses.replace(job.positions[0].cts[0], serial_text=serial))
        its.key(job_id, _field(its, job_id), text)
    path: Path = other.hand_out(job_id, folder / "back.json")
    store.close()
    return path


def _field(desk: Any, job_id: str) -> Any:
    from app.desk import Address

    entry = next(one for one in desk.view(job_id).job.readings if one.quantity_id == "i_excitation_a")
    return Address(entry.core_id, entry.procedure_id, entry.take, entry.row, entry.quantity_id)


def _merge(stage: Any) -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = _coming(stage, Path(folder), "31")
        stage.do("take_in")
        stage.app.activeModalWidget().take(path)
        asking = stage.app.activeModalWidget()
        stage.wait(lambda: stage.app.activeModalWidget() is not asking)
        asking.hide()


def _questions(stage: Any) -> None:
    with tempfile.TemporaryDirectory() as folder:
        stage.window.session.desk.take_in(_coming(stage, Path(folder), "32"))
        stage.window.session.refresh()
        stage.rest()
    stage.do("questions")
    stage.wait(lambda: stage.app.activeModalWidget() is not None)


def _sending(stage: Any) -> None:
    from app.desk.archive.sending import ArchiveLine
    from app.ui.shell.sender import SendingView

    line = ArchiveLine(
        job_id="x", number_text="TX-401/A", revision=2, pack_digest="", state_text="", archived=False
    )
    refused = "The certificate of the approver had ended on 2 May 2031: sign the revision once more."
    lines = (
        line,
        dataclasses.replace(
            line, number_text="TX-398", revision=1, state_text=refused, when_text="5 May 2031 07:02:11 +02:00"
        ),
        dataclasses.replace(
            line,
            number_text="TX-377/B",
            state_text="Archived on 2031-05-03 in place 41207.",
            when_text="3 May 2031 16:41:09 +02:00",
            archived=True,
        ),
    )
    trouble = (
        "Everything on this computer is kept and waits. The archive at office does not answer (connection "
        "refused): it is asked again by itself; call the office if this goes on."
    )
    stage.do("sending")
    stage.rest()
    stage.window.sending.told.emit(
        SendingView(lines=lines, place_text="office", trouble_text=trouble, tried_text="08:42")
    )


def _exchange(stage: Any) -> None:
    from app.exchange.folder import FolderFile
    from app.ui.shell.folder_watch import FolderView

    stage.do("exchange")
    stage.rest()
    ready = FolderFile(path=Path("TX-401-A 3f0c 2031-05-04 084207.json"), kind="draft", state="ready")
    stage.window.folder.told.emit(
        FolderView(
            named=True,
            files=(
                ready,
                dataclasses.replace(ready, path=Path("TX-377 issued.zip"), kind="pack"),
                dataclasses.replace(ready, path=Path("bay 4.json"), kind="unknown", state="settling"),
                dataclasses.replace(
                    ready,
                    path=Path("old.json"),
                    kind="unknown",
                    state="unreadable",
                    said_text="The draft is damaged or not whole: copy it again.",
                ),
            ),
        )
    )


SCENES: dict[str, Callable[[Any], object]] = {
    "hand-out": lambda stage: stage.do("hand_out"),
    "merge": _merge,
    "questions": _questions,
    "sending": _sending,
    "exchange": _exchange,
}
