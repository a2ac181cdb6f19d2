"""Refusals of inference told in the keys of a network instead of places in arrays."""

from __future__ import annotations

from balewright.cause.infer.refusals import Contradiction, TooWide
from balewright.cause.laid_out import LaidOut
from balewright.quantities.errors import NotAnswerable


class EvidenceRefused(NotAnswerable):
    """Evidence that has no exact answer.

    observations: keys of those at fault; set_unknown: told as unknown, the rest has an answer;
    cannot_be: whether they contradict each other, else they hang together too widely.
    """

    def __init__(
        self, observations: tuple[str, ...], set_unknown: tuple[str, ...], cannot_be: bool
    ) -> None:
        self.observations, self.set_unknown = observations, set_unknown
        self.cannot_be = cannot_be
        names, out = ", ".join(observations), ", ".join(set_unknown)
        super().__init__(
            f"These cannot all be so: {names}. Take one of them back."
            if cannot_be
            else f"Too much hangs together for an exact answer: {names}. Leave out: {out}."
        )


def in_keys(refusal: Contradiction | TooWide, laid: LaidOut) -> EvidenceRefused:
    """The refusal with keys of observations."""
    keys = [one.key for one in laid.network.observations]
    at_fault = tuple(keys[at] for at in refusal.observations)
    if isinstance(refusal, Contradiction):
        return EvidenceRefused(at_fault, at_fault[:1], True)
    return EvidenceRefused(at_fault, tuple(keys[at] for at in refusal.set_unknown), False)
