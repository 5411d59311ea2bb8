"""Keys, hand-in, review, trail and check as pictures, by day and night: `python -m tests.pictures.signing`.

The command line is that of `tests.pictures.window`. One store is of who tests,
one of who decides.
"""

from __future__ import annotations

import dataclasses
import shutil
import sys
import tempfile
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path

from app.desk import Address
from tests.pictures import asked
from tests.pictures.window import Stage, opened_stage

PASSPHRASE = "four quiet words here"
TESTER, APPROVER = "J. Velde", "M. Oskarrin"
OFFICE = "Tarnbeck test office"


def main() -> int:
    return asked.run("tests.pictures.signing", __doc__, draw, widths=(1366,))


def draw(out: Path, theme_name: str, scale: int, width: int, only: str) -> int:
    height = dict(asked.SIZES)[width]
    out.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        job_id = _prepare(folder)
        for person, scenes in ((TESTER, AT_THE_BAY), (APPROVER, AT_THE_DESK)):
            with opened_stage(
                _of(folder, person), theme_name, width // scale, height // scale,
                person_name_text=person, sample="line_bay" if person == TESTER else None,
            ) as stage:  # fmt: skip
                stage.out, stage.suffix = out, f"{width}-{theme_name}-{scale}00"
                if person == APPROVER:
                    stage.window.session.open_job(job_id)
                    stage.rest()
                for scene_name, scene in scenes.items():
                    if only in scene_name or scene_name in NEEDED:
                        scene(stage, folder)
                        stage.shoot(scene_name)
    return 0


def _of(folder: Path, person: str) -> Path:
    return folder / person


def _prepare(folder: Path) -> str:
    """A key for each, an office at the approver's, and one job signed and taken in there."""
    from app.desk import Desk
    from app.jobstore import Store
    from app.settings import Settings
    from app.ui.shell.session import STORE_NAME, take_sample

    desks = {}
    for person in (TESTER, APPROVER):
        settings = Settings.load(_of(folder, person))
        settings.change(person_id=person[0].lower() * 4, person_name_text=person)
        desks[person] = Desk(Store.open(_of(folder, person) / STORE_NAME), settings, clock=_Clock())
        desks[person].make_key(PASSPHRASE)
    for person, other in ((TESTER, APPROVER), (APPROVER, TESTER)):
        for path in (_of(folder, other) / "trust").glob("*.pem"):
            shutil.copy(path, _of(folder, person) / "trust")
    boss, hand = desks[APPROVER], desks[TESTER]
    boss.make_office(OFFICE, PASSPHRASE)
    asked = hand.ask_for_certificate(PASSPHRASE, folder / "request.pem")
    boss.enrol(PASSPHRASE, asked, ("tester",), folder / "enrolled.pem")
    job_id = take_sample(hand, "line_bay").view.job.job_id
    _explain(hand, job_id)
    hand.hand_in(job_id, PASSPHRASE, APPROVER, folder / "handed-in.json")
    boss.take_in(folder / "handed-in.json")
    first, second, *_ = boss.exceptions(job_id)
    boss.comment(job_id, first.key, "Measure on the CT's own terminals; then clean link 7.")
    boss.decide(job_id, second.key, "concession", "agreed with the owner", "until the next outage")
    for desk in desks.values():
        desk.store.close()
    (folder / "kept").mkdir()
    shutil.copy(_of(folder, TESTER) / STORE_NAME, folder / "kept" / STORE_NAME)
    # The tester's window starts from the sample as it came, to be handed in by hand.
    for path in _of(folder, TESTER).glob(f"{STORE_NAME}*"):
        if path.is_file():
            path.unlink()
    return job_id


def _explain(desk, job_id: str) -> None:
    """Say of every test with something missing why, so that it can be handed in."""
    for reason in desk.reasons(job_id, "hand_in"):
        if reason.core_id:
            desk.remark(job_id, reason.core_id, reason.procedure_id or "links_back", "not in this outage")


class _Clock:
    """Some hours ago, going on by a second per look."""

    def __init__(self) -> None:
        self.now = datetime.now(UTC).astimezone() - timedelta(hours=16)

    def __call__(self) -> datetime:
        self.now += timedelta(seconds=1)
        return self.now


def _hand_in(stage: Stage, _folder: Path) -> None:
    stage.do("hand_in")


def _freeze(stage: Stage, _folder: Path) -> None:
    stage.do("hand_in")
    dialog = stage.app.activeModalWidget()
    dialog.way.line.setText(dict(dialog.way.line.choices)["frozen"])
    stage.rest()


def _take_in_stranger(stage: Stage, folder: Path) -> None:
    from app.ui.dialogs.believe import BelieveDialog

    line = stage.window.session.desk.signer_of(folder / "handed-in.json")
    BelieveDialog(stage.window, folder / "handed-in.json", line, lambda: None).open()


def _wrong(stage: Stage, _folder: Path) -> None:
    stage.do("my_key")
    stage.window.page("my_key").do("ask_office")
    dialog = stage.app.activeModalWidget()
    dialog.answers["passphrase"].line.setText("four loud words there")
    dialog.main.click()
    stage.rest()


def _make_key(stage: Stage, _folder: Path) -> None:
    stage.window.page("my_key").do("make_key")
    field = stage.app.activeModalWidget().answers["new"]
    field.line.setText("four quiet")
    field.line.textEdited.emit("four quiet")


def _export(stage: Stage, _folder: Path) -> None:
    stage.window.page("my_key").do("write_key")


def _decide(stage: Stage, _folder: Path) -> None:
    stage.window.page("review").do("sent_back")


def _settled(stage: Stage, _folder: Path) -> None:
    """Everything decided: what is outside is granted, the rest accepted, and every comment closed."""
    page = stage.window.page("review")
    page.do("to_decide")
    stage.rest()
    for remark in page.state.view.job.remarks:
        if remark.state in ("open", "answered"):
            stage.window.session.do(
                lambda desk, job_id, one=remark.remark_id: desk.close_comment(job_id, one)
            )
    for line in page.state.lines:
        if not line.settled and line.allowed:
            choice = "accepted" if "accepted" in line.allowed else "concession"
            stage.window.session.do(
                lambda desk, job_id, key=line.key, how=choice: desk.decide(
                    job_id, key, how, "agreed", "a year"
                )
            )
    stage.rest()


def _pinned(stage: Stage, _folder: Path) -> None:
    """Comments of who decides on two points of a curve, as the worksheet marks them."""
    session = stage.window.session
    core_id = stage.core(1)
    line = next(
        one
        for one in session.desk.lines(session.job_id)
        if (one.core_id, one.procedure_id) == (core_id, "excitation")
    )
    for row, words in (("6", "Was this point read twice?"), ("12", "Which range was the ammeter on?")):
        reading = next(
            one
            for one in session.view.job.readings
            if (one.core_id, one.procedure_id, one.row) == (core_id, "excitation", row)
        )
        session.do(
            lambda desk, job_id, words=words, reading=reading: desk.comment(
                job_id, line.key, words, reading.reading_id
            )
        )
        stage.rest()
    stage.window.go_to(core_id, "excitation")
    stage.window.front.page.cursor_in_hand.travel.choose_row("12")


def _view(stage: Stage, view_id: str) -> None:
    """The review with another of its views in hand."""
    stage.do("review")
    stage.window.page("review").do(view_id)


def _again(stage: Stage, folder: Path) -> None:
    """Sent back with a comment, answered, taken in again, and looked at as what changed."""
    stage.window.session.fetch(lambda desk: _to_and_fro(desk, folder), done=lambda _view: None)
    stage.rest()
    stage.window.session.open_job(stage.window.session.job_id)
    stage.rest()
    _view(stage, "changed")


def _to_and_fro(boss, folder: Path) -> None:
    from app.desk import Desk
    from app.jobstore import Store
    from app.settings import Settings
    from app.ui.shell.session import STORE_NAME

    (job_id,) = (line.job_id for line in boss.waiting())
    boss.look(job_id)
    boss.send_back(job_id, PASSPHRASE, path=folder / "answer.json")
    settings = Settings.load(_of(folder, TESTER))
    store = Store.open(folder / "kept" / STORE_NAME)
    tester = Desk(store, settings, clock=_Clock())
    tester.take_in(folder / "answer.json")
    job = tester.view(job_id).job
    asked_first = next(one for one in job.remarks if one.state == "open")
    reading = next(one for one in job.readings if one.as_typed_text == "0.38")
    address = Address(reading.core_id, reading.procedure_id, reading.take, reading.row, reading.quantity_id)
    tester.key(job_id, address, "380")
    (corrected, *_) = tester.answer_readings(job_id, asked_first.remark_id, "correction")
    tester.answer_comment(
        job_id, asked_first.remark_id, "correction", "the decimal point was wrong", corrected.reading_id
    )
    ct = job.positions[0].cts[2]
    tester.set_ct(job_id, dataclasses.replace(ct, serial_text="B24-0313"))
    _explain(tester, job_id)
    tester.hand_in(job_id, PASSPHRASE, APPROVER, folder / "second.json")
    store.close()
    boss.take_in(folder / "second.json")


def _sign(stage: Stage, _folder: Path) -> None:
    stage.window.page("review").do("sign")


def _issued(stage: Stage, folder: Path) -> None:
    stage.window.session.do(lambda desk, job_id: desk.approve(job_id, PASSPHRASE))
    stage.window.session.do(lambda desk, job_id: desk.issue(job_id, PASSPHRASE))
    stage.window.session.fetch(
        lambda desk: desk.sheet(stage.window.session.job_id, folder / "sheet.pdf"), done=lambda _path: None
    )
    stage.rest()
    stage.window.bar.clear()


def _check(stage: Stage, path: Path) -> None:
    stage.do("check")
    page = stage.window.page("check")
    page.file.line.setText(str(path))
    page.main.click()
    stage.rest()


def _altered(stage: Stage, folder: Path) -> None:
    path = folder / "stamped.pdf"
    path.write_bytes((folder / "sheet.pdf").read_bytes() + b"% stamped")
    _check(stage, path)


def _not_ours(stage: Stage, folder: Path) -> None:
    path = folder / "letter.pdf"
    path.write_bytes(b"%PDF-1.7 nothing of ours")
    _check(stage, path)


def _away(stage: Stage, folder: Path) -> None:
    job_id = stage.window.session.job_id

    def hand_in(desk):
        _explain(desk, job_id)
        return desk.hand_in(job_id, PASSPHRASE, APPROVER, folder / "again.json").view

    stage.window.session.fetch(hand_in, done=lambda _view: None)
    stage.rest()
    stage.window.session.do(lambda desk, job_id: desk._changed(desk._of(job_id), frozenset()))
    stage.window.go_to(stage.core(1), "excitation")


NEEDED = ("review", "review-changed", "review-settled", "review-issued")
AT_THE_BAY: dict[str, Callable[[Stage, Path], object]] = {
    "menu": lambda stage, _folder: stage.do("menu"),
    "hand-in-signed": _hand_in,
    "hand-in-frozen": _freeze,
    "trail": lambda stage, _folder: stage.do("trail"),
    "my-key": lambda stage, _folder: stage.do("my_key"),
    "my-key-wrong": _wrong,
    "my-key-export": _export,
    "office-none": lambda stage, _folder: stage.do("office"),
    "believe": _take_in_stranger,
    "away": _away,
}
AT_THE_DESK: dict[str, Callable[[Stage, Path], object]] = {
    "review": lambda stage, _folder: stage.do("review"),
    "review-decide": _decide,
    "review-concession": lambda stage, _folder: stage.window.page("review").do("concession"),
    "review-comment": lambda stage, _folder: stage.window.page("review").do("comment"),
    "review-all": lambda stage, _folder: _view(stage, "all"),
    "review-void": lambda stage, _folder: stage.do("void"),
    "review-changed": _again,
    "review-answered": lambda stage, _folder: _view(stage, "to_decide"),
    "comment-pinned": _pinned,
    "office": lambda stage, _folder: stage.do("office"),
    "make-key": _make_key,
    "review-settled": lambda stage, folder: (stage.do("review"), _settled(stage, folder)),
    "review-sign": _sign,
    "review-issued": _issued,
    "check-genuine": lambda stage, folder: _check(stage, folder / "sheet.pdf"),
    "check-altered": _altered,
    "check-cannot-tell": _not_ours,
}


if __name__ == "__main__":
    sys.exit(main())
