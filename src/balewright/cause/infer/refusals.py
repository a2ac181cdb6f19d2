"""What has no answer: evidence that cannot be, and evidence too entangled to answer exactly."""

from __future__ import annotations

from balewright.quantities.errors import NotAnswerable


class Contradiction(NotAnswerable):
    """Evidence that cannot be, whatever the causes: its chance is 0.

    observations: the smallest set that was found to contradict itself (leaving any one of them
    out would make it possible); empty where the priors alone cannot be.
    """

    def __init__(self, observations: tuple[int, ...]) -> None:
        self.observations = observations
        super().__init__(f"the evidence cannot be: observations {list(observations)}")


class TooWide(NotAnswerable):
    """Evidence that hangs together too widely to be answered exactly in the room there is.

    width: observations that would have to be held at once; widest: how many can be.
    observations: those held at the widest place. set_unknown: leaving these out (telling them as
    unknown) would let the rest be answered, exactly.
    """

    def __init__(
        self, width: int, widest: int, observations: tuple[int, ...], set_unknown: tuple[int, ...]
    ) -> None:
        self.width = width
        self.widest = widest
        self.observations = observations
        self.set_unknown = set_unknown
        super().__init__(
            f"{width} observations hang together, {widest} can be answered exactly; "
            f"with {list(set_unknown)} unknown the rest can be"
        )


class TooSmall(NotAnswerable):
    """Evidence that could be, but less likely than the numbers of this machine can hold."""

    def __init__(self) -> None:
        super().__init__("the evidence is possible but too unlikely to be reckoned with")
