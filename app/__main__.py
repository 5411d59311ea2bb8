"""The command `coreleaf`: the window, or one verb on the command line."""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence
from pathlib import Path

from app import display


def main(argv: Sequence[str] | None = None) -> int:
    """Open the window, or run the verb named; returns the exit code."""
    args = list(sys.argv[1:] if argv is None else argv)
    if args in ([], [display.TRAINING_FLAG]):
        return _window(training=bool(args))
    if args[0] == "demo" and not {"-h", "--help"} & set(args):
        return _demo(args)
    from app import commands

    return commands.run(args)


def _window(*, training: bool) -> int:
    sentence = display.why_no_display()
    if sentence is None:
        shown = display.show_until_closed(
            lambda painted, training: _open(painted, training=training), training=training
        )
        if shown.sentence is None:
            return shown.exit_code
        sentence = shown.sentence
    print(sentence, file=sys.stderr)
    print(
        "Without a window these work: coreleaf demo, coreleaf judge FILE, coreleaf sheet FILE --out PDF",
        file=sys.stderr,
    )
    return 69


def _demo(args: Sequence[str]) -> int:
    """The sample job in the window; where none can come up, the same job through to its sheet."""
    from app import commands

    folder = commands.demo_folder(args)
    sentence = display.why_no_display()
    if sentence is None:
        shown = display.show_until_closed(
            lambda painted, training: _open(painted, demo=None if training else folder, training=training)
        )
        if shown.sentence is None:
            return shown.exit_code
        sentence = shown.sentence
    print(sentence)
    print("The sample job is carried through to its sheet without a window.")
    return commands.run(args)


def _open(painted: Callable[[], None], *, demo: Path | None = None, training: bool) -> int:
    from app.ui.start import run_window

    return run_window(painted, demo=demo, training=training)


if __name__ == "__main__":
    sys.exit(main())
