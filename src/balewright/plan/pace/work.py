"""What baling and wrapping are made of: the phases of one bale, turns at the field's end, stops.

Two stations. The chamber is filled, binds, and opens its gate as soon as the wrapper is free; the
wrapper takes the bale over, wraps it and tips it while the chamber fills again.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from balewright.quantities.checks import require_between
from balewright.quantities.errors import BadInput, Fault
from balewright.quantities.si import S_PER_H


@dataclass(frozen=True)
class Phases:
    """Seconds of one bale.

    Chamber: fill_s, crop flows in; bind_s, from full until bound and cut; gate_s, from the gate's
    first move until the chamber can be filled again. Wrapper, from the gate's first move:
    take_over_s until the bale lies on it; wrap_s, rolling before, turning, rolling after; tip_s,
    cutting and tipping until the next bale may come. A machine without a wrapper has three zeros.
    buffer_s: seconds of crop that a machine can gather while its chamber binds and stands open
    (0: the driver must stop). fill_s 0.1 s to 10 h, the others 0 to 1 h.
    """

    fill_s: float
    bind_s: float
    gate_s: float
    take_over_s: float = 0.0
    wrap_s: float = 0.0
    tip_s: float = 0.0
    buffer_s: float = 0.0

    def __post_init__(self) -> None:
        require_between("fill_s", self.fill_s, 0.1, 10.0 * S_PER_H)
        for name in ("bind_s", "gate_s", "take_over_s", "wrap_s", "tip_s", "buffer_s"):
            require_between(name, getattr(self, name), 0.0, S_PER_H)

    @property
    def gathered_s(self) -> float:
        """Seconds of the next bale's crop that are in the buffer when the gate has closed."""
        return min(self.buffer_s, self.bind_s + self.gate_s, self.fill_s)

    @property
    def standing_s(self) -> float:
        """Binding and opening, as far as no buffer takes the crop meanwhile."""
        return self.bind_s + self.gate_s - self.gathered_s

    @property
    def chamber_s(self) -> float:
        """The chamber's time for one bale when nothing makes it wait."""
        return self.fill_s + self.standing_s

    @property
    def wrapper_s(self) -> float:
        """The wrapper's time for one bale, 0 without a wrapper."""
        return self.take_over_s + self.wrap_s + self.tip_s


class Stands(StrEnum):
    """What a stop keeps standing."""

    MACHINE = "machine"
    """Chamber and wrapper: the driver is out of the cab."""
    CHAMBER = "chamber"
    WRAPPER = "wrapper"


@dataclass(frozen=True)
class Stop:
    """Work that falls due every so many bales: rolls, grease, a film break.

    key: its name; every_bales: 1 to 1,000,000, also broken numbers (a roll may end within a
    bale); lasts_s: 0 to 4 h; stands: what waits for it; by_chance: it comes at random with
    chance 1/every_bales a bale, as a film break does, not by count.
    """

    key: str
    every_bales: float
    lasts_s: float
    stands: Stands = Stands.MACHINE
    by_chance: bool = False

    def __post_init__(self) -> None:
        require_between("every_bales", self.every_bales, 1.0, 1e6)
        require_between("lasts_s", self.lasts_s, 0.0, 4.0 * S_PER_H)
        if self.by_chance and self.stands is not Stands.MACHINE:
            need = "stands = machine where it comes by chance"
            cure = "Somebody has to leave the cab for it: let the machine stand."
            raise BadInput(Fault("stands", need, str(self.stands), cure))


@dataclass(frozen=True)
class Headland:
    """Turning at the field's end: per_bale turns (0 to 50, may be broken), turn_s each (0..600).

    The crop stops meanwhile; the wrapper goes on.
    """

    per_bale: float = 0.0
    turn_s: float = 0.0

    def __post_init__(self) -> None:
        require_between("per_bale", self.per_bale, 0.0, 50.0)
        require_between("turn_s", self.turn_s, 0.0, 600.0)


@dataclass(frozen=True)
class Work:
    """A machine at work: phases, stops, headland turns, and what one bale is worth.

    mass_kg: fresh, 10 to 3000; bale_m2: field that one bale clears, None where not known.
    """

    phases: Phases
    mass_kg: float
    stops: tuple[Stop, ...] = ()
    headland: Headland = Headland()
    bale_m2: float | None = None

    def __post_init__(self) -> None:
        require_between("mass_kg", self.mass_kg, 10.0, 3000.0)
        if self.bale_m2 is not None:
            require_between("bale_m2", self.bale_m2, 1.0, 1e6)
        if len(self.stops) > _MOST_STOPS:
            need = f"at most {_MOST_STOPS} kinds of stop"
            cure = "Put stops of one length and place together."
            raise BadInput(Fault("stops", need, str(len(self.stops)), cure))


_MOST_STOPS = 12
