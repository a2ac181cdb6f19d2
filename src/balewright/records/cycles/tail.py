"""The end of a recording that is still needed when more of it comes."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Final

import numpy as np

from balewright.records.cycles.clock import Clock
from balewright.records.cycles.rules import SECOND_US, CycleRules
from balewright.records.cycles.samples import finite_known, last_known
from balewright.records.signals import Signal, Signals

_MARGIN_US: Final = 60 * SECOND_US
"""Kept before the oldest open bale: what is still bouncing, and a boundary's earliest time."""


@dataclass(frozen=True)
class Tail:
    """Samples kept."""

    signals: Signals = field(default_factory=lambda: Signals("", None))

    def then(self, piece: Signals) -> Tail:
        """With a piece behind it."""
        held = self.signals
        names = list(dict.fromkeys([*held.by_name, *piece.by_name]))
        both = (held.by_name, piece.by_name)
        joined = {name: _join([each[name] for each in both if name in each]) for name in names}
        first_us = piece.first_us if held.first_us is None else held.first_us
        machine = piece.machine if held.machine is None else held.machine
        return Tail(Signals(piece.file, machine, MappingProxyType(joined), first_us, piece.last_us))

    def since(self, work_us: int | None, clock: Clock, rules: CycleRules) -> Tail:
        """From a working time on, at most `keep_us` long; with None only a margin is kept. Of each
        signal the last value known before is kept too: what stood until a new one came."""
        signals = self.signals
        kept, firsts = {}, []
        works = {name: clock.steady_us(signal) for name, signal in signals.by_name.items()}
        now_us = max((int(work[-1]) for work in works.values() if len(work)), default=0)
        from_us = max((now_us if work_us is None else work_us) - _MARGIN_US, now_us - rules.keep_us)
        for name, signal in signals.by_name.items():
            place = int(np.searchsorted(works[name], from_us))
            stood = last_known(finite_known(signal), place)
            chosen = np.arange(place - (stood is not None), signal.samples)
            if stood is not None:
                chosen[0] = stood
            kept[name] = Signal(
                signal.at_us[chosen], signal.values[chosen], signal.known[chosen],
                signal.error[chosen], signal.at[chosen],
            )  # fmt: skip
            if place < signal.samples:
                firsts.append(int(signal.at_us[place]))
        last_us = signals.last_us
        named = MappingProxyType(kept)
        first_us = min(firsts, default=last_us)
        return Tail(Signals(signals.file, signals.machine, named, first_us, last_us))


def _join(parts: Iterable[Signal]) -> Signal:
    held = list(parts)
    if len(held) == 1:
        return held[0]
    return Signal(
        np.concatenate([each.at_us for each in held]),
        np.concatenate([each.values for each in held]),
        np.concatenate([each.known for each in held]),
        np.concatenate([each.error for each in held]),
        np.concatenate([each.at for each in held]),
    )
