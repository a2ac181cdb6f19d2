"""Put a value of some bales right, or take that back. Both are new facts; no record is changed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import pyarrow as pa

from balewright.flows.find_bale import name_bale
from balewright.flows.workplace import Workplace
from balewright.quantities.errors import BadInput, Fault
from balewright.quantities.si import MICROSECONDS_PER_S
from balewright.readers.cells import convert_cells, explain_cell
from balewright.records.bales import masked_table
from balewright.records.columns import BY_NAME
from balewright.records.corrected import list_in_force
from balewright.records.corrections import Correction
from balewright.store.named_bales import COUNTING

WHY_LENGTH: Final = 500
MOST_BALES: Final = 5_000
TEXT_LENGTH: Final = 200


@dataclass(frozen=True)
class Asked:
    """What somebody wants put right.

    machine: its serial; bales: keys or numbers (`find_bale`); column: of the bale table; value:
    as the CSV form writes it, "" for `not known`; why: in their words; by: who, None for the
    command line; mark: made where it was asked, so that asking twice gives one; None makes one.
    """

    machine: str
    bales: tuple[str, ...]
    column: str
    value: str
    why: str
    by: str | None = None
    mark: str | None = None


def correct_bales(workplace: Workplace, asked: Asked) -> Correction:
    """Correct one column of one or many bales of a machine.

    It counts from now on, in reading, book and findings, over what any file says, also for rows
    of these bales that come later. Raises BadInput with all that cannot be: a column or value
    the table does not have, a bale nobody recorded, no reason.
    """
    value, faults = _read_value(asked.column, asked.value)
    faults += _check_why(asked.why)
    if not 0 < len(asked.bales) <= MOST_BALES:
        need = f"one to {MOST_BALES} bales"
        faults.append(Fault("bales", need, str(len(asked.bales)), "Name fewer at once."))
    if faults:
        raise BadInput(*faults)
    names = workplace.journal.read_names(asked.machine)
    keys: dict[str, None] = {}
    for named in asked.bales:
        known = names.keys.get(named)
        key = known if known is not None else name_bale(workplace, asked.machine, named)
        keys.update(dict.fromkeys(names.answers[key]))
    correction = Correction(
        key=asked.mark or _new_key(workplace),
        machine=asked.machine,
        bales=tuple(keys),
        column=asked.column,
        value=value,
        why=asked.why.strip(),
        by=asked.by,
        at_us=_after_the_last(workplace, asked.machine),
    )
    return _keep(workplace, correction)


def withdraw_correction(
    workplace: Workplace, key: str, why: str, by: str | None = None, mark: str | None = None
) -> Correction:
    """Take a correction back: from now on it counts no more, and stays to be seen.

    mark: as in Asked. Raises BadInput for a correction that is not there or was taken back
    already, and without a reason.
    """
    kept = {one.key: one for one in workplace.register.load_corrections()}
    if mark is not None and mark in kept:
        return kept[mark]
    faults = _check_why(why)
    force = {one.key for one in list_in_force(tuple(kept.values()))}
    if key not in force:
        given = "one that was taken back already" if key in kept else repr(key)
        faults.append(Fault("correction", "a correction that counts", given, "Check its key."))
    if faults:
        raise BadInput(*faults)
    first = kept[key]
    back = Correction(
        key=mark or _new_key(workplace),
        machine=first.machine,
        bales=first.bales,
        column=first.column,
        value=first.value,
        why=why.strip(),
        by=by,
        at_us=_after_the_last(workplace, first.machine),
        withdraws=key,
    )
    return _keep(workplace, back)


def _keep(workplace: Workplace, correction: Correction) -> Correction:
    marks = None
    if correction.column in COUNTING:
        marks = workplace.journal.mark_anew(correction.machine, correction)
    workplace.register.save_correction(correction, marks)
    return correction


def _read_value(name: str, text: str) -> tuple[str | int | float | None, list[Fault]]:
    """The value as the table holds it, None for unknown; or what is wrong with it."""
    column = BY_NAME.get(name)
    if column is None or name == "machine":
        need = "a column of the bale table other than machine"
        return None, [Fault("column", need, repr(name), "See docs/bale-table.md.")]
    text = text.strip()
    if not text:
        return None, []
    if len(text) > TEXT_LENGTH:
        need = f"at most {TEXT_LENGTH} signs"
        return None, [Fault(name, need, str(len(text)), "Shorten it.")]
    found = convert_cells(column, pa.array([text], pa.string()), ".")
    if found.failed or not found.known[0]:
        need, cure = explain_cell(column, text, ".")
        return None, [Fault(name, need, repr(text), cure)]
    return masked_table(1, {name: found.values}, {name: found.known}).cell(0, name), []


def _check_why(why: str) -> list[Fault]:
    if 0 < len(why.strip()) <= WHY_LENGTH:
        return []
    given = "none" if not why.strip() else f"{len(why.strip())} signs"
    need = f"a reason, at most {WHY_LENGTH} signs"
    return [Fault("why", need, given, "Say how it is known.")]


def _new_key(workplace: Workplace) -> str:
    return workplace.random.bytes(12).hex()


def _after_the_last(workplace: Workplace, machine: str) -> int:
    """Now, but after every correction of the machine: of two the later counts, also where the
    clock was set back between them."""
    now_us = round(workplace.clock().timestamp() * MICROSECONDS_PER_S)
    kept = workplace.register.load_corrections(machine)
    return max([now_us, *(one.at_us + 1 for one in kept)])
