"""Whether a tractor does for a machine at work, and how surely."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from balewright.flows.outlook import Outlook, Told
from balewright.flows.price_job import price_job
from balewright.plan.crop import feed_rate_t_h
from balewright.plan.power.answer import Load, PowerAnswer, Tractor, power_of
from balewright.quantities.reason import because
from balewright.quantities.si import KG_PER_T

_TRACTOR_KG: Final = 7000.0
_STEEPEST_FRAC: Final = 0.6


@dataclass(frozen=True)
class PowerTold:
    """answer: need by part against the tractor; told: the words to it, cautions first."""

    answer: PowerAnswer
    told: Told


def tell_power(outlook: Outlook) -> PowerTold | None:
    """The power at the PTO while crop flows, on the slope of the job; None without a tractor."""
    tractor_kw = outlook.asked.money.tractor_kw
    if tractor_kw is None:
        return None
    job, given = price_job(outlook).job, outlook.asked.conditions
    row = job.settings.row
    load = Load(
        chamber=job.draw.chamber,
        feed_t_h=feed_rate_t_h(row.windrow_kg_m, row.speed_m_s),
        knives_in=job.draw.knives_in,
        speed_m_s=row.speed_m_s,
        machine_kg=job.draw.machine_kg,
        slope_frac=min(given.slope_frac, _STEEPEST_FRAC),
    )
    answer = power_of(load, Tractor(tractor_kw, _TRACTOR_KG))
    weights = because(
        "outlook.power.weights",
        machine_t=job.draw.machine_kg / KG_PER_T,
        tractor_t=_TRACTOR_KG / KG_PER_T,
    )
    told = Told(
        answer.words[0],
        (because("power.steady"), *answer.words[1:]),
        ("d497-values-memory", "wisconsin-2018", "assumed"),
        (weights, because("outlook.power.no_oil")),
        answer.cautions,
    )
    return PowerTold(answer, told)
