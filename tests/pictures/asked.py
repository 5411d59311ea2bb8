"""The command line of the pictures: one process per theme, scale and size, since Qt takes its scale once."""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
from collections.abc import Callable, Sequence
from pathlib import Path

from app.words import speak
from app.words.tables import ENGLISH

SIZES = ((1366, 768), (1920, 1080), (800, 600), (640, 480))
# A screen as small as these is not drawn at twice the size: fewer logical pixels than the program asks for.
SMALL = (800, 640)

# Draws all pictures of one kind: folder, theme, scale, width of the screen, part of the names wanted.
Draw = Callable[[Path, str, int, int, str], int]


def run(module: str, doc: str | None, draw: Draw, *, widths: Sequence[int] = (1366, 1920, 800, 640)) -> int:
    """Draw what was asked for; what was not narrowed in all its forms, on screens of these `widths`."""
    asked = argparse.ArgumentParser(description=doc)
    asked.add_argument("--out", type=Path, required=True)
    asked.add_argument("--theme", choices=("day", "night"))
    asked.add_argument("--scale", type=int, choices=(1, 2))
    asked.add_argument("--size", type=int, choices=[width for width, _ in SIZES])
    asked.add_argument("--only", default="")
    asked.add_argument(
        "--language", default=ENGLISH, help="of the screen; all but English with a decimal comma"
    )
    args = asked.parse_args()
    if args.theme and args.scale and args.size and os.environ.get("QT_SCALE_FACTOR") == str(args.scale):
        speak(args.language, comma=args.language != ENGLISH)
        return draw(args.out, args.theme, args.scale, args.size, args.only)
    for theme in [args.theme] if args.theme else ["day", "night"]:
        for scale in [args.scale] if args.scale else [1, 2]:
            for size in [args.size] if args.size else widths:
                if size in SMALL and scale > 1:
                    continue
                command = [sys.executable, "-m", module, "--out", str(args.out), "--theme", theme]
                command += [
                    "--scale",
                    str(scale),
                    "--size",
                    str(size),
                    "--only",
                    args.only,
                    "--language",
                    args.language,
                ]
                environment = {**os.environ, "QT_SCALE_FACTOR": str(scale), "QT_QPA_PLATFORM": "offscreen"}
                subprocess.run(command, env=environment, check=True)
    return 0
