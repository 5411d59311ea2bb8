"""A network between a laptop and its archive that fails as asked: a proxy of our own before the server.

What passes is counted, so that a fault can strike in the middle of a message. A proxy sees the same bytes as
a cable does and needs no rights of the system's keeper; that a kernel notices a dead peer is left out.
"""

from __future__ import annotations

import contextlib
import selectors
import socket
import struct
import threading
import time
from typing import Final, Literal

Kind = Literal["none", "refused", "silent_out", "silent_in", "half_open", "reset", "slow"]
KINDS: Final[tuple[Kind, ...]] = ("refused", "silent_out", "silent_in", "half_open", "reset", "slow")
_CHUNK: Final = 4096


class Network:
    """Listens on a port of its own and hands on to the server, or does not."""

    def __init__(self, server_port: int) -> None:
        self._server_port = server_port
        self._kind: Kind = "none"
        self._after_bytes = 0
        self._open: set[socket.socket] = set()
        self._turn = threading.Lock()
        self._listener = self._listen(0)
        self.port = int(self._listener.getsockname()[1])
        self._ended = False
        threading.Thread(target=self._accept, daemon=True).start()

    def fail(self, kind: Kind, after_bytes: int = 0) -> None:
        """From now on fail in that way, once so many bytes went to the server."""
        self._kind, self._after_bytes = kind, after_bytes
        if kind == "refused":
            self._drop_all()

    def heal(self) -> None:
        """Everything passes again; what hung is dropped."""
        self._kind = "none"
        self._drop_all()

    def close(self) -> None:
        """Listen no more."""
        self._ended = True
        self._drop_all()
        self._listener.close()

    def _listen(self, port: int) -> socket.socket:
        listener = socket.socket()
        listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listener.bind(("127.0.0.1", port))
        listener.listen(16)
        return listener

    def _accept(self) -> None:
        while not self._ended:
            try:
                near, _ = self._listener.accept()
            except OSError:
                return
            if self._kind == "refused":
                _reset(near)
                continue
            threading.Thread(target=self._carry, args=(near,), daemon=True).start()

    def _carry(self, near: socket.socket) -> None:
        """Hand bytes on in both directions until one end goes."""
        try:
            far = socket.create_connection(("127.0.0.1", self._server_port), timeout=2)
        except OSError:
            _reset(near)
            return
        with self._turn:
            self._open |= {near, far}
        passed = 0
        with contextlib.suppress(OSError, ValueError), selectors.DefaultSelector() as ready:
            ready.register(near, selectors.EVENT_READ)
            ready.register(far, selectors.EVENT_READ)
            while True:
                for key, _ in ready.select(0.05):
                    source = key.fileobj
                    assert isinstance(source, socket.socket)
                    data = source.recv(_CHUNK)
                    if not data:
                        raise OSError
                    outward = source is near
                    passed += len(data) if outward else 0
                    self._hand_on(data, far if outward else near, outward=outward, passed=passed)
        self._end(near, far)

    def _hand_on(self, data: bytes, end: socket.socket, *, outward: bool, passed: int) -> None:
        kind = self._kind if passed >= self._after_bytes else "none"
        if kind == "reset":
            raise OSError
        if kind == "half_open" or kind == ("silent_out" if outward else "silent_in"):
            return
        if kind != "slow":
            end.sendall(data)
            return
        for byte in data:
            if self._kind != "slow":
                raise OSError
            end.sendall(bytes((byte,)))
            time.sleep(0.05 if self._ended else 1.0)

    def _end(self, *ends: socket.socket) -> None:
        with self._turn:
            self._open -= set(ends)
        for end in ends:
            _reset(end)

    def _drop_all(self) -> None:
        with self._turn:
            ends = list(self._open)
            self._open.clear()
        for end in ends:
            with contextlib.suppress(OSError):
                end.shutdown(socket.SHUT_RDWR)


def _reset(end: socket.socket) -> None:
    with contextlib.suppress(OSError):
        end.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, struct.pack("ii", 1, 0))
    end.close()
