"""The verbs of the command line; none of them needs a screen."""

from __future__ import annotations

import argparse
import json
import os
import sys
import tempfile
from collections import Counter
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from importlib import resources
from pathlib import Path
from typing import TYPE_CHECKING, Final, Literal, NoReturn

from app import archive_commands, copy_commands, merge_commands, place_commands
from app.exchange.problem import JobFileProblem

if TYPE_CHECKING:
    from app.desk import Desk, View
    from app.record.verdict import Verdict
    from ctcore.job import Job, Person

DONE: Final = 0
SOMETHING_OUTSIDE: Final = 1
WRONG_USAGE: Final = 64
BAD_INPUT: Final = 65
CANNOT_WRITE: Final = 73

_DEMO_FOLDER: Final = "coreleaf-demo"
_EPILOG: Final = (
    "exit codes: 0 done, 1 judge found something outside, 64 wrong usage, 65 bad input, "
    "73 the file asked for cannot be written"
)
_VERIFY_EPILOG: Final = (
    "exit codes: 0 genuine, 1 altered, 2 cannot tell, 64 wrong usage, 65 the file cannot be read"
)
_TRUST_FOLDER: Final = "trust"
_JOB_HELP: Final = "a job file, or a sheet with its job inside"


class _Usage(argparse.ArgumentParser):
    """argparse leaves with 2; the codes of this program are stated in its help."""

    def error(self, message: str) -> NoReturn:
        self.print_usage(sys.stderr)
        self.exit(WRONG_USAGE, f"{self.prog}: {message}\n")


class _Version(argparse.Action):
    """Says version, build and what the program runs on, and ends."""

    def __call__(self, parser: argparse.ArgumentParser, *_rest: object) -> None:
        from app.about import summary

        for line in summary():
            _say(line)
        parser.exit(DONE)


class _CannotWrite(Exception):
    """What was asked for could not be put where it was asked for; the message is one sentence."""


def run(argv: Sequence[str]) -> int:
    """Carry out one verb and return its exit code; whatever goes wrong is one sentence on standard error."""
    try:
        args = _parser().parse_args(argv)
    except SystemExit as end:
        return int(end.code or DONE)
    try:
        code: int = args.verb(args)
    except JobFileProblem as problem:
        return _complain(problem.sentence, BAD_INPUT)
    except _CannotWrite as problem:
        return _complain(str(problem), CANNOT_WRITE)
    return code


def demo_folder(argv: Sequence[str]) -> Path:
    """The folder that `demo` writes to, out of its arguments; leaves with 64 where they are wrong."""
    folder: Path = _parser().parse_args(argv).out
    return folder


def _parser() -> argparse.ArgumentParser:
    parser = _Usage(
        prog="coreleaf",
        description=(
            "Worksheet for tests of current transformers. Without a verb it opens the window; "
            "with --training alone, the one for practice."
        ),
        epilog=_EPILOG,
    )
    parser.add_argument("--version", action=_Version, nargs=0, help="version, build and what it runs on")
    verbs = parser.add_subparsers(required=True, metavar="VERB", parser_class=_Usage)
    demo = verbs.add_parser("demo", help="carry the sample job through to its sheet")
    demo.add_argument(
        "--out", metavar="DIR", type=Path, default=Path(_DEMO_FOLDER), help=f"default: {_DEMO_FOLDER}"
    )
    demo.set_defaults(verb=_demo)
    judge = verbs.add_parser("judge", help="judge a job file, worst findings first", epilog=_EPILOG)
    judge.add_argument("file", metavar="FILE", type=Path, help=_JOB_HELP)
    judge.add_argument("--json", action="store_true", help="print the findings as a JSON list")
    judge.add_argument(
        "--notices",
        action="store_true",
        help="with --json: an object of findings and of what the program noticed beside them",
    )
    judge.set_defaults(verb=_judge)
    sheet = verbs.add_parser("sheet", help="write the sheet of a job file as PDF", epilog=_EPILOG)
    sheet.add_argument("file", metavar="FILE", type=Path, help=_JOB_HELP)
    sheet.add_argument("--out", metavar="PDF", type=Path, required=True, help="where the sheet goes")
    sheet.add_argument(
        "--paper", choices=("A4", "Letter"), help="size of the paper; default: that of the job"
    )
    sheet.set_defaults(verb=_sheet)
    opened = verbs.add_parser(
        "job", help="write the job that is inside a sheet as a job file", epilog=_EPILOG
    )
    opened.add_argument("file", metavar="FILE", type=Path, help=_JOB_HELP)
    opened.add_argument("--out", metavar="JSON", type=Path, required=True, help="where the job file goes")
    opened.set_defaults(verb=_job)
    forms = verbs.add_parser("forms", help="write blank field forms of a job file as PDF", epilog=_EPILOG)
    forms.add_argument("file", metavar="FILE", type=Path, help=_JOB_HELP)
    forms.add_argument("--out", metavar="PDF", type=Path, required=True, help="where the forms go")
    forms.add_argument(
        "--core", metavar="ID", action="append", default=[], help="a core of the job; default: every core"
    )
    forms.add_argument(
        "--test",
        metavar="ID",
        action="append",
        default=[],
        help="a test, such as ratio; default: all planned",
    )
    forms.add_argument("--paper", choices=("A4", "Letter"), default="", help="default: that of the job")
    forms.set_defaults(verb=_forms)
    verify = verbs.add_parser(
        "verify", help="say whether a signed file is genuine or altered", epilog=_VERIFY_EPILOG
    )
    verify.add_argument("file", metavar="FILE", type=Path, help="a sheet, signed job, store or evidence pack")
    verify.add_argument("--json", action="store_true", help="print the verdict as JSON")
    verify.add_argument(
        "--ca",
        metavar="PEM",
        type=Path,
        action="append",
        default=[],
        help="certificate of an office to trust, beside those of this computer",
    )
    verify.add_argument("--pack", metavar="ZIP", type=Path, help="hold a sheet against this evidence pack")
    verify.set_defaults(verb=_verify)
    merge_commands.add_verbs(verbs, say=_say, complain=_complain)
    copy_commands.add_verbs(verbs, say=_say, complain=_complain)
    place_commands.add_verbs(verbs, say=_say, complain=_complain)
    archive_commands.add_verbs(verbs, say=_say, complain=_complain)
    return parser


def _judge(args: argparse.Namespace) -> int:
    from app.exchange import listing, opening
    from ctcore.judge import judge
    from ctcore.notices import notices
    from ctcore.takes import takes_of

    job = opening.load(args.file)
    findings = judge(job)
    found = [] if args.json and not args.notices else notices(job, takes_of(job.readings))
    if args.json:
        plain: object = listing.as_plain(job, findings)
        if args.notices:
            plain = {"findings": plain, "notices": listing.notices_plain(job, found)}
        _say(json.dumps(plain, ensure_ascii=True, indent=1, allow_nan=False))
    else:
        _say(listing.as_table(job, findings))
        if found:
            _say(f"\n{listing.notices_text(found)}")
        _say(f"\n{job.header.number_text}: {listing.counts_text(findings)}")
    return SOMETHING_OUTSIDE if any(one.verdict == "outside" for one in findings) else DONE


def _sheet(args: argparse.Namespace) -> int:
    if _is_one(args.file, args.out):
        return _complain(f"{args.out}: the sheet would overwrite the job file", WRONG_USAGE)
    with _bench(args.file) as (desk, view):
        _write_sheet(desk, view.job.job_id, args.out, paper=args.paper)
    _say(f"Sheet of {view.job.header.number_text}, a draft that is not frozen: {args.out}")
    return DONE


def _job(args: argparse.Namespace) -> int:
    from app.exchange import jobfile, opening

    if _is_one(args.file, args.out):
        return _complain(f"{args.out}: the job file would overwrite the sheet", WRONG_USAGE)
    job = opening.load(args.file)
    try:
        jobfile.save(job, args.out)
    except JobFileProblem as problem:
        raise _CannotWrite(problem.sentence) from problem
    _say(f"Job {job.header.number_text}, {len(job.readings)} readings: {args.out}")
    return DONE


def _is_one(file: Path, out: Path) -> bool:
    return out.exists() and file.exists() and out.samefile(file)


def _forms(args: argparse.Namespace) -> int:
    from app.exchange import opening
    from app.record.files import write_whole
    from app.report.forms import FormsInput, render
    from ctcore.errors import BadInput

    if _is_one(args.file, args.out):
        return _complain(f"{args.out}: the forms would overwrite the job file", WRONG_USAGE)
    job = opening.load(args.file)
    try:
        made = render(FormsInput(job, tuple(sorted(args.core)), tuple(sorted(args.test)), args.paper))
        write_whole(args.out, made.data)
    except BadInput as problem:
        return _complain(f"Nothing was written: {problem.reason}", BAD_INPUT)
    except OSError as problem:
        raise _cannot_write(args.out, problem) from problem
    _say(f"Field forms {made.number} of {job.header.number_text}, {made.page_count} pages: {args.out}")
    return DONE


def _verify(args: argparse.Namespace) -> int:
    from app.record.problem import KeyProblem
    from app.record.verdict import as_plain

    try:
        verdict = _verdict(args.file, args.ca, args.pack)
    except OSError as problem:
        reason = (problem.strerror or str(problem)).lower()
        return _complain(f"{problem.filename or args.file}: cannot be read: {reason}", BAD_INPUT)
    except KeyProblem as problem:
        return _complain(f"Nothing was checked. {problem.sentence}", BAD_INPUT)
    if args.json:
        _say(json.dumps(as_plain(verdict), ensure_ascii=True, indent=1))
    else:
        for sentence in verdict.sentences:
            _say(sentence)
        for signer in verdict.signers:
            _say(f"{signer.meaning} by {signer.name_text}, {signer.at_utc}, certificate {signer.fingerprint}")
    return verdict.exit_code


def _verdict(file: Path, offices: Sequence[Path], pack: Path | None) -> Verdict:
    from app.desk.checking import verdict_on_store
    from app.record.trust import trust_in
    from app.record.verify import is_store, verify_path
    from app.settings import data_folder

    trust = trust_in(data_folder() / _TRUST_FOLDER, more=offices)
    return verdict_on_store(file, trust) if is_store(file) else verify_path(file, trust=trust, pack=pack)


def _demo(args: argparse.Namespace) -> int:
    from app.exchange import jobfile, listing
    from samples import FIRST

    folder: Path = args.out
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as problem:
        raise _cannot_write(folder, problem) from problem
    sheet, file = folder / f"{FIRST.name}_sheet.pdf", folder / f"{FIRST.name}_job.json"
    with resources.as_file(FIRST.file) as sample:
        job = jobfile.load(sample)
        _say(f"Sample job {job.header.number_text}: {job.header.title_text}. All of it is invented.")
        with _bench(sample, _tester(job)) as (desk, view):
            _say(f"Taken into a store of its own: {len(view.job.readings)} readings.")
            findings = [one for of_core in view.findings.values() for one in of_core]
            _say(f"Judged: {listing.counts_text(findings)}.")
            line = desk.freeze(job.job_id).view.revisions[-1]
            _say(f"Frozen as revision {line.revision}, tested by {line.name_text}; no signature is made.")
            _say(f"Digest of the record: {line.digest_hex}")
            _write_sheet(desk, job.job_id, sheet)
            desk.export_job(job.job_id, file)
    _say(f"Sheet: {sheet.resolve()}")
    _say(f"Job file: {file.resolve()}")
    _say(f"Again, with every finding: coreleaf judge {file}")
    return DONE


@contextmanager
def _bench(file: Path, tester: Person | None = None) -> Iterator[tuple[Desk, View]]:
    """A store and a desk of their own for one job, gone when it is done: nothing of the user's is touched."""
    from app.desk import Desk, Refusal
    from app.jobstore import Store, StoreProblem
    from app.settings import Settings

    with tempfile.TemporaryDirectory(prefix="coreleaf-") as folder:
        settings = Settings.load(Path(folder))
        if tester is not None:
            settings.change(person_id=tester.person_id, person_name_text=tester.name_text)
        try:
            store = Store.open(Path(folder) / "store.sqlite")
            try:
                desk = Desk(store, settings)
                yield desk, desk.import_job(file).view
            finally:
                store.close()
        except (Refusal, StoreProblem) as problem:
            raise _CannotWrite(problem.sentence) from problem


def _tester(job: Job) -> Person | None:
    """The person who keyed most of the readings, of those whom the job names."""
    keyed = Counter(entry.person_id for entry in job.readings)
    return max(job.people, key=lambda person: keyed[person.person_id], default=None)


def _write_sheet(
    desk: Desk, job_id: str, path: Path, *, paper: Literal["A4", "Letter"] | None = None
) -> None:
    try:
        desk.sheet(job_id, path, paper=paper)
    except OSError as problem:
        raise _cannot_write(path, problem) from problem


def _cannot_write(path: Path, problem: OSError) -> _CannotWrite:
    reason = (problem.strerror or str(problem)).lower()
    return _CannotWrite(f"{path}: cannot be written: {reason}; nothing stands there in part")


def _say(text: str) -> None:
    """A line on standard output; a sign that the console does not have is shown as its number."""
    encoding = sys.stdout.encoding or "ascii"
    try:
        sys.stdout.write(text.encode(encoding, "backslashreplace").decode(encoding) + "\n")
        sys.stdout.flush()
    except BrokenPipeError:
        # The reader of the pipe has seen enough; the verb goes on, nothing is flushed into the pipe again.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _complain(sentence: str, code: int) -> int:
    encoding = sys.stderr.encoding or "ascii"
    sys.stderr.write(sentence.encode(encoding, "backslashreplace").decode(encoding) + "\n")
    return code


__all__ = ["demo_folder", "run"]
