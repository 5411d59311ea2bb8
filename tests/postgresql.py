"""A PostgreSQL server of the tests' own, on a socket in a folder, gone when it is let go."""

from __future__ import annotations

import itertools
import os
import shutil
import signal
import socket
import subprocess
import tempfile
from pathlib import Path

PLACES = ("/usr/lib/postgresql", "/usr/local/pgsql", "/opt/homebrew/opt")
_count = itertools.count(1)


def programs() -> Path | None:
    """The folder with the newest server's programs; None where there is none."""
    found = [path.parent for place in PLACES for path in Path(place).glob("*/bin/initdb")]
    return max(found, default=None, key=lambda path: float(path.parent.name.rpartition("@")[2] or 0))


class Server:
    """One server; every call of `database` makes a new empty database and gives its address.

    `safe` keeps what a server does against a power cut, which costs tests their time and benchmarks nothing.
    """

    def __init__(self, *, safe: bool = False) -> None:
        found = programs()
        assert found is not None, "PostgreSQL's server is not installed"
        self._programs = found
        self.folder = Path(tempfile.mkdtemp(prefix="coreleaf-pg-"))
        self.port = _free_port()
        # It refuses to be run by root.
        self._as = ["runuser", "-u", "postgres", "--"] if os.geteuid() == 0 else []
        if self._as:
            shutil.chown(self.folder, "postgres", "postgres")
        self._run(
            "initdb", "-D", self._data, "-U", "keeper", "-A", "trust", "-E", "UTF8", "--no-sync", "--locale=C"
        )
        self.start(safe=safe)

    def start(self, *, safe: bool = False) -> None:
        """Start it, and wait until it answers."""
        quick = "" if safe else "-c fsync=off -c synchronous_commit=off -c full_page_writes=off"
        settings = f"-k {self.folder} -c listen_addresses=127.0.0.1 -p {self.port} {quick}"
        self._run("pg_ctl", "-D", self._data, "-o", settings, "-l", f"{self.folder}/log", "-w", "start")

    def stop(self, mode: str = "immediate") -> None:
        """Stop it: `immediate` as if it were killed."""
        self._run("pg_ctl", "-D", self._data, "-m", mode, "-w", "stop", check=False)

    def kill(self) -> None:
        """Let it fall where it stands; unlike `stop` it waits for nothing and starts no program."""
        os.kill(int((self.folder / "data" / "postmaster.pid").read_text("ascii").split()[0]), signal.SIGQUIT)

    def close(self) -> None:
        """Stop it and take its folder away."""
        self.stop()
        shutil.rmtree(self.folder, ignore_errors=True)

    def database(self) -> str:
        """The address of a new empty database."""
        name = f"archive_{os.getpid()}_{next(_count)}"
        self.sql(f"CREATE DATABASE {name}")
        return self.address(name)

    def address(self, name: str, user: str = "keeper") -> str:
        """The address of a database for somebody, over the network of this computer."""
        return f"postgresql://{user}@127.0.0.1:{self.port}/{name}"

    def sql(self, statement: str, *, database: str = "postgres") -> None:
        """Run a statement as the owner of the server."""
        import psycopg

        with psycopg.connect(self.address(database), autocommit=True) as connection:
            connection.execute(statement)  # type: ignore[arg-type]

    @property
    def _data(self) -> str:
        return str(self.folder / "data")

    def _run(self, program: str, *arguments: str, check: bool = True) -> None:
        command = [*self._as, str(self._programs / program), *arguments]
        done = subprocess.run(command, capture_output=True, text=True, cwd="/", check=False)
        assert not check or done.returncode == 0, f"{program}: {done.stderr or done.stdout}"


def _free_port() -> int:
    """A port where nobody listens now."""
    with socket.socket() as found:
        found.bind(("127.0.0.1", 0))
        port: int = found.getsockname()[1]
    return port
