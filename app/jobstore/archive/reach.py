"""A place of an archive with an engine: how it is opened, asked and written to."""

from __future__ import annotations

import os
import socket
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from typing import Any, Self, TypeVar

from sqlalchemy import URL, Connection, Engine, event

from app.jobstore.archive.engine import POSTGRESQL, ArchiveProblem, engine_of, in_words, named, url_of
from app.jobstore.archive.forming import bring_up, demand_form

T = TypeVar("T")


class Reach:
    """An archive that is open. Several threads may ask at once."""

    def __init__(self, url: URL, engine: Engine, *, read_only: bool) -> None:
        self.url = url
        self.name = named(url)
        self.read_only = read_only
        self._engine = engine
        self._lines: list[Any] = []
        if url.get_backend_name() == POSTGRESQL:
            # In front of what the library itself asks on its first line, which may go dead as well.
            event.listen(engine, "connect", lambda line, _record: self._lines.append(line), insert=True)

    @classmethod
    def open(cls, place_text: str, *, read_only: bool = False) -> Self:
        """Open the archive at a path or an address, or make it.

        ArchiveProblem where it does not answer, holds something else, or was made by a newer program.
        """
        url = url_of(place_text)
        engine = engine_of(url, read_only=read_only)
        try:
            with in_words(url):
                bring_up(engine, name=named(url), read_only=read_only)
        except BaseException:
            engine.dispose()
            raise
        return cls(url, engine, read_only=read_only)

    @classmethod
    def reach(cls, place_text: str) -> Self:
        """The archive as a laptop sees it: it may leave deposits and look for answers; nothing is made."""
        url = url_of(place_text)
        return cls(url, engine_of(url), read_only=False)

    def demand_form(self) -> None:
        """ArchiveProblem where the archive is older or newer than this program, or not set up yet."""
        with in_words(self.url):
            demand_form(self._engine, name=self.name)

    def cut(self) -> None:
        """End whatever is being asked just now, from another thread: a line gone dead is not waited for."""
        for line in tuple(self._lines):
            with suppress(Exception), socket.socket(fileno=os.dup(line.fileno())) as end:
                end.shutdown(socket.SHUT_RDWR)

    def close(self) -> None:
        """Let go of the place; closing twice is harmless."""
        self._engine.dispose()

    def _ask(self, question: Callable[[Connection], T]) -> T:
        with in_words(self.url), self._engine.connect() as connection:
            return question(connection)

    @contextmanager
    def _writing(self) -> Iterator[Connection]:
        if self.read_only:
            raise ArchiveProblem(f"Nothing in {self.name} was changed: it is open for reading only.")
        with in_words(self.url), self._engine.begin() as connection:
            yield connection
