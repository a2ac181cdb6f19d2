"""Where and when strips cross a bale: the wrap turns of each dispenser, and the bale's own turn.

Time is counted in wrap turns. Rollers drive the bale at its surface, so a machine's near-constant
is its surface advance per wrap turn; the bale turns by k = advance / (pi D) of a turn meanwhile.
The plane of a strip goes through the bale's axis, so half a wrap turn lays it along the round
side once and over one flat side. Strips are straight: that the bale turns under a strip while it
is laid is not in this model.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from balewright.quantities.checks import require_between, require_count
from balewright.quantities.errors import BadInput, Fault

MOST_TURNS: Final = 20_000.0
#: Rounding allowed when half turns are counted, so that 0.1 x 30 turns are 6 half turns.
_HALF_TURN_ROUNDING: Final = 1e-9


@dataclass(frozen=True)
class Wrapping:
    """What the wrapper does to one bale.

    strip_m: width of the strip on the bale, above 0; bale_turn: turns of the bale per wrap turn,
    0.001 to 1; turns: wrap turns of each dispenser (one or two, two start on opposite sides
    together; the one that makes fewer lost its roll); need_layers: 1 to 40; binding_layers: whole
    layers of binding film, on the round side only; bale_turn_one_roll: turns of the bale per wrap
    turn once one of two rolls is out (None: as before).
    """

    strip_m: float
    bale_turn: float
    turns: tuple[float, ...]
    need_layers: int
    binding_layers: int = 0
    bale_turn_one_roll: float | None = None

    def __post_init__(self) -> None:
        require_between("strip_m", self.strip_m, 0.01, 3.0)
        require_between("bale_turn", self.bale_turn, 0.001, 1.0)
        if len(self.turns) not in (1, 2) or max(self.turns) <= 0:
            raise BadInput(
                Fault(
                    place="turns",
                    need="the wrap turns of one or two dispensers, at least one of them above 0",
                    given=repr(self.turns),
                    cure="Give one number for each dispenser; 0 for a roll lost before the start.",
                )
            )
        for turns in self.turns:
            require_between("turns", turns, 0.0, MOST_TURNS)
        require_count("need_layers", self.need_layers, 1, 40)
        require_count("binding_layers", self.binding_layers, 0, 40)
        if self.bale_turn_one_roll is not None:
            require_between("bale_turn_one_roll", self.bale_turn_one_roll, 0.001, 1.0)


def bale_turn_from_advance(advance_m: float, diameter_m: float) -> float:
    """Turns of the bale per wrap turn, k = advance / (pi D).

    advance_m: surface advance per wrap turn, above 0; diameter_m: 0.3 to 3. Raises BadInput
    outside, and where a bale would turn more than once a wrap turn. Source key: `geometry`.
    """
    require_between("diameter_m", diameter_m, 0.3, 3.0)
    require_between("advance_m", advance_m, 0.001 * math.pi * diameter_m, math.pi * diameter_m)
    return advance_m / (math.pi * diameter_m)


def whole_layers(binding_turns: float, roll_width_m: float, length_m: float) -> int:
    """Layers of binding film that are sure to lie everywhere on the round side.

    binding_turns: 0 to 40; roll_width_m: of the binding roll; length_m: of the bale. A begun turn
    does not reach all round, and a roll narrower than the bale is spread over it: only whole
    layers count. Source key: `geometry`.
    """
    require_between("binding_turns", binding_turns, 0.0, 40.0)
    require_between("roll_width_m", roll_width_m, 0.05, 3.0)
    require_between("length_m", length_m, 0.3, 3.0)
    return math.floor(binding_turns * min(1.0, roll_width_m / length_m) + _HALF_TURN_ROUNDING)


def half_turns(turns: float) -> int:
    """Half wrap turns that are whole: a half turn only begun lays no strip that can be counted."""
    return math.floor(2.0 * turns + _HALF_TURN_ROUNDING)


def _bale_position(wrapping: Wrapping) -> Callable[[float], float]:
    """The bale's own turning, in turns, as a function of time in wrap turns."""
    later = wrapping.bale_turn_one_roll
    if later is None or len(wrapping.turns) == 1:
        return lambda time: wrapping.bale_turn * time
    lost = min(wrapping.turns)
    return lambda time: wrapping.bale_turn * min(time, lost) + later * max(0.0, time - lost)


def round_centres(wrapping: Wrapping) -> list[float]:
    """Where the middle of each strip lies on the round side, in turns round the bale.

    Place 0 is where the first dispenser starts. Crossing j (0, 1, ...) of a dispenser falls at
    time j/2; each half wrap turn is half a turn round the bale less what the bale turned on.
    """
    turned = _bale_position(wrapping)
    return [
        0.5 * (crossing + dispenser) - turned(0.5 * crossing)
        for dispenser, turns in enumerate(wrapping.turns)
        for crossing in range(half_turns(turns))
    ]


def flat_directions(wrapping: Wrapping) -> tuple[list[float], list[float]]:
    """The direction of each strip over the two flat sides, in half turns, 0 up to 1.

    A strip crosses a flat side in the middle of a half wrap turn, along the diameter between the
    two generators it joins; one dispenser takes the sides in turn, two take opposite ones.
    """
    turned = _bale_position(wrapping)
    sides: tuple[list[float], list[float]] = ([], [])
    for dispenser, turns in enumerate(wrapping.turns):
        for crossing in range(half_turns(turns)):
            direction = (-2.0 * turned(0.5 * (crossing + 0.5))) % 1.0
            sides[(crossing + dispenser) % 2].append(direction)
    return sides
