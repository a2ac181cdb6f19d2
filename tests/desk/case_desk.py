"""A machine with a case and a link to it, and the desk served inside the test's own process."""

from __future__ import annotations

import hashlib
import socketserver
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING
from wsgiref.simple_server import WSGIRequestHandler, WSGIServer

if TYPE_CHECKING:
    from balewright.flows.workplace import Workplace

SERIAL = "Q-7"
REPORTS = ("binding_loose",)
HOST = {"host": "localhost"}


def open_a_case(workplace: Workplace, complaint: str = "Film tears <all day>") -> str:
    """The key of a case of a machine of a known profile."""
    from balewright.flows.open_case import Opening, open_case
    from balewright.store.entries import MachineEntry

    workplace.register.save_machine(MachineEntry(SERIAL, "Blue one", "mossgrinder-m2"))
    return open_case(workplace, Opening(SERIAL, complaint, REPORTS, by="tove")).key


def link_to(workplace: Workplace, key: str, kind: str = "guide", claim: bool = False) -> str:
    """The address of a new link to a case."""
    from balewright.flows.share_case import ShareCase, share_case
    from balewright.store.case_entries import CaseLinkKind

    asked = ShareCase(key, "tove", 7, CaseLinkKind(kind), "Low field", claim)
    return f"/{'c' if kind == 'guide' else 'd'}/{share_case(workplace, asked).token}"


def jpeg_of(colour: str = "teal") -> bytes:
    """A small picture as a phone's browser makes one, drawn by typst; not a photo of anything."""
    import typst

    page = f'#set page(width: 40pt, height: 30pt, fill: {colour})\n#hide("x")'
    made = typst.compile(page.encode(), format="png")
    assert isinstance(made, bytes)
    from balewright.readers.photo import read_photo

    return read_photo(made).bare


def name_of(content: bytes) -> str:
    """The hash of a content."""
    return hashlib.sha256(content).hexdigest()


class _Server(socketserver.ThreadingMixIn, WSGIServer):
    daemon_threads = True


class _Quiet(WSGIRequestHandler):
    def log_message(self, *_: object) -> None:
        """Say nothing."""


@contextmanager
def served() -> Iterator[str]:
    """The desk's address, answered by threads of this process."""
    from balewright.desk.wsgi import application

    server = _Server(("127.0.0.1", 0), _Quiet)
    server.set_app(application)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_address[1]}"
    server.shutdown()
    server.server_close()
