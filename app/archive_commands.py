"""The verbs of the office's archive on the command line: set up, take in, search, check, make anew."""

from __future__ import annotations

import argparse
import getpass
import os
import signal
import sys
import threading
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final, NoReturn

if TYPE_CHECKING:
    from app.record.trust import Trust

Say = Callable[[str], None]
Complain = Callable[[str, int], int]
DONE, SOMETHING_WRONG, NOT_DONE = 0, 1, 73
_KEYS_FOLDER: Final = "archive-keys"
_QUESTIONS: Final = {
    "serial": "a serial number, or its beginning and a star",
    "number": "a number, or its beginning and a star",
    "site": "a part of the site's name",
    "words": "words anywhere in the record",
    "from": "tested on this day or later, as 2031-05-04",
    "until": "tested on this day or earlier",
}
_PLACE_HELP: Final = "a path, or postgresql://user@server/database; default: the setting of this computer"


def add_verbs(verbs: Any, *, say: Say, complain: Complain) -> None:
    """Put `archive` with its verbs among the others."""
    archive = verbs.add_parser("archive", help="the office's archive: set up, take in, check, make anew")
    inner = archive.add_subparsers(required=True, metavar="WHAT")

    def verb(name: str, does: Callable[[argparse.Namespace, Say], int], help_text: str) -> Any:
        parser = inner.add_parser(name, help=help_text)
        parser.add_argument("--place", metavar="PLACE", default="", help=_PLACE_HELP)
        parser.set_defaults(verb=lambda args: _guarded(does, args, say=say, complain=complain))
        return parser

    setup = verb("setup", _setup, "make its tables, its key and, on PostgreSQL, the roles")
    setup.add_argument(
        "--office", metavar="DIR", type=Path, help="the office's folder, to enrol the key at once"
    )
    intake = verb("intake", _intake, "check and file what came, and sign the receipts")
    intake.add_argument(
        "--folder",
        metavar="DIR",
        type=Path,
        help="take packs left there as well, and leave there what is to be reviewed",
    )
    intake.add_argument("--again", action="store_true", help="ask again for what was refused before")
    intake.add_argument(
        "--every", metavar="SECONDS", type=float, help="go on, looking that often; ctrl-c ends it"
    )
    verb("check", _check, "check every record, receipt and place once more")
    verb("rebuild", _rebuild, "make everything that is searched anew from the records")
    export = verb("export", _export, "write sheets, packs and a table of results, with their digests")
    export.add_argument("--out", metavar="DIR", type=Path, required=True, help="where they go")
    export.add_argument(
        "--what",
        metavar="LIST",
        default="sheets,csv",
        help="of sheets, packs, csv and json; default: sheets,csv",
    )
    for name, help_text in _QUESTIONS.items():
        export.add_argument(f"--{name}", metavar="TEXT", default="", help=help_text)
    verb("roots", _roots, "print the root of each day, to be kept elsewhere")


def _guarded(
    does: Callable[[argparse.Namespace, Say], int], args: argparse.Namespace, *, say: Say, complain: Complain
) -> int:
    from app.desk import Refusal
    from app.jobstore import StoreProblem
    from app.record.problem import KeyProblem

    try:
        return does(args, say)
    except (Refusal, StoreProblem, KeyProblem) as problem:
        return complain(problem.sentence, NOT_DONE)


def _setup(args: argparse.Namespace, say: Say) -> int:
    from app.desk.archive.founding import found

    made = found(
        _place(args),
        keys=_keys(),
        passphrase=_passphrase("Passphrase of the archive's key: "),
        office=args.office,
        office_passphrase=_asked("Passphrase of the office: ") if args.office else "",
        clock=_now,
    )
    say(f"The archive is ready. Its number is {made.archive_id}.")
    say(f"Fingerprint of its key: {made.fingerprint}")
    if made.request is not None:
        say(f"The office has to enrol the key: {made.request}. Until then nothing is taken in.")
    for role in made.roles:
        say(f"Role: {role}")
    return DONE


def _intake(args: argparse.Namespace, say: Say) -> int:
    from app.desk.archive.dropping import TAKEN_FILE, Dropped
    from app.desk.archive.founding import unlocked
    from app.desk.archive.intake import Intake
    from app.jobstore.archive import Archive, ArchiveProblem

    key = unlocked(_keys(), _passphrase("Passphrase of the archive's key: "))
    ended = threading.Event()
    for number in (signal.SIGINT, signal.SIGTERM):
        signal.signal(number, lambda *_: ended.set())
    archive = Archive.open(_place(args))
    dropped = Dropped(archive, args.folder, _keys() / TAKEN_FILE, clock=_now) if args.folder else None
    try:
        while True:
            intake = Intake(
                archive, trust=_trust(), key=key, clock=_now, pass_on=dropped.pass_on if dropped else None
            )
            try:
                if dropped is not None:
                    for sentence in dropped.deposit():
                        say(sentence)
                taken = intake.run(again=args.again, stop=ended.is_set)
                faults = intake.check_sheets(stop=ended.is_set)
                if dropped is not None:
                    dropped.put_away()
            except ArchiveProblem as problem:
                if not args.every or problem.reachable:
                    raise
                say(problem.sentence)
            else:
                if taken.filed_count or taken.passed_on_count or taken.refusals or not args.every:
                    say(taken.text)
                for sentence in (*taken.refusals, *faults):
                    say(sentence)
            if not args.every or ended.wait(args.every):
                return DONE
    finally:
        archive.close()


def _check(args: argparse.Namespace, say: Say) -> int:
    from app.desk.archive.looking_through import look_through_at
    from app.settings import data_folder

    found = look_through_at(_place(args), data_folder() / "trust", tell=_told)
    for sentence in found.faults:
        say(sentence)
    say(found.text)
    return SOMETHING_WRONG if found.faults else DONE


def _rebuild(args: argparse.Namespace, say: Say) -> int:
    from app.jobstore.archive import Archive

    archive = Archive.open(_place(args))
    try:
        say(f"{archive.rebuild(_told)} records were read again; everything that is searched is made anew.")
    finally:
        archive.close()
    return DONE


def _export(args: argparse.Namespace, say: Say) -> int:
    from app.desk.archive.bulk import Wanted, export
    from app.jobstore.archive import Archive, Asked

    asked_for = set(filter(None, args.what.split(",")))
    unknown = sorted(asked_for - {"sheets", "packs", "csv", "json"})
    if unknown or not asked_for:
        return _refused(f"--what takes sheets, packs, csv and json, not {', '.join(unknown) or 'nothing'}")
    fields = {"serial": "serial_text", "number": "number_text", "site": "site_text", "words": "words_text"}
    asked = Asked(
        **{field: getattr(args, name) for name, field in fields.items()},
        tested_from=getattr(args, "from"),
        tested_until=args.until,
        superseded_too=True,
    )
    archive = Archive.open(_place(args), read_only=True)
    try:
        wanted = Wanted(**{name: name in asked_for for name in ("sheets", "packs", "csv", "json")})
        say(export(archive, asked, args.out, wanted, tell=_told).text)
    finally:
        archive.close()
    return DONE


def _refused(sentence: str) -> NoReturn:
    from app.desk import Refusal

    raise Refusal(f"Nothing was written. {sentence}.")


def _roots(args: argparse.Namespace, say: Say) -> int:
    from app.jobstore.archive import Archive

    archive = Archive.open(_place(args), read_only=True)
    try:
        for day, size, root in archive.day_roots():
            say(f"{day}  {size:>9}  {root}")
        tree = archive.tree()
        say(f"now         {tree.size:>9}  {tree.root}")
    finally:
        archive.close()
    return DONE


def _place(args: argparse.Namespace) -> str:
    from app.desk import Refusal
    from app.settings import Settings, data_folder

    place_text: str = args.place or Settings.load(data_folder()).get("archive_place_text")
    if not place_text:
        raise Refusal("Nothing was done. No archive is named: give --place, or name it in the settings.")
    return place_text


def _keys() -> Path:
    from app.settings import data_folder

    return data_folder() / _KEYS_FOLDER


def _trust() -> Trust:
    from app.record.trust import trust_in
    from app.settings import data_folder

    return trust_in(data_folder() / "trust")


def _passphrase(question: str) -> str:
    from app.desk.archive.founding import passphrase_of_process

    given = passphrase_of_process()
    return _asked(question) if given is None else given


def _asked(question: str) -> str:
    from app.desk import Refusal

    if not sys.stdin.isatty():
        line = sys.stdin.readline()
        if not line:
            raise Refusal("Nothing was done. The passphrase is asked for, and nobody is there to give it.")
        return line.rstrip("\r\n")
    return getpass.getpass(question)


def _told(done: int, of: int) -> None:
    """Progress on the standard error, where somebody looks at it."""
    if sys.stderr.isatty():
        sys.stderr.write(f"\r{done} of {of}{os.linesep if done == of else ''}")
        sys.stderr.flush()


def _now() -> datetime:
    return datetime.now().astimezone()
