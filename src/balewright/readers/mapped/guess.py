"""A first column map for an unknown table: every guess with how sure it is and why.

Nothing of it is applied before a person has confirmed it; what the table leaves open is asked.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

from balewright.quantities.errors import BadInput, Fault
from balewright.quantities.reason import Reason, because
from balewright.readers.lines import read_head
from balewright.readers.mapped.choosing import choose_meanings
from balewright.readers.mapped.encodings import EncodingGuess, guess_encoding
from balewright.readers.mapped.evidence import (
    Evidence,
    Holds,
    agreed_order,
    agreed_signs,
    look_at_column,
)
from balewright.readers.mapped.heading_guess import Meaning, Sure, meanings
from balewright.readers.mapped.heads import (
    SAMPLE_ROWS,
    Rows,
    Source,
    headings_at,
    sheet_rows,
    source_of,
    texts,
)
from balewright.readers.mapped.layout_guess import Layout, guess_layout, guess_separator
from balewright.readers.mapped.raw import MAX_COLUMNS
from balewright.readers.mapped.terms import CHOICES, folded
from balewright.readers.reading import Reading
from balewright.records.column_map import ColumnMap, MappedColumn, Twice
from balewright.records.columns import BY_NAME, Kind

SHOWN_TITLES: Final = 10


@dataclass(frozen=True)
class GuessedColumn:
    """One column. column: as the draft maps it; sure, why, unit_why: as in `Meaning`; samples:
    its first different cells; others: further targets it may be, the likeliest first; distinct:
    its different words, at most 60.
    """

    column: MappedColumn
    sure: Sure
    why: str
    unit_why: str
    samples: tuple[str, ...]
    others: tuple[str, ...] = ()
    distinct: tuple[str, ...] = ()


@dataclass(frozen=True)
class Guess:
    """A draft. column_map: what would be saved, without key; columns: one for each of it;
    questions: what the table does not decide; titles: rows above the headings; sheets: names in a
    spreadsheet; encoding: how the text's encoding is known, None of a spreadsheet.
    """

    column_map: ColumnMap
    columns: tuple[GuessedColumn, ...]
    questions: tuple[Reason, ...]
    titles: tuple[str, ...]
    sheets: tuple[str, ...] = ()
    encoding: EncodingGuess | None = None


@dataclass(frozen=True)
class GuessWish:
    """What a person has said already; None where the table shall decide."""

    encoding: str | None = None
    sheet: str | None = None
    head_row: int | None = None


def guess(path: Path, reading: Reading | None = None, wish: GuessWish | None = None) -> Guess:
    """A draft map for a text table or spreadsheet, from its first SAMPLE_ROWS rows.

    Raises BadInput where nothing in it looks like headings over rows of values.
    """
    reading, wish = reading or Reading(), wish or GuessWish()
    source = source_of(path)
    encoding = None
    if source.kind == "text":
        seen = guess_encoding(read_head(path))
        encoding = seen
        if wish.encoding not in (None, seen.encoding):
            encoding = EncodingGuess(wish.encoding or "", False, "said")
        separator = guess_separator(source, encoding.encoding) or ","
        rows = source.text_rows(encoding.encoding, separator, SAMPLE_ROWS)
        sheet, layout = None, _layout(rows, separator, wish)
    else:
        sheet, rows, layout = _best_sheet(source, wish)
    if layout is None:
        need = "headings over rows of values"
        cure = "Say in which row the headings are, or export the table without its report head."
        raise BadInput(Fault(path.name, need, "none that look so", cure))
    draft = _draft(path, rows, layout, sheet)
    if encoding is not None:
        draft = replace(draft, encoding=source.encoding(encoding.encoding))
    return _guess(draft, rows, reading, (source, encoding))


def _layout(rows: Rows, separator: str, wish: GuessWish) -> Layout | None:
    found = guess_layout(rows, separator)
    if wish.head_row is None:
        return found
    count = found.head_rows if found is not None and found.head_row == wish.head_row else 1
    headings = headings_at(rows, wish.head_row, count)
    return None if not headings else Layout(separator, wish.head_row, count, len(headings))


def _best_sheet(source: Source, wish: GuessWish) -> tuple[str, Rows, Layout | None]:
    """The sheet that was named, else the first shown one that looks like a table."""
    sheets = [one for one in source.sheets if wish.sheet in (None, one.name)]
    if not sheets:
        names = ", ".join(one.name for one in source.sheets) or "none"
        need = f"a sheet: {names}"
        raise BadInput(Fault(source.path.name, need, repr(wish.sheet), "Name one of them."))
    best: tuple[str, Rows, Layout | None] = (sheets[0].name, sheet_rows(sheets[0]), None)
    most = 0
    for one in sorted(sheets, key=lambda sheet: sheet.is_hidden):
        rows = sheet_rows(one)
        layout = _layout(rows, ",", wish)
        if layout is not None and len(rows) > most:
            best, most = (one.name, rows, layout), len(rows)
            if not one.is_hidden and layout.width > 3:
                break
    return best


def _draft(path: Path, rows: Rows, layout: Layout, sheet: str | None) -> ColumnMap:
    headings = headings_at(rows, layout.head_row, layout.head_rows) or []
    if len(headings) > MAX_COLUMNS:
        given, cure = f"{len(headings):,} or more", "Export fewer columns."
        raise BadInput(Fault(path.name, f"at most {MAX_COLUMNS} columns", given, cure))
    return ColumnMap(
        key="",
        name=path.name.partition(".")[0][:120] or "table",
        columns=tuple(MappedColumn(heading, at, "") for at, heading in enumerate(headings)),
        sheet=sheet,
        head_row=layout.head_row,
        head_rows=layout.head_rows,
        separator=layout.separator or ",",
        twice=Twice.REFUSE,
    )


def _guess(
    draft: ColumnMap, rows: Rows, reading: Reading, about: tuple[Source, EncodingGuess | None]
) -> Guess:
    source, encoding = about
    below = [cells for row, cells in rows if row >= draft.head_row + draft.head_rows]
    looked = [
        look_at_column([cells[at] if at < len(cells) else None for cells in below])
        for at in range(len(draft.columns))
    ]
    possible = [
        meanings(one.heading, seen) for one, seen in zip(draft.columns, looked, strict=True)
    ]
    chosen = choose_meanings(possible, looked)
    columns = tuple(
        _column(column, meaning, (seen, others))
        for column, meaning, seen, others in zip(
            draft.columns, chosen, looked, possible, strict=True
        )
    )
    decimal, thousands, signs_sure = agreed_signs(looked)
    order, order_sure = agreed_order(looked)
    zone, machine = _zone(reading), None
    if not any(one.column.target == "machine" for one in columns):
        machine = reading.machine
    column_map = replace(
        draft,
        columns=tuple(one.column for one in columns),
        decimal=decimal,
        thousands=thousands,
        day_order=order,
        zone=zone or "UTC",
        machine=machine,
        unknown=tuple(dict.fromkeys(("", *(word for one in looked for word in one.unknown)))),
    )
    open_ones = _questions(column_map, looked, (signs_sure, order_sure, zone is not None))
    if encoding is not None and not encoding.is_sure:
        open_ones.insert(0, because("columns.ask.encoding", encoding=encoding.encoding))
    titles = [texts(cells) for row, cells in rows if row < draft.head_row]
    return Guess(
        column_map,
        columns,
        tuple(open_ones),
        tuple(" ".join(filter(None, cells)) for cells in titles[:SHOWN_TITLES]),
        tuple(one.name for one in source.sheets) if source.kind != "text" else (),
        encoding,
    )


def _column(
    column: MappedColumn, meaning: Meaning | None, about: tuple[Evidence, list[Meaning]]
) -> GuessedColumn:
    seen, others = about
    further = tuple(one.target for one in others if meaning is None or one.target != meaning.target)
    if meaning is None:
        why = "taken" if others else "unknown"
        return GuessedColumn(column, Sure.NOT, why, "", seen.samples, further, seen.distinct)
    words: tuple[tuple[str, str], ...] = ()
    sure = meaning.sure
    if meaning.target in BY_NAME and BY_NAME[meaning.target].choices:
        words, understood = _words(meaning.target, seen.distinct)
        sure = sure if understood else min(sure, Sure.OPEN)
    if meaning.unit_why in ("own", "values") and meaning.target in BY_NAME:
        is_time = BY_NAME[meaning.target].kind is Kind.TIME
        sure = sure if is_time else min(sure, Sure.LIKELY)
    mapped = replace(column, target=meaning.target, unit=meaning.unit, words=words)
    told = (meaning.why, meaning.unit_why, seen.samples, further, seen.distinct)
    return GuessedColumn(mapped, sure, *told)


def _words(target: str, distinct: Sequence[str]) -> tuple[tuple[tuple[str, str], ...], bool]:
    """Their words for our choices; whether all of them are understood."""
    known = {
        word: ours for (name, ours), words in CHOICES.items() if name == target for word in words
    }
    pairs, understood = [], True
    for word in distinct:
        ours = known.get(folded(word))
        if ours is None:
            understood = understood and word.lower() in BY_NAME[target].choices
        elif word.lower() != ours:
            pairs.append((word, ours))
    return tuple(pairs), understood


def _zone(reading: Reading) -> str | None:
    """The only zone that the register's machines have, or that of the file's own machine."""
    if reading.machine is not None and reading.machine in reading.zones:
        return reading.zones[reading.machine]
    zones = set(reading.zones.values())
    return zones.pop() if len(zones) == 1 else None


def _questions(
    column_map: ColumnMap, looked: Sequence[Evidence], sure: tuple[bool, bool, bool]
) -> list[Reason]:
    signs_sure, order_sure, zone_known = sure
    used = [one for one in column_map.columns if one.target]
    targets = {one.target for one in used}
    times = [one for one in used if one.target.endswith("_at")]
    numbers = [one for one in used if looked[one.place].holds is Holds.NUMBERS]
    asked = []
    if not order_sure and times:
        asked.append(because("columns.ask.day_order", order=column_map.day_order))
    if not signs_sure and numbers:
        asked.append(because("columns.ask.decimal", sign=column_map.decimal))
    local = [
        one
        for one in times
        if one.unit in ("date", "clock", "serial")
        or (one.unit == "" and looked[one.place].has_local)
    ]
    if local and "zone" not in targets:
        key = "columns.ask.zone_confirm" if zone_known else "columns.ask.zone"
        asked.append(because(key, zone=column_map.zone))
    if "machine" not in targets and column_map.machine is None:
        asked.append(because("columns.ask.machine"))
    if not times and "bale_no" not in targets:
        asked.append(because("columns.ask.identity"))
    elif not times:
        asked.append(because("columns.ask.time"))
    for one in used:
        if one.target in BY_NAME and BY_NAME[one.target].choices:
            known = {theirs for theirs, _ in one.words}
            lacking = [
                word
                for word in looked[one.place].distinct
                if word not in known and word.lower() not in BY_NAME[one.target].choices
            ]
            if lacking:
                said = ", ".join(lacking[:8])
                asked.append(because("columns.ask.words", heading=one.heading, words=said))
    return asked
