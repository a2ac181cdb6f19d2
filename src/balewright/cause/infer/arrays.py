"""A fault network as plain arrays: causes that may be there, and what each of them turns on.

Two layers of yes-or-no things. A cause i is there with `prior_frac[i]`, independently of the
others. An observation j is on with

    P(off | causes) = (1 - leak_frac[j]) * product over the causes that are there of (1 - chance)

where `chance` is that of the link from the cause to the observation: how often this cause alone
would turn it on. The leak turns it on with no cause of the network (noisy-OR; J. Pearl 1988).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from balewright.quantities.errors import BadInput, Fault

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


def frozen_floats(values: ArrayLike) -> Floats:
    """A copy of its own that nobody can write to."""
    own = np.array(values, dtype=np.float64)
    own.setflags(write=False)
    return own


def frozen_ints(values: ArrayLike) -> Ints:
    """The same for whole numbers."""
    own = np.array(values, dtype=np.int64)
    own.setflags(write=False)
    return own


@dataclass(frozen=True, eq=False)
class Arrays:
    """One fault network of n causes and m observations, checked when it is made.

    prior_frac[n]: chance of each cause before anything is seen, 0..1.
    start[m + 1]: the links of observation j are start[j] : start[j + 1].
    cause[links]: which cause a link comes from; a cause at most once an observation.
    chance[links]: chance that this cause alone turns the observation on, 0..1.
    leak_frac[m]: chance that it is on without any cause, 0..1.

    The arrays are copied and read-only. Raises BadInput where they do not fit together.
    """

    prior_frac: Floats
    start: Ints
    cause: Ints
    chance: Floats
    leak_frac: Floats

    def __post_init__(self) -> None:
        for name in ("prior_frac", "chance", "leak_frac"):
            object.__setattr__(self, name, frozen_floats(getattr(self, name)))
        for name in ("start", "cause"):
            given = np.asarray(getattr(self, name))
            if given.size and not np.issubdtype(given.dtype, np.integer):
                raise BadInput(_fault(name, "whole numbers", str(given.dtype)))
            object.__setattr__(self, name, frozen_ints(given))
        faults = [*_shapes(self)] or [*_chances(self), *_links(self)]
        if faults:
            raise BadInput(*faults)

    @property
    def causes(self) -> int:
        """How many causes there are."""
        return int(self.prior_frac.size)

    @property
    def observations(self) -> int:
        """How many observations there are."""
        return int(self.leak_frac.size)


def _fault(place: str, need: str, given: str) -> Fault:
    return Fault(f"fault network, {place}", need, given, "Correct the network.")


def _shapes(net: Arrays) -> list[Fault]:
    """Whether the arrays are rows of the lengths that belong together."""
    rows = (net.prior_frac, net.start, net.cause, net.chance, net.leak_frac)
    if any(row.ndim != 1 for row in rows):
        return [_fault("arrays", "rows", "an array of another shape")]
    faults = []
    if net.start.size != net.leak_frac.size + 1:
        need = f"{net.leak_frac.size + 1} places, one more than leak_frac"
        faults.append(_fault("start", need, str(net.start.size)))
    elif net.start[0] != 0 or net.start[-1] != net.cause.size or (np.diff(net.start) < 0).any():
        need = f"places from 0 to {net.cause.size} that never fall"
        faults.append(_fault("start", need, f"{net.start[0]} to {net.start[-1]}"))
    if net.cause.size != net.chance.size:
        faults.append(_fault("chance", f"{net.cause.size} values", str(net.chance.size)))
    return faults


def _chances(net: Arrays) -> list[Fault]:
    """Every value that is no chance."""
    faults = []
    for name in ("prior_frac", "chance", "leak_frac"):
        values: Floats = getattr(net, name)
        wrong = np.flatnonzero(~((values >= 0.0) & (values <= 1.0)))
        faults += [_fault(f"{name}[{at}]", "a chance of 0 to 1", str(values[at])) for at in wrong]
    return faults


def _links(net: Arrays) -> list[Fault]:
    """Every link to a cause that is not there, or that is there twice."""
    faults = []
    lowest, highest = 0, net.prior_frac.size - 1
    for at in np.flatnonzero((net.cause < lowest) | (net.cause > highest)):
        need = f"a cause of {lowest} to {highest}"
        faults.append(_fault(f"cause[{at}]", need, str(net.cause[at])))
    for observation in range(net.leak_frac.size):
        linked = net.cause[net.start[observation] : net.start[observation + 1]]
        if np.unique(linked).size != linked.size:
            faults.append(_fault(f"observation {observation}", "each cause once", "one twice"))
    return faults
