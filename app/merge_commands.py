"""The verb of the command line that makes one draft of those that came back from several laptops."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from pathlib import Path
from typing import Any

from app.exchange.problem import JobFileProblem

Say = Callable[[str], None]
Complain = Callable[[str, int], int]
DONE, WRONG_USAGE, BAD_INPUT, CANNOT_WRITE = 0, 64, 65, 73


def add_verbs(verbs: Any, *, say: Say, complain: Complain) -> None:
    """Put `merge` among the others."""
    merge = verbs.add_parser("merge", help="make one draft of those that came back from several laptops")
    merge.add_argument("files", metavar="FILE", type=Path, nargs="+", help="drafts of one job, two or more")
    merge.add_argument("--out", metavar="FILE", type=Path, required=True, help="where the draft goes")
    merge.set_defaults(verb=lambda args: _merge(args, say, complain))


def _merge(args: argparse.Namespace, say: Say, complain: Complain) -> int:
    from app.desk import Refusal
    from app.desk.together import merged_files
    from app.desk.two_stores import counted
    from app.exchange import signedfile

    if len(args.files) < 2:
        return complain("Name two drafts of one job, or more. Nothing was written.", WRONG_USAGE)
    if any(args.out.exists() and file.exists() and args.out.samefile(file) for file in args.files):
        return complain(
            f"{args.out}: it would overwrite one of the drafts. Nothing was written.", WRONG_USAGE
        )
    try:
        made = merged_files(args.files, say)
    except Refusal as problem:
        return complain(problem.sentence, BAD_INPUT)
    try:
        signedfile.save(args.out, made.data)
    except JobFileProblem as problem:
        return complain(problem.sentence, CANNOT_WRITE)
    fields = counted(made.questions_count, "field is", "fields are")
    asked = f"; {fields} said differently and wait for an answer" if made.questions_count else ""
    readings = counted(len(made.job.readings), "reading", "readings")
    say(f"Job {made.job.header.number_text}, {readings}{asked}: {args.out}")
    return DONE
