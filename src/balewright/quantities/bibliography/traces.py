"""What traces of a machine's bus are held against."""

from __future__ import annotations

from typing import Final

from balewright.quantities.source import Source, Strength

ENTRIES: Final[tuple[Source, ...]] = (
    Source(
        "python-can",
        Strength.REFERENCE,
        "python-can 4.6.1, run in the tests: its readers and writers of candump, ASC, TRC, BLF, "
        "CSV and (over asammdf) MF4.",
    ),
    Source(
        "cantools",
        Strength.REFERENCE,
        "cantools 45, run in the tests: values of fields of a DBC in both byte orders.",
    ),
    Source(
        "can-j1939",
        Strength.REFERENCE,
        "can-j1939 2.0, run in the tests on frames fed to it: transport of long messages, "
        "diagnostic codes, the NAME of a control.",
    ),
    Source(
        "j1939-71-ranges",
        Strength.MEMORY,
        "SAE J1939-71 / ISO 11783-7, from memory: of the most significant byte up to FA a value, "
        "FB to FD none, FE an error, FF not available; of two bits 10 an error, 11 not available.",
    ),
    Source(
        "j1939-73-codes",
        Strength.MEMORY,
        "SAE J1939-73 / ISO 11783-12, from memory: layout of DM1 and DM2, conversion of version 4, "
        "SPN 1208 FMI 3 count 10 as B8 04 03 0A (so also in the tests of an open stack).",
    ),
)
