"""Where a command puts its picture."""

from __future__ import annotations

from pathlib import Path

from balewright.quantities.errors import BadInput, Fault


def write_drawing(file: Path, drawing: str, option: str = "--svg") -> None:
    """Write an SVG into `file`; BadInput under the option's name where that cannot be."""
    try:
        file.write_text(drawing, encoding="utf-8")
    except OSError as error:
        cure = "Name a file in a folder that exists and that you may write to."
        given = f"{file} ({error.strerror})"
        raise BadInput(Fault(option, "a file that can be written", given, cure)) from error
