"""A real network of the kernel's own goes silent under a laptop's line: run in a namespace by its test.

Prints what was said, after how long, and how many deposits there are once the network is back.
"""

from __future__ import annotations

import json
import subprocess
import sys
import time

from app.jobstore.archive import Archive, ArchiveProblem, engine
from tests.app.jobstore.archive.conftest import AT
from tests.postgresql import Server


def _routes(verb: str) -> None:
    for route in ("127.0.0.0/8", "127.0.0.1"):
        command = ["ip", "route", verb, "local", route, "dev", "lo", "table", "local"]
        subprocess.run(command, check=True)


def _said(laptop: Archive) -> tuple[str, float]:
    """What a laptop is told that sends into the silence, and after how many seconds."""
    started = time.monotonic()
    try:
        laptop.deposit(b"while it is silent", device_text="laptop", at=AT)
    except ArchiveProblem as problem:
        return problem.sentence, time.monotonic() - started
    return "", time.monotonic() - started


def main() -> None:
    """Go through it once."""
    subprocess.run(["ip", "link", "set", "lo", "up"], check=True)
    engine.SILENT_MS = 2000  # type: ignore[misc]
    server = Server()
    try:
        place = server.database()
        Archive.open(place).close()
        laptop = Archive.reach(place)
        laptop.deposit(b"before", device_text="laptop", at=AT)
        _routes("del")
        said, lasted_s = _said(laptop)
        _routes("add")
        laptop.deposit(b"while it is silent", device_text="laptop", at=AT)
        found = {"said": said, "lasted_s": lasted_s, "count": laptop.waiting_count()}
        laptop.close()
    finally:
        server.close()
    sys.stdout.write(json.dumps(found))


if __name__ == "__main__":
    main()
