"""A verb of the command line: say where data lies, and move all of it to another folder."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from contextlib import ExitStack, closing
from pathlib import Path
from typing import Any, Final

Say = Callable[[str], None]
Complain = Callable[[str, int], int]
DONE, NOT_DONE = 0, 73

_NAMES: Final = {
    "store": "jobs, readings and trail",
    "attached": "attached files",
    "copies": "copies",
    "copies_away": "copies elsewhere",
    "keys": "sealed keys",
    "office": "the office",
    "trust": "who is believed",
    "settings": "preferences",
    "profile": "what was seen last",
    "log": "log",
    "reports": "reports of faults",
}


def add_verbs(verbs: Any, *, say: Say, complain: Complain) -> None:
    """Put the verb among the others."""
    place = verbs.add_parser("place", help="say where data lies; with --move, move all of it")
    place.add_argument(
        "--move", metavar="DIR", type=Path, help="a new or empty folder; what was there is kept"
    )
    place.set_defaults(verb=lambda args: _guarded(args, say=say, complain=complain))


def _guarded(args: argparse.Namespace, *, say: Say, complain: Complain) -> int:
    from app.desk import Refusal
    from app.jobstore import StoreProblem

    try:
        if args.move is None:
            _show(say)
        else:
            _move(args.move, say)
    except (Refusal, StoreProblem) as problem:
        return complain(problem.sentence, NOT_DONE)
    return DONE


def _show(say: Say) -> None:
    from app.desk import place
    from app.settings import Settings, data_folder

    shown = place.view(Settings.load(data_folder()))
    say(f"Data lies in {shown.folder}")
    for line in shown.lines:
        say(f"  {_NAMES[line.what]}: {line.path}{'' if line.there else ' (none yet)'}")
    if shown.before_text:
        say(f"Before the last move it lay in {shown.before_text}; that is kept until you delete it.")
    for sentence in filter(None, (shown.warning_text, *_gone(shown.folder))):
        say(sentence)


def _move(target: Path, say: Say) -> None:
    from app.desk import place
    from app.desk.copies import CopyKeeper
    from app.jobstore import Store
    from app.settings import Settings, data_folder

    place.demand_there(data_folder())
    settings = Settings.load(data_folder())
    warned = place.look_at(settings, target)
    with ExitStack() as held:
        store = None
        if settings.store_path.exists():
            keep = CopyKeeper(settings).make_before_upgrade
            store = held.enter_context(closing(Store.open(settings.store_path, before_upgrade=keep)))
        said = place.move(settings, target, store)
    say(said)
    if warned:
        say(warned)


def _gone(folder: Path) -> list[str]:
    from app.place import why_gone

    return [why_gone(folder)]
