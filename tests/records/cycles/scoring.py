"""How well cycles agree with the truth of a rehearsed day."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field

import numpy as np

from balewright.records.cycles.cycles import NEVER_US, Cycles
from balewright.records.cycles.phases import PHASES, Sureness
from balewright.rehearsal.signals.sensing import Truth

NEAR_US = 20_000_000
"""A row whose boundaries lie further from a bale's, by their median, is not that bale."""


@dataclass
class Score:
    """Counts over days, and boundary errors with whether the range held the truth."""

    true: int = 0
    found: int = 0
    missed: int = 0
    invented: int = 0
    counted: int = 0
    numbers_wrong: int = 0
    numbers_unknown: int = 0
    passes_true: int = 0
    passes_found: int = 0
    boundaries: int = 0
    told: int = 0
    made_up: int = 0
    errors_us: list[int] = field(default_factory=list)
    inside: Counter[Sureness] = field(default_factory=Counter)
    of: Counter[Sureness] = field(default_factory=Counter)
    worst: list[tuple[int, str, str, int]] = field(default_factory=list)


def pair(cycles: Cycles, truth: Truth) -> dict[int, int]:
    """Which row of the cycles is which row of the truth: nearest first, each once."""
    shown, told = cycles.at_us, cycles.work_us != NEVER_US
    close = []
    for row in range(cycles.rows):
        for true_row in range(len(truth.numbers)):
            if bool(cycles.again[row]) != (truth.fates[true_row] == "again"):
                continue
            both = told[row] & (truth.shown_us[true_row] >= 0)
            if both.any():
                off = truth.shown_us[true_row] - shown[row]
                low = cycles.earliest_us[row] - cycles.work_us[row]
                high = cycles.latest_us[row] - cycles.work_us[row]
                apart = np.maximum(np.maximum(low - off, off - high), 0)[both]
                middle = float(np.median(apart))
                if middle < NEAR_US:
                    close.append((middle - int(both.sum()), true_row, row))
    found: dict[int, int] = {}
    for _, true_row, row in sorted(close):
        if true_row not in found and row not in found.values():
            found[true_row] = row
    return found


def add_day(score: Score, cycles: Cycles, truth: Truth) -> None:
    """Add one day."""
    pairs = pair(cycles, truth)
    bales = [row for row, fate in enumerate(truth.fates) if fate != "again"]
    score.true += len(bales)
    score.passes_true += len(truth.fates) - len(bales)
    score.found += sum(row in pairs for row in bales)
    score.missed += sum(row not in pairs for row in bales)
    score.passes_found += sum(row in pairs for row in range(len(truth.fates)) if row not in bales)
    score.invented += cycles.rows - len(pairs)
    shown = cycles.at_us
    for true_row, row in pairs.items():
        score.counted += int(cycles.counted[row])
        if truth.numbers[true_row] >= 0:
            score.numbers_unknown += int(not cycles.numbered[row])
            wrong = cycles.numbered[row] and cycles.bale_no[row] != truth.numbers[true_row]
            score.numbers_wrong += int(wrong)
        for phase, name in enumerate(PHASES):
            true_us = int(truth.shown_us[true_row, phase])
            sure = cycles.how_sure(row, phase)
            score.boundaries += int(true_us >= 0)
            if sure is Sureness.NOT_SEEN:
                continue
            if true_us < 0:
                score.made_up += 1
                continue
            at_us = int(shown[row, phase])
            late_us = int(cycles.latest_us[row, phase] - cycles.work_us[row, phase])
            early_us = int(cycles.work_us[row, phase] - cycles.earliest_us[row, phase])
            inside = at_us - early_us <= true_us <= at_us + late_us
            score.told += 1
            score.errors_us.append(abs(at_us - true_us))
            score.of[sure] += 1
            score.inside[sure] += int(inside)
            if not inside:
                score.worst.append((at_us - true_us, name, str(cycles.by[row, phase]), row))
