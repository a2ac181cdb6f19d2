"""How the bales of a job differ from one another: as records show, else as assumed."""

from __future__ import annotations

from typing import Final

from balewright.flows.outlook import Outlook
from balewright.plan.film.spread import exact, normal
from balewright.plan.film.varying import StretchedFilm, Varying

DIAMETER_M: Final = 0.02
ADVANCE_FRAC: Final = 0.02
"""How much diameter and surface advance differ from bale to bale, standard deviations: assumed."""


def vary_bales(outlook: Outlook) -> Varying:
    """Diameter by the machine's own records where there are enough; how the bale turns is
    assumed; film and its stretch as they are set. Only where film is laid.
    """
    film, wrapper, recorded = (
        outlook.asked.conditions.film,
        outlook.machine.wrapper,
        outlook.asked.recorded,
    )
    assert film is not None
    assert wrapper is not None
    diameter_m = outlook.bale.diameter_m
    return Varying(
        diameter=normal(diameter_m, DIAMETER_M)
        if recorded is None
        else recorded.next_bale.around(diameter_m),
        length_m=outlook.bale.length_m,
        turning=normal(wrapper.advance_m, ADVANCE_FRAC * wrapper.advance_m),
        film=StretchedFilm(
            film.width_m,
            exact(outlook.planned.pre_stretch_frac or film.pre_stretch_frac),
            exact(film.neck_in_exponent),
        ),
    )
