"""How many wrap turns a bale needs, and how many after a roll is lost.

Layers never fall when turns are added, so the smallest number that is enough can be searched
for. Turns are whole wrap turns.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from typing import Final

from balewright.plan.film.layers import Bale, Wrapping, count_layers, count_round, counted_share
from balewright.quantities.checks import require_between, require_count
from balewright.quantities.errors import BadInput, Fault

#: A bale that is not covered after so many wrap turns never will be.
_GIVE_UP: Final = 4096


def turns_needed(
    bale: Bale, strip_m: float, bale_turn: float, dispensers: int, need_layers: int
) -> int:
    """Smallest whole number of wrap turns that puts `need_layers` on the whole round side.

    strip_m: width on the bale; bale_turn: turns of the bale per wrap turn; dispensers: 1 or 2;
    need_layers: 1 to 40, binding film not counted. The round side is where layers are thin and
    bales lie; a spot at the rim of a flat side can ask for more (`turns_everywhere`). Raises
    BadInput where no number of turns does it. Validity and source as `count_layers`.
    """
    require_count("dispensers", dispensers, 1, 2)
    one_turn = Wrapping(strip_m, bale_turn, (1.0,) * dispensers, need_layers)

    def is_enough(turns: int) -> bool:
        return _round_covered(bale, replace(one_turn, turns=(float(turns),) * dispensers))

    return _first(is_enough, 1)


def turns_everywhere(bale: Bale, wrapping: Wrapping, allowed_sliver_m: float = 0.0) -> int:
    """Smallest whole number of wrap turns after which no spot of any side is short.

    wrapping: its own turns are set aside; allowed_sliver_m: a stretch of the round side, or of a
    flat side's rim, may stay short when it is no wider than this. Raises BadInput where no number
    of turns does it.
    """
    require_between("allowed_sliver_m", allowed_sliver_m, 0.0, 1.0)

    def is_enough(turns: int) -> bool:
        tried = replace(wrapping, turns=(float(turns),) * len(wrapping.turns))
        count = count_layers(bale, tried)
        slivers = (count.sliver_m, *(flat.sliver_m for flat in count.flats))
        return max(slivers) <= allowed_sliver_m

    return _first(is_enough, 1)


def turns_after_loss(bale: Bale, wrapping: Wrapping, lost_at_turn: float) -> int:
    """The turn at which the other of two rolls must stop once one is lost, counted from the start.

    wrapping: with two dispensers; its own turns are set aside, `bale_turn_one_roll` holds from
    the loss on. lost_at_turn: wrap turns made when the roll was lost, 0 or more. Doubling what is
    left is not the answer: it depends on where the strips fell. Round side, as `turns_needed`.
    Raises BadInput for one dispenser and where no number of turns does it.
    """
    require_between("lost_at_turn", lost_at_turn, 0.0, float(_GIVE_UP))
    if len(wrapping.turns) != 2:
        raise BadInput(
            Fault(
                place="lost_at_turn",
                need="two dispensers, of which one goes on",
                given=f"{len(wrapping.turns)} dispenser",
                cure="With one dispenser load a new roll and finish the turns; or give two.",
            )
        )

    def is_enough(turns: int) -> bool:
        return _round_covered(bale, replace(wrapping, turns=(float(turns), lost_at_turn)))

    return _first(is_enough, max(1, math.ceil(lost_at_turn)))


def _round_covered(bale: Bale, wrapping: Wrapping) -> bool:
    short_frac = count_round(bale, wrapping).short_frac(wrapping.need_layers)
    return counted_share(short_frac) == 0.0


def _first(is_enough: Callable[[int], bool], least: int) -> int:
    """The smallest number from `least` on that is enough, by doubling and halving the step."""
    if is_enough(least):
        return least
    below, above = least, least + 1
    while not is_enough(above):
        if above - least > _GIVE_UP:
            raise BadInput(
                Fault(
                    place="bale_turn",
                    need="a turning of the bale that moves the strips over all of it",
                    given=f"one that leaves bare spots after {above} wrap turns",
                    cure="Check diameter, advance and strip width; change the advance a little.",
                )
            )
        below, above = above, least + 2 * (above - least)
    while above - below > 1:
        middle = (below + above) // 2
        below, above = (below, middle) if is_enough(middle) else (middle, above)
    return above
