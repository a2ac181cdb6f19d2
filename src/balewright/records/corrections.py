"""What a person says of bales afterwards: new facts beside the record, never over it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Correction:
    """One column of some bales of one machine, put right.

    key: made once, so that the same correction twice is one; bales: keys by
    `records.bale_keys`; column: of the bale table; value: as the table holds it, None
    for `not known`; why: a person's words; by: who; at_us: UTC microseconds; withdraws: key of an
    earlier correction that this one takes back (then `bales`, `column`, `value` repeat it).
    Of two corrections of one cell the later one counts, of the same time the higher key.
    """

    key: str
    machine: str
    bales: tuple[str, ...]
    column: str
    value: str | int | float | None
    why: str
    by: str | None
    at_us: int
    withdraws: str | None = None
