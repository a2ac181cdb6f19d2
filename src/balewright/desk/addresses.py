"""Serials as parts of an address: a file may name a machine `A/7`, which no address can hold."""

from __future__ import annotations

from typing import Final

_WRITTEN: Final = (("%", "%25"), ("/", "%2F"))
_DOTS: Final = {".": "%2E", "..": "%2E%2E"}
"""Browsers take these for folders."""


class SerialInAddress:
    """One part of an address for any serial but an empty one; plain serials stand as they are."""

    regex = "[^/]+"

    def to_url(self, serial: str) -> str:
        """As the address holds it."""
        for letter, written in _WRITTEN:
            serial = serial.replace(letter, written)
        return _DOTS.get(serial, serial)

    def to_python(self, part: str) -> str:
        """The serial again."""
        for serial, written in _DOTS.items():
            if part.upper() == written:
                return serial
        for letter, written in reversed(_WRITTEN):
            part = part.replace(written, letter)
        return part
