"""Add outlines of fields that a person hands over as GeoJSON."""

from __future__ import annotations

from pathlib import Path

from balewright.flows.workplace import Workplace
from balewright.quantities.errors import BadInput, Fault
from balewright.readers.geojson import Drawn, read_geojson


def add_outlines(
    workplace: Workplace, content: bytes, name: str, field: str | None = None
) -> Drawn:
    """Keep every outline of a GeoJSON file; none where one of them is wrong.

    field: name of the field where the file names none. What a person added before of the same
    field, farm and customer gives way; what files draw stays. Raises BadInput with every fault.
    """
    drawn = read_geojson(content, name, field)
    workplace.register.save_outlines(drawn.outlines)
    return drawn


def add_outline_file(workplace: Workplace, path: Path, field: str | None = None) -> Drawn:
    """The same from a file. Raises BadInput too where it cannot be read."""
    try:
        content = path.read_bytes()
    except OSError as error:
        said = (error.strerror or str(error)).lower()
        raise BadInput(Fault(str(path), "a file that can be read", said, "Check it.")) from error
    return add_outlines(workplace, content, path.name, field)
