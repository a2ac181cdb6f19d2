"""One choice of settings worked out: what it costs, what it keeps, and whether it may be taken."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from balewright.plan.cost.bale_cost import BaleCost, cost_of
from balewright.plan.cost.job import Job, made_of
from balewright.plan.crop import feed_rate_t_h
from balewright.plan.keeping.keep import Kept, School, keep
from balewright.plan.optimum.asked import Question, Turned
from balewright.plan.power.answer import Load, Verdict, power_of
from balewright.quantities.interval import Interval
from balewright.quantities.si import KG_PER_T


class Bar(StrEnum):
    """Why a choice may not be taken."""

    CHANCE = "layers not sure enough"
    LOSS = "too much lost in storage"
    MASS = "bale too heavy"
    POWER = "tractor too weak"


@dataclass(frozen=True)
class Option:
    """Layers with their turns, dry matter density and speed, and what they come to.

    mass_kg: of the fresh bale; cost: of making it; kept: of keeping it; lost_money_t: worth of
    what is lost or thrown away, for each tonne of dry matter baled, by school; power: None where
    no tractor was told; barred: why it may not be taken, empty where it may; made_money_t: making
    a tonne of dry matter.
    """

    turned: Turned
    density_kg_m3: float
    speed_m_s: float
    mass_kg: float
    cost: BaleCost
    kept: Kept
    lost_money_t: tuple[tuple[School, Interval], ...]
    power: Verdict | None
    barred: tuple[Bar, ...]
    made_money_t: float

    def money_t(self, school: School) -> Interval:
        """Making and losing together, for each tonne of dry matter baled."""
        lost, made = dict(self.lost_money_t)[school], self.made_money_t
        return Interval(made + lost.low, made + lost.best, made + lost.high)

    @property
    def worst_loss_frac(self) -> float:
        """Dry matter lost or thrown away, as the school that reads the trials worse has it."""
        return max(one.total_frac.best for one in self.kept.schools)

    @property
    def dm_t_h(self) -> float:
        """Dry matter baled in an hour in the field."""
        return self.cost.dm_kg * self.cost.bales_h / KG_PER_T


def try_all(question: Question) -> tuple[Option, ...]:
    """Every combination of layers, density and speed, in that order, worked out.

    Raises BadInput where the season does not fit into a year. About 0.15 ms a combination.
    Models and source keys: those of `made_of`, `cost_of`, `keep` and `power_of`.
    """
    choices = question.choices
    kept = {
        (turned.layers, density): keep(question.stored(density), turned.layers, question.mishaps)
        for turned, density in itertools.product(choices.turned, choices.density_kg_m3)
    }
    return tuple(_options(question, kept))


def _options(question: Question, kept: dict[tuple[int, float], Kept]) -> Iterator[Option]:
    choices = question.choices
    for turned in choices.turned:
        for density, speed in itertools.product(choices.density_kg_m3, choices.speed_m_s):
            yield _work_out(question, turned, speed, (density, kept[turned.layers, density]))


def _work_out(
    question: Question, turned: Turned, speed_m_s: float, dense: tuple[float, Kept]
) -> Option:
    density, kept = dense
    job = question.job_at(turned.turns, density, speed_m_s)
    lost = tuple((one.school, _worth(one.total_frac, question.dm_money_t)) for one in kept.schools)
    power, mass_kg = _power(question, job), job.settings.bale.mass_kg
    cost = cost_of(made_of(job), question.outlay)
    return Option(
        turned=turned,
        density_kg_m3=density,
        speed_m_s=speed_m_s,
        mass_kg=mass_kg,
        cost=cost,
        kept=kept,
        lost_money_t=lost,
        power=power,
        barred=tuple(_bars(question, turned, kept, (mass_kg, power))),
        made_money_t=cost.money_t_dm,
    )


def _worth(share: Interval, money: float) -> Interval:
    return Interval(share.low * money, share.best * money, share.high * money)


def _power(question: Question, job: Job) -> Verdict | None:
    """While the crop flows: the mean over a bale is less, and no help to a tractor that stalls."""
    if question.tractor is None:
        return None
    row = job.settings.row
    load = Load(
        chamber=job.draw.chamber,
        feed_t_h=feed_rate_t_h(row.windrow_kg_m, row.speed_m_s),
        knives_in=job.draw.knives_in,
        speed_m_s=row.speed_m_s,
        machine_kg=job.draw.machine_kg,
    )
    return power_of(load, question.tractor).power


def _bars(
    question: Question, turned: Turned, kept: Kept, made: tuple[float, Verdict | None]
) -> Iterator[Bar]:
    wanted, (mass_kg, power) = question.wanted, made
    if turned.chance_frac < wanted.chance_frac:
        yield Bar.CHANCE
    worst = max(one.total_frac.best for one in kept.schools)
    if wanted.most_loss_frac is not None and worst > wanted.most_loss_frac:
        yield Bar.LOSS
    if wanted.most_bale_kg is not None and mass_kg > wanted.most_bale_kg:
        yield Bar.MASS
    if power is Verdict.NOT_ENOUGH:
        yield Bar.POWER
