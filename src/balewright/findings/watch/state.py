"""What is kept of a machine's watch, so that new bales cost only themselves."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Final

from balewright.findings.finding import Finding
from balewright.findings.measures.frozen import Repeats
from balewright.findings.watch.level import LevelState
from balewright.findings.watch.rate import RateState
from balewright.findings.watch.restless import RestlessState

STATE_VERSION: Final = 5


@dataclass(frozen=True)
class Mark:
    """One bale that something was told of: number and time (None unknown), its sheet."""

    bale_no: int | None
    made_us: int | None
    sheet: str | None


@dataclass(frozen=True, eq=False)
class MachineState:
    """judged: bales read so far; keep_from: ordinal of the first bale that must be handed in
    again with the next ones; levels, rates, restless: by measure or column; marks: by ordinal;
    silent: findings of silence that the next chapter goes on from; repeats: what each sensor did
    so far, by column; version: of this form.
    """

    judged: int = 0
    keep_from: int = 0
    levels: Mapping[str, LevelState] = field(default_factory=lambda: MappingProxyType({}))
    rates: Mapping[str, RateState] = field(default_factory=lambda: MappingProxyType({}))
    restless: Mapping[str, RestlessState] = field(default_factory=lambda: MappingProxyType({}))
    marks: Mapping[int, Mark] = field(default_factory=lambda: MappingProxyType({}))
    silent: tuple[Finding, ...] = ()
    repeats: Mapping[str, Repeats] = field(default_factory=lambda: MappingProxyType({}))
    version: int = STATE_VERSION
