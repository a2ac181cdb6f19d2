"""Codes that come with ground speed: a loose plug shakes on the move, a worn pump does not."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from scipy.stats import fisher_exact

from balewright.findings.finding import Finding, FindingKind
from balewright.findings.measures.inputs import inputs_of
from balewright.findings.watched import Bools, Watched
from balewright.quantities.reason import Reason, because

CHANCE: Final = 0.001
"""Below this chance of so uneven a share the tie is told: `assumed`; it is no finding of its
own but a word in one."""
_CODE: Final = "code "
FEWEST: Final = 5
"""Bales with the code below which nothing is said: `assumed`."""


@dataclass(frozen=True)
class SpeedTie:
    """Shares of bales with the code at high and at low speed, and the chance that speed has
    nothing to do with it (Fisher's exact test, two-sided)."""

    code: str
    fast_frac: float
    slow_frac: float
    split_m_s: float
    chance_frac: float

    @property
    def words(self) -> Reason:
        """As a sentence that goes behind the finding's own."""
        return because(
            "findings.codes.fast" if self.fast_frac > self.slow_frac else "findings.codes.slow",
            code=self.code,
            fast_frac=self.fast_frac,
            slow_frac=self.slow_frac,
            split_m_s=self.split_m_s,
        )


def tie_to_speed(watched: Watched, code: str, rows: Bools | None = None) -> SpeedTie | None:
    """How a code (`SPN/FMI`) goes with ground speed, None where nothing can be said or shown.

    rows: bales to look at, usually those since the code came; all where None. They are parted at
    their median speed, so that both halves have bales.
    """
    seen = inputs_of(watched)
    speed = seen.floats("speed_m_s")
    looked = np.isfinite(speed) & (rows if rows is not None else True)
    if not looked.any():
        return None
    split = float(np.median(speed[looked]))
    fast = looked & (speed > split)
    hit = _shows(watched, code)
    table = [[int((hit & part).sum()), int((part & ~hit).sum())] for part in (fast, looked & ~fast)]
    if table[0][0] + table[1][0] < FEWEST or not fast.any():
        return None
    chance = exact_chance(*table[0], *table[1])
    if chance > CHANCE:
        return None
    fast_frac, slow_frac = (row[0] / sum(row) for row in table)
    return SpeedTie(code, fast_frac, slow_frac, split, chance)


def with_speed(finding: Finding, watched: Watched) -> Finding:
    """The finding on a code, saying too how the code goes with speed where that can be shown.

    watched: bales of the machine; those from the finding's first bale on are looked at, by time
    or else by number. Any other finding comes back as it is.
    """
    if finding.kind is not FindingKind.CODES_MORE or not finding.part.startswith(_CODE):
        return finding
    tie = tie_to_speed(watched, finding.part.removeprefix(_CODE), _since(finding, watched))
    if tie is None:
        return finding
    how = "fast" if tie.fast_frac > tie.slow_frac else "slow"
    told = dict(finding.words.values) | {
        name: value for name, value in tie.words.values if name != "code"
    }
    words = because(f"{finding.words.key}.{how}", **told)
    return replace(finding, words=words, evidence=(*finding.evidence, "speed_m_s"))


def _since(finding: Finding, watched: Watched) -> Bools:
    if finding.since_us is not None:
        return np.asarray(watched.timed & (watched.made_us >= finding.since_us))
    numbers = watched.bales.floats("bale_no")
    first = -np.inf if finding.since_bale is None else finding.since_bale
    with np.errstate(invalid="ignore"):
        return np.asarray(numbers >= first)


def exact_chance(hits: int, misses: int, other_hits: int, other_misses: int) -> float:
    """Two-sided chance of a table at least as unlikely, all its sums given (Fisher's exact test).

    Source key: `fisher-exact`.
    """
    table = np.array([[hits, misses], [other_hits, other_misses]])
    return float(fisher_exact(table, alternative="two-sided").pvalue)


def _shows(watched: Watched, code: str) -> Bools:
    hit = np.zeros(watched.bales.rows, dtype=np.bool_)
    rows = np.flatnonzero(watched.bales.mask("codes"))
    said = watched.bales.column("codes")
    hit[rows] = [code in str(said[row]).split() for row in rows]
    return hit
