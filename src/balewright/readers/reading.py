"""What a reader may need besides the bytes: saved column maps, whose file it is, who listens."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from types import MappingProxyType

from balewright.plan.machine import Machine
from balewright.records.column_map import ColumnMap


def _nobody(done: int, total: int | None) -> None:
    """The listener that hears nothing."""


@dataclass(frozen=True)
class Reading:
    """Context of one file's reading; the empty one reads everything that explains itself.

    maps: column maps to try on tables of other programs, the newest first; map_key: the one to
    use, whatever the headings suggest, None to match by headings; machine: serial of the machine
    the file is of, where the file cannot say it (a trace); profile: that machine's profile;
    signal_book: folder or file that tells a machine's own signals, None for the one beside its
    profile; begins_us: UTC microseconds at which a recording began, for traces that cannot say it;
    zones: IANA zone by serial; tell: hears bytes done of bytes in all, may raise
    `Stopped`.
    """

    maps: tuple[ColumnMap, ...] = ()
    map_key: str | None = None
    machine: str | None = None
    profile: Machine | None = None
    signal_book: Path | None = None
    begins_us: int | None = None
    zones: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    tell: Callable[[int, int | None], None] = _nobody
