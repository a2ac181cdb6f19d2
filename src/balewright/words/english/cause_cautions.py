"""Cautions of checks and repairs that a sheet does not know, none of them with a number."""

from typing import Final

MESSAGES: Final = {
    "caution.mouldy_bale": (
        "Dust of mouldy feed harms the lungs: do not open the bale in a closed room, wear a mask "
        "for fine dust, and keep animals off it."
    ),
    "caution.lone_work": (
        "Not alone: a second person stays in sight, away from the machine, and knows how to stop "
        "it and whom to call."
    ),
    "caution.battery": (
        "A battery gives off gas that explodes, and its leads carry enough to melt a spanner. No "
        "flame, rings off; take the negative lead off first and put it on last."
    ),
    "caution.none": "Nothing special here; the machine's own manual still comes first.",
}
