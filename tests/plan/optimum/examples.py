"""One invented contractor's question that the tests of the optimum start from."""

from __future__ import annotations

import math

from balewright.plan.film.spread import exact, normal
from balewright.plan.film.strip import Film
from balewright.plan.film.varying import StretchedFilm, Varying
from balewright.plan.keeping.climate import COOL_MOIST, Stay
from balewright.plan.keeping.oxygen import cover_of
from balewright.plan.optimum.asked import Choices, Question, Turned
from balewright.plan.power.answer import Tractor
from plan.cost.examples import JOB, OUTLAY

FILM = Film(0.75, 25e-6, 1500.0, 0.70)
VARYING = Varying(
    diameter=normal(1.25, 0.02),
    length_m=1.23,
    turning=normal(math.pi * 1.25 / 8.0, 0.01),
    film=StretchedFilm(0.75, exact(0.70), exact(0.437)),
)
TURNED = tuple(Turned(layers, 2.0 * layers + 1.0, 0.97) for layers in range(4, 11))
QUESTION = Question(
    job=JOB,
    cover=cover_of(FILM),
    stay=Stay(COOL_MOIST, 6, 8.0),
    outlay=OUTLAY,
    dm_money_t=160.0,
    choices=Choices(TURNED, (150.0, 180.0, 210.0), (1.8, 2.4, 3.0)),
    tractor=Tractor(110.0, 7000.0),
)
