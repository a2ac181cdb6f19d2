"""A line to the desk that can be cut: every connection through it ends at once, none begins.

Cutting the line itself, and not only what the browser's page may reach, leaves nothing that could
slip through while a page is loaded anew or a worker starts.
"""

from __future__ import annotations

import contextlib
import socket
import threading


class Line:
    """Passes bytes between a port of its own and the desk's."""

    def __init__(self, desk: str) -> None:
        host, _, port = desk.removeprefix("http://").partition(":")
        self._desk = (host, int(port))
        self._ends: set[socket.socket] = set()
        self._guard = threading.Lock()
        self._port = 0
        self.mend()

    @property
    def address(self) -> str:
        """Where the desk is reached through this line."""
        return f"http://127.0.0.1:{self._port}"

    def mend(self) -> None:
        """Let connections through, always at the same address."""
        self._door = socket.create_server(("127.0.0.1", self._port), reuse_port=False)
        self._port = self._door.getsockname()[1]
        threading.Thread(target=self._open_door, args=(self._door,), daemon=True).start()

    def cut(self) -> None:
        """End every connection and take no more."""
        with self._guard:
            _end(self._door)
            for one in self._ends:
                _end(one)
            self._ends.clear()

    def _open_door(self, door: socket.socket) -> None:
        while True:
            try:
                near, _ = door.accept()
                far = socket.create_connection(self._desk)
            except OSError:
                return
            with self._guard:
                if door is not self._door or door.fileno() < 0:
                    _end(near)
                    _end(far)
                    return
                self._ends.update((near, far))
            for ends in ((near, far), (far, near)):
                threading.Thread(target=_pass_on, args=ends, daemon=True).start()


def _pass_on(one: socket.socket, other: socket.socket) -> None:
    """Until either end is closed."""
    try:
        while said := one.recv(65_536):
            other.sendall(said)
    except OSError:
        pass
    finally:
        _end(one)
        _end(other)


def _end(one: socket.socket) -> None:
    """Close it, also under whoever waits on it."""
    with contextlib.suppress(OSError):
        one.shutdown(socket.SHUT_RDWR)
    one.close()
