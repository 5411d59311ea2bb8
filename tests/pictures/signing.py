"""Keys, hand-in, review, trail and check as pictures, by day and night: `python -m tests.pictures.signing`.

The command line is that of `tests.pictures.window`. One store is of who tests,
one of who decides.
"""

from __future__ import annotations

import argparse
import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path

from tests.pictures.window import SIZES, Stage, opened_stage

PASSPHRASE = "four quiet words here"
TESTER, APPROVER = "J. Velde", "M. Oskarrin"
OFFICE = "Tarnbeck test office"


def main() -> int:
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--out", type=Path, required=True)
    asked.add_argument("--theme", choices=("day", "night"))
    asked.add_argument("--scale", type=int, choices=(1, 2))
    asked.add_argument("--size", type=int, choices=(1366, 1920))
    asked.add_argument("--only", default="")
    args = asked.parse_args()
    if args.theme and args.scale and args.size and os.environ.get("QT_SCALE_FACTOR") == str(args.scale):
        return _draw(args.out, args.theme, args.scale, args.size, args.only)
    for theme in [args.theme] if args.theme else ["day", "night"]:
        for scale in [args.scale] if args.scale else [1, 2]:
            for size in [args.size] if args.size else [1366]:
                command = [sys.executable, "-m", "tests.pictures.signing", "--out", str(args.out)]
                command += ["--theme", theme, "--scale", str(scale), "--size", str(size), "--only", args.only]
                environment = {**os.environ, "QT_SCALE_FACTOR": str(scale), "QT_QPA_PLATFORM": "offscreen"}
                subprocess.run(command, env=environment, check=True)
    return 0


def _draw(out: Path, theme_name: str, scale: int, width: int, only: str) -> int:
    height = dict(SIZES)[width]
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
    boss.decide(job_id, second.key, "concession", "agreed with the owner by telephone", "until the next outage")
    for desk in desks.values():
        desk.store.close()
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
    """Everything decided: what is outside is granted, the rest accepted."""
    page = stage.window.page("review")
    for line in page.state.lines:
        if not line.settled:
            choice = "accepted" if "accepted" in line.allowed else "concession"
            stage.window.session.do(
                lambda desk, job_id, key=line.key, how=choice: desk.decide(job_id, key, how, "agreed", "a year")
            )
    stage.rest()


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


NEEDED = ("review-settled", "review-issued")
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
