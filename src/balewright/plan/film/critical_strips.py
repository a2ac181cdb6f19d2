"""How wide the strip must at least be, bale by bale: the goal turned round."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from balewright.plan.film.critical_kernel import critical_kernel
from balewright.plan.film.many_bales import ManyBales, leg_columns, room_for
from balewright.plan.film.many_legs import Floats
from balewright.quantities.checks import require_between, require_count
from balewright.quantities.errors import BadInput, Fault


@dataclass(frozen=True)
class Goal:
    """What is asked of a bale.

    need_layers: 1 to 40, binding film counted on the round side; allowed_short_frac: the share of
    a side that may have fewer, 0 to 1; allowed_sliver_m: or: a stretch round the bale that may
    have fewer when it is no wider, 0 to 1; everywhere: ask it of both flat sides as well as of the
    round side, which is where layers are thin and bales lie. Raises BadInput outside, and where
    both a share and a sliver are allowed.
    """

    need_layers: int
    allowed_short_frac: float = 0.0
    allowed_sliver_m: float = 0.0
    everywhere: bool = False

    def __post_init__(self) -> None:
        require_count("need_layers", self.need_layers, 1, 40)
        require_between("allowed_short_frac", self.allowed_short_frac, 0.0, 1.0)
        require_between("allowed_sliver_m", self.allowed_sliver_m, 0.0, 1.0)
        if self.allowed_short_frac > 0.0 and self.allowed_sliver_m > 0.0:
            raise BadInput(
                Fault(
                    place="allowed_sliver_m",
                    need="either a share or a sliver that may stay short",
                    given=f"{self.allowed_short_frac!r} and {self.allowed_sliver_m!r}",
                    cure="Leave one of them 0.",
                )
            )


def critical_strips(many: ManyBales, goal: Goal) -> Floats:
    """The narrowest strip, in metres, with which each case meets the goal.

    many: their own strips and `need_layers` are set aside for the goal's. Wider strips meet it
    too. Infinite where the course lays too few strips for any width; 0 where binding film alone
    is enough. To 1e-12 m and the 1e-9 of a side that does not count. Validity as `count_many`;
    an answer of half the girth or more is beyond it. Source key: `geometry`.
    """
    needed = np.full(many.legs.cases, goal.need_layers)
    needs = np.stack([needed, many.binding_layers, many.dispensers], axis=1)
    critical_m = np.empty(many.legs.cases)
    critical_kernel(
        many.shapes,
        needs,
        many.legs.first,
        leg_columns(many.legs),
        (goal.allowed_short_frac, goal.allowed_sliver_m, goal.everywhere),
        room_for(many.legs),
        critical_m,
    )
    return critical_m
