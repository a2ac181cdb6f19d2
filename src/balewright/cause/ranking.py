"""What a ranking of causes holds."""

from __future__ import annotations

from dataclasses import dataclass

from balewright.cause.evidence_value import Seen
from balewright.cause.laid_out import LeftOut
from balewright.quantities.reason import Reason


@dataclass(frozen=True)
class Sign:
    """What one piece of evidence does to one cause.

    on: key of the observation; lift_ratio: how many times the odds of the cause are what they
    would be without it, everything else known: above 1 speaks for it, below against it.
    """

    on: str
    seen: Seen
    lift_ratio: float


@dataclass(frozen=True)
class RankedCause:
    """One cause, given the evidence.

    prior_frac: chance that it is there before anything was seen; posterior_frac: after it;
    behind_frac: chance that it is there and that without it what was seen would not all have come
    about: this is what the order goes by. lifted, against: evidence it shows in, the weightiest
    first; expected: keys of what it usually shows in and nobody has looked at. The last three
    only for the first few causes.
    """

    key: str
    prior_frac: float
    posterior_frac: float
    behind_frac: float
    lifted: tuple[Sign, ...] = ()
    against: tuple[Sign, ...] = ()
    expected: tuple[str, ...] = ()


@dataclass(frozen=True)
class Pair:
    """Two causes at once. both_frac: chance that these two are there and no other; times_ratio:
    how much likelier that is than the likeliest single cause with no other.
    """

    causes: tuple[str, str]
    both_frac: float
    times_ratio: float


@dataclass(frozen=True)
class Unexplained:
    """Something seen that the causes do not account for. alone_frac: chance that none of them
    turned it on.
    """

    on: str
    alone_frac: float


@dataclass(frozen=True)
class Ranking:
    """Causes of a machine in the order of how likely they are behind what was seen.

    none_frac: chance that no cause of the network is there at all; beyond_frac: chance that none
    of them turned on anything of what was seen: it came by itself, or of what the network does not
    know. pair: two at once, where that is likelier than any one. clear: whether the first stands
    out; verdict: why, or why not. unexplained: seen things that fit none of the causes well;
    conflict_ratio: how much likelier the pieces of evidence are each by itself than all together,
    above 1 where they do not go together. left_out: evidence that was not used. log_evidence:
    natural logarithm of its chance (density) as a whole; width: how much of it hangs together.
    """

    causes: tuple[RankedCause, ...]
    none_frac: float
    beyond_frac: float
    pair: Pair | None
    clear: bool
    verdict: Reason
    unexplained: tuple[Unexplained, ...]
    conflict_ratio: float
    left_out: tuple[LeftOut, ...]
    log_evidence: float
    width: int

    def cause(self, key: str) -> RankedCause:
        """One of the causes; KeyError where the machine cannot have it."""
        for one in self.causes:
            if one.key == key:
                return one
        raise KeyError(key)
