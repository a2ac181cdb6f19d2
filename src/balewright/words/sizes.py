"""Sizes of files for people: three figures, powers of a thousand."""

from __future__ import annotations

from typing import Final

_UNITS: Final = ("bytes", "kB", "MB", "GB", "TB")


def say_bytes(size_bytes: int) -> str:
    """A size such as `812 bytes`, `4.21 MB` or `120 GB`; at least 0."""
    size, unit = float(size_bytes), 0
    while size >= 999.5 and unit < len(_UNITS) - 1:
        size, unit = size / 1000, unit + 1
    if unit == 0:
        return f"{size_bytes} {_UNITS[0] if size_bytes != 1 else 'byte'}"
    decimals = 2 if size < 9.995 else 1 if size < 99.95 else 0
    return f"{size:.{decimals}f} {_UNITS[unit]}"
