"""Two verbs of the command line: make a copy of the store now, and bring one back beside it."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from app.desk.copies import CopyKeeper, Restored
    from app.desk.two_stores import StoreSide

Say = Callable[[str], None]
Complain = Callable[[str, int], int]
DONE, NOT_DONE = 0, 73


def add_verbs(verbs: Any, *, say: Say, complain: Complain) -> None:
    """Put both verbs among the others."""
    backup = verbs.add_parser("backup", help="copy the store of this computer, and read the copy again")
    backup.add_argument(
        "--to", metavar="DIR", type=Path, help="a folder beside those of the preferences, such as a stick"
    )
    backup.set_defaults(verb=lambda args: _guarded(_backup, args, say=say, complain=complain))
    restore = verbs.add_parser("restore", help="bring a copy back as a new store; nothing is written over")
    restore.add_argument("file", metavar="FILE", type=Path, help="a copy of a store")
    restore.add_argument("--out", metavar="FILE", type=Path, help="default: a new file beside the store")
    restore.add_argument(
        "--use", action="store_true", help="work on with it from now on; the store before is kept"
    )
    restore.set_defaults(verb=lambda args: _guarded(_restore, args, say=say, complain=complain))


def _guarded(
    verb: Callable[[argparse.Namespace, Say], None], args: argparse.Namespace, *, say: Say, complain: Complain
) -> int:
    from app.desk import Refusal
    from app.jobstore import StoreProblem

    try:
        verb(args, say)
    except (Refusal, StoreProblem) as problem:
        return complain(problem.sentence, NOT_DONE)
    return DONE


def _backup(args: argparse.Namespace, say: Say) -> None:
    from app.desk import Refusal

    keeper = _keeper()
    if not keeper.store.exists():
        raise Refusal(f"{keeper.store}: there is no store yet, so nothing was copied.")
    view = keeper.make(also=args.to)
    if view.trouble_text:
        raise Refusal(view.trouble_text)
    line = view.lines[0]
    say(f"Copied and read again: {line.path}")
    say(f"On another device: {view.away_text or 'none yet'}")


def _restore(args: argparse.Namespace, say: Say) -> None:
    from app.desk.copies import compared_with
    from app.jobstore import StoreProblem

    keeper = _keeper()
    path = keeper.bring_back(args.file, args.out)
    try:
        found = compared_with(keeper.store, path)
    except StoreProblem as problem:
        say(problem.sentence)
        found = compared_with(None, path)
    _tell(found, say)
    if args.use:
        say(keeper.work_with(path))
    else:
        say(f"Your store is as it was. The copy was brought back to {path}.")


def _tell(found: Restored, say: Say) -> None:
    for title, side in (("The store in use", found.present), ("The one brought back", found.restored)):
        if side is not None:
            _tell_side(title, side, say)


def _tell_side(title: str, side: StoreSide, say: Say) -> None:
    say(f"{title}: {side.name_text}")
    say(f"  {side.counts_text}, the last of {side.last_text}")
    say(f"  head {side.head_text}")
    say(f"  {side.only_here_text}")


def _keeper() -> CopyKeeper:
    from app.desk.copies import CopyKeeper
    from app.desk.place import demand_there
    from app.settings import Settings, data_folder

    demand_there(data_folder())
    return CopyKeeper(Settings.load(data_folder()))
