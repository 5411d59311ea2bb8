"""Where the bundled program starts: the command `coreleaf`, or the child that reads a workbook."""

from __future__ import annotations

import sys

CHILD = ["-m", "app.exchange.workbook_child"]


def start() -> int:
    """A bundle has no `python -m`: the one module that the program starts so is answered for here."""
    if sys.argv[1:3] == CHILD:
        del sys.argv[1:3]
        from app.exchange import workbook_child

        return workbook_child.main()
    from app.__main__ import main

    return main()


if __name__ == "__main__":
    sys.exit(start())
