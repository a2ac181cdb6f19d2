"""A guessed table, its preview and the kept maps, as the command prints them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any

from balewright.cli.answer import print_table

if TYPE_CHECKING:
    from balewright.flows.guess_columns import Guess
    from balewright.flows.keep_column_map import ColumnMapEntry
    from balewright.flows.preview_columns import Preview

_WIDE = 28
_ODD = 20


def print_guess(seen: Guess, column_map: Any, asked: Sequence[str]) -> None:
    """Each column with what it is taken for, how sure and why; then what is still open."""
    from balewright.quantities.reason import because
    from balewright.words.say import say

    layout = [f"sheet {column_map.sheet}" if column_map.sheet else column_map.encoding]
    if column_map.sheet is None:
        layout.append(f"separator {column_map.separator!r}")
    layout.append(f"headings in row {column_map.head_row + 1}")
    layout.append(f"decimal {column_map.decimal!r}, thousands {column_map.thousands!r}")
    layout.append(f"days {column_map.day_order}")
    layout.append(f"zone {column_map.zone}")
    print("; ".join(layout))
    if seen.titles:
        print(f"above the headings: {' / '.join(filter(None, seen.titles))}")
    print()
    rows = []
    for one, column in zip(seen.columns, column_map.columns, strict=True):
        changed = column.target != one.column.target or column.unit != one.column.unit
        why = "said" if changed else say(because(f"columns.why.{one.why}"))
        rows.append(
            [
                *(str(column.place + 1), _cut(column.heading), _cut(", ".join(one.samples))),
                *(column.target or "-", column.unit or "-"),
                "sure" if changed else say(because(f"columns.sure.{int(one.sure)}")),
                why,
            ]
        )
    print_table(["#", "heading", "cells", "column", "unit", "how sure", "why"], rows)
    for reason in seen.questions:
        mark = "?" if reason.key in asked else "-"
        print(f"{mark} {say(reason)}")
    print()


def preview_lines(preview: Preview) -> Iterator[str]:
    """The first rows as they would be read; refusals and doubts."""
    yield f"of the rows looked at: {preview.kept} kept, {preview.refused} refused, " + (
        f"{preview.doubtful} doubtful"
    )
    cells = [["row", *preview.columns]]
    cells += [
        [str(row.place), *(_said(preview, name, value) for name, value in _pairs(preview, row))]
        for row in preview.rows
    ]
    widths = [max(len(row[at]) for row in cells) for at in range(len(cells[0]))]
    for row in cells:
        yield "  ".join(cell.ljust(wide) for cell, wide in zip(row, widths, strict=True)).rstrip()
    for refusal in preview.refusals[:_ODD]:
        yield f"refused: {refusal.place}: {refusal.text}: {refusal.reason}"
    for doubt in preview.doubts[:_ODD]:
        yield f"doubtful: {doubt.place}: {doubt.kind}: {doubt.text}"


def _pairs(preview: Preview, row: Any) -> Iterator[tuple[str, Any]]:
    return zip(preview.columns, row.values, strict=True)


def _said(preview: Preview, name: str, value: Any) -> str:
    from balewright.words.times import say_time, zone_named

    if value is None:
        return "-"
    if name in preview.times:
        return say_time(value, zone_named("UTC"))
    return f"{value:.6g}" if isinstance(value, float) else _cut(str(value))


def map_line(entry: ColumnMapEntry) -> list[str]:
    """One kept map as cells of a table."""
    used = [one.heading for one in entry.map.columns if one.target]
    return [entry.map.key, entry.map.name, f"{entry.made_at:%Y-%m-%d %H:%M}", _cut(", ".join(used))]


def _cut(text: str) -> str:
    plain = " ".join(text.split())
    return plain if len(plain) <= _WIDE else plain[: _WIDE - 1] + "…"
