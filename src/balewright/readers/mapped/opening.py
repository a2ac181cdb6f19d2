"""A table that is not of our own form: by a saved map, or refused with how to make one."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from balewright.quantities.errors import BadInput, Fault
from balewright.readers.csv_form import show_text
from balewright.readers.lines import read_head
from balewright.readers.mapped.encodings import guess_encoding
from balewright.readers.mapped.heads import Source, sheet_rows, source_of, texts
from balewright.readers.mapped.layout_guess import guess_layout, guess_separator
from balewright.readers.mapped.matching import find_map, read_matched
from balewright.readers.reading import Reading
from balewright.records.columns import BY_NAME
from balewright.records.events import EVENT_COLUMNS
from balewright.records.intake import Batch

UNKNOWN_TABLE = "a table whose columns are known here"
"""The need of the fault that a column map mends; the desk offers to make one."""
_MAKE_ONE = (
    "Say what its columns mean: `balewright columns FILE`, or at the desk under Column maps."
)


def open_mapped(path: Path, reading: Reading, why_not: BadInput | None = None) -> Iterator[Batch]:
    """The batches of a table by the map that fits it.

    why_not: what our own form found wrong with it. Raises BadInput where no map fits, with how to
    make one; with `why_not` where it is no other program's table at all.
    """
    source = source_of(path)
    match = find_map(source, reading)
    if match is not None:
        return read_matched(path, source.kind, match, reading)
    headings = None if _is_meant_as_ours(path) else shown_headings(source)
    if headings is None:
        if why_not is not None:
            raise why_not
        need = "a table with headings over rows of values"
        raise BadInput(Fault(path.name, need, "none that looks so", _MAKE_ONE))
    given = show_text(", ".join(one or "(none)" for one in headings), 200)
    raise BadInput(Fault(path.name, UNKNOWN_TABLE, given, _MAKE_ONE))


def shown_headings(source: Source) -> list[str] | None:
    """The headings of a table as they are guessed, None where nothing looks like some."""
    if source.kind == "text":
        encoding = guess_encoding(read_head(source.path)).encoding
        separator = guess_separator(source, encoding)
        if separator is None:
            return None
        tables = [(source.text_rows(encoding, separator, 200), separator)]
    else:
        tables = [(sheet_rows(sheet), "") for sheet in source.sheets]
    for rows, separator in tables:
        layout = guess_layout(rows, separator)
        if layout is not None:
            return texts(dict(rows)[layout.head_row])
    return None


def _is_meant_as_ours(path: Path) -> bool:
    """Whether half of its first names are ours: then what is wrong in it is worth more."""
    head = read_head(path)[:8192].decode(errors="replace").lstrip("\ufeff")
    if head.startswith("# balewright"):
        return True
    names = [name.strip().strip('"') for name in head.split("\n")[0].replace(";", ",").split(",")]
    known = {*BY_NAME, *(column.name for column in EVENT_COLUMNS)}
    return sum(name in known for name in names) * 2 >= len(names) > 0
