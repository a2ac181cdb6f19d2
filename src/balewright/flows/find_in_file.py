"""Findings straight from a file of bales, without a register."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Final

import numpy as np

from balewright.findings.against_plan import cannot_tell, find_against_plan
from balewright.findings.finding import Finding
from balewright.flows.find_profile import find_profile
from balewright.flows.read_sheet_file import read_sheet_file
from balewright.plan.machine import Machine
from balewright.plan.sheet.sheet import Sheet
from balewright.quantities.errors import BadInput, Fault
from balewright.quantities.reason import Reason
from balewright.readers.open_records import open_records
from balewright.records.bales import BaleTable, concatenate, masked_table
from balewright.records.intake import Refusal

MAX_BALES: Final = 1_000_000
"""Bales judged straight from a file: a lifetime of many machines."""

SHOWN: Final = 1000
"""Refusals held in full; `refused` counts all."""


@dataclass(frozen=True)
class FileFindings:
    """What a file shows: findings, what its records cannot tell, bales read, rows refused.

    refusals: the first SHOWN; refused: how many there were.
    """

    findings: tuple[Finding, ...]
    untold: tuple[Reason, ...]
    bales: int
    refusals: tuple[Refusal, ...]
    refused: int


def find_in_file(path: Path, profile: str, sheet: Path | None) -> FileFindings:
    """Hold every bale of a file against one sheet.

    path: bale CSV or task data; profile: key of a shipped profile or path of a profile file;
    sheet: a sheet as JSON, taken to be in force at every bale; None judges only on what needs
    none. Raises BadInput for what cannot be read, and for a sheet of another profile.
    """
    machine = find_profile(profile)
    sheets: dict[str, Sheet] = {}
    bales, refusals, refused = _read(path)
    if sheet is not None:
        sheets = {"given": _sheet(sheet, machine)}
        bales = _under(bales, "given")
    return FileFindings(
        findings=find_against_plan(bales, machine, sheets),
        untold=cannot_tell(bales, machine, sheets),
        bales=bales.rows,
        refusals=refusals,
        refused=refused,
    )


def _read(path: Path) -> tuple[BaleTable, tuple[Refusal, ...], int]:
    """The bales, the first refusals, and how many refusals there were. Bounded however large."""
    tables: list[BaleTable] = []
    refusals: list[Refusal] = []
    refused = rows = 0
    for batch in open_records(path).batches:
        refused += len(batch.refusals)
        refusals += batch.refusals[: SHOWN - len(refusals)]
        rows += batch.bales.rows
        if rows > MAX_BALES:
            cure = "Split the file by season, or take it in: balewright take-in."
            given = f"more than {MAX_BALES}"
            raise BadInput(Fault(path.name, f"at most {MAX_BALES} bales at once", given, cure))
        if batch.bales.rows or not tables:
            tables.append(batch.bales)
    return concatenate(tables), tuple(refusals), refused


def _sheet(path: Path, machine: Machine) -> Sheet:
    sheet = read_sheet_file(path)
    if sheet.profile_key != machine.key:
        cure = "Give the profile the sheet was made for."
        need = f"a sheet made for {machine.key}"
        raise BadInput(Fault(str(path), need, f"one for {sheet.profile_key}", cure))
    return sheet


def _under(bales: BaleTable, key: str) -> BaleTable:
    """The same bales with one sheet in force at all of them."""
    values = {**bales.values, "sheet": np.full(bales.rows, key, dtype=object)}
    known = {**bales.known, "sheet": np.ones(bales.rows, dtype=np.bool_)}
    return masked_table(bales.rows, values, known)
