"""Exact inference in any small discrete network given as tables: variable elimination.

A second opinion on the product's own way, which knows only causes and noisy-OR. A table is an array
with one axis a variable; the variable that makes the smallest table goes first. Only products and
sums of numbers that are not negative.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from balewright.cause.infer.arrays import Arrays

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Table:
    """Values over some variables, an axis each."""

    over: tuple[str, ...]
    values: Floats


def _product(tables: Sequence[Table], keep: Sequence[str]) -> Table:
    """The product of tables, summed over what is not to be kept."""
    names = sorted({name for table in tables for name in table.over})
    axis = {name: at for at, name in enumerate(names)}
    kept = tuple(name for name in names if name in set(keep))
    given = [part for one in tables for part in (one.values, [axis[name] for name in one.over])]
    return Table(kept, np.einsum(*given, [axis[name] for name in kept], optimize=len(tables) > 2))


def chance_of(
    tables: Sequence[Table], evidence: Mapping[str, Sequence[float]], asked: str
) -> Floats:
    """The chance of the evidence together with each state of the variable asked about.

    evidence: a weight for each state of what is known; the sum of the answer is the chance of it.
    """
    left = [*tables]
    left += [Table((name,), np.asarray(weights, float)) for name, weights in evidence.items()]
    names = {name for table in left for name in table.over} - {asked}
    while names:
        sizes = {
            name: len({other for table in left if name in table.over for other in table.over})
            for name in names
        }
        out = min(sorted(names), key=lambda name: sizes[name])
        touching = [table for table in left if out in table.over]
        others = {name for table in touching for name in table.over} - {out}
        left = [table for table in left if out not in table.over]
        left.append(_product(touching, sorted(others)))
        names.discard(out)
    return _product(left, [asked]).values


def posterior_of(
    tables: Sequence[Table], evidence: Mapping[str, Sequence[float]], asked: str
) -> Floats:
    """The chance of each state of a variable, given the evidence."""
    values = chance_of(tables, evidence, asked)
    return values / values.sum()


def tables_of(net: Arrays) -> list[Table]:
    """A noisy-OR network written out as tables: causes c0, c1, ..., observations o0, o1, ..."""
    made = [Table((f"c{at}",), np.array([1 - p, p])) for at, p in enumerate(net.prior_frac)]
    for one in range(net.observations):
        links = slice(net.start[one], net.start[one + 1])
        off = np.array(1.0 - net.leak_frac[one])
        for chance in net.chance[links]:
            off = np.multiply.outer(off, np.array([1.0, 1.0 - chance]))
        over = (*(f"c{at}" for at in net.cause[links]), f"o{one}")
        made.append(Table(over, np.stack([off, 1.0 - off], axis=-1)))
    return made
