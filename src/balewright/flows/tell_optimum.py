"""Which settings would cost least; and, before any price is given, what one layer more buys."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from balewright.flows.outlook import Outlook, Told
from balewright.flows.price_job import PricedJob, price_job
from balewright.flows.tell_keeping import tell_keeping
from balewright.flows.vary_bales import ADVANCE_FRAC, DIAMETER_M, vary_bales
from balewright.pictures.layer_trade import LayerTrade
from balewright.plan.film.varying import Varying
from balewright.plan.keeping.advice import advised_layers
from balewright.plan.keeping.answer import KeepingAnswer
from balewright.plan.keeping.keep import SCHOOL_SOURCES, School
from balewright.plan.keeping.least_cost import FEWEST_LAYERS
from balewright.plan.keeping.shape import film_kg
from balewright.plan.optimum.asked import Choices, Question, Turned, Wanted
from balewright.plan.optimum.best import BestSettings, best_settings
from balewright.plan.optimum.enough_turns import turns_by_layers
from balewright.plan.power.answer import Tractor
from balewright.plan.sheet.bale import SPEED_M_S
from balewright.quantities.reason import Reason, because
from balewright.quantities.si import M_PER_MM

_LAST_LAYER: Final = 10
_CHANCE_FRAC: Final = 0.95
"""Of bales, with no spot of the round side short: what is wanted where nobody says."""
_TRACTOR_KG: Final = 7000.0
"""Only a slope would ask for it, and the answer is for level ground."""
_NEARLY_ALL: Final = 0.99
"""Above this a chance is called more than that, not 100 %."""
_NO_MONEY: Final = 0.005
_LOOSEST, _DENSEST = 0.2, 0.8
"""Of the range of densities that sources give, as in the sheet (assumed)."""


@dataclass(frozen=True)
class OptimumTold:
    """best: the settings that cost least, None where a price is missing; then trades: film and
    loss by layers, empty where nothing is wrapped; layers: at the thinnest spot of the bale as
    set; dm_kg: of a bale.
    """

    told: Told
    best: BestSettings | None = None
    trades: tuple[LayerTrade, ...] = ()
    layers: int = 0
    dm_kg: float = 0.0


def tell_optimum(outlook: Outlook) -> OptimumTold:
    """The settings that cost least at the prices given, with how flat that is; without every
    price what one layer more takes and saves, in kilograms.

    Raises NotAnswerable where nothing that was offered may be taken.
    """
    keeping = tell_keeping(outlook).answer
    if keeping is None:
        key = "no_wrapper" if outlook.machine.wrapper is None else "not_wrapped"
        return OptimumTold(Told(because(f"outlook.optimum.{key}")))
    priced = price_job(outlook)
    if priced.outlay is not None and outlook.asked.money.dm_money_t is not None:
        best = best_settings(_question(outlook, priced, keeping))
        return OptimumTold(_best_told(outlook, best), best)
    trades = tuple(
        LayerTrade(film_kg(outlook.bale, keeping.stored.cover.layer_m, one.layers), one)
        for one in keeping.by_layers
        if one.layers <= max(_LAST_LAYER, keeping.kept.layers + 1)
    )
    told = Told(
        _one_more(keeping, trades),
        (because("outlook.optimum.schools"),),
        tuple(dict.fromkeys(key for school in School for key in SCHOOL_SOURCES[school])),
        (because("outlook.optimum.unpriced"),),
    )
    return OptimumTold(told, None, trades, keeping.kept.layers, keeping.stored.dry_matter_kg)


def _one_more(keeping: KeepingAnswer, trades: tuple[LayerTrade, ...]) -> Reason:
    layers, per_t = keeping.kept.layers, 1000.0 / keeping.stored.dry_matter_kg
    by_layers = {one.kept.layers: one for one in trades}
    now, more = by_layers[layers], by_layers[layers + 1]
    more_kg = (more.film_kg - now.film_kg) * per_t
    saved = [
        (now.kept.of(school).total_frac.best - more.kept.of(school).total_frac.best) * 1000.0
        for school in School
    ]
    return because(
        "outlook.optimum.one_more",
        layers=layers + 1,
        film_kg=more_kg,
        low_kg=min(saved),
        high_kg=max(saved),
    )


def _question(outlook: Outlook, priced: PricedJob, keeping: KeepingAnswer) -> Question:
    """4 to 10 layers as bales vary, densities from loose to dense, speeds round the one asked."""
    stored, money, wrapper = keeping.stored, outlook.asked.money, outlook.machine.wrapper
    assert priced.outlay is not None
    assert wrapper is not None
    speed = priced.job.settings.row.speed_m_s
    turned = _turned(vary_bales(outlook), wrapper.dispensers)
    return Question(
        job=priced.job,
        cover=stored.cover,
        stay=stored.stay,
        outlay=priced.outlay,
        dm_money_t=money.dm_money_t or 0.0,
        choices=Choices(
            turned,
            _steps(*_densities(outlook, stored.dry_matter_kg_m3)),
            _steps(SPEED_M_S.clamp(0.6 * speed), SPEED_M_S.clamp(1.2 * speed)),
        ),
        wanted=Wanted(chance_frac=_CHANCE_FRAC),
        tractor=None if money.tractor_kw is None else Tractor(money.tractor_kw, _TRACTOR_KG),
        mishaps=keeping.mishaps,
    )


@lru_cache(maxsize=64)
def _turned(varying: Varying, dispensers: int) -> tuple[Turned, ...]:
    """Kept, because prices are what people change most and turns do not follow them."""
    layers = range(FEWEST_LAYERS, _LAST_LAYER + 1)
    return turns_by_layers(varying, dispensers, _CHANCE_FRAC, layers)


def _densities(outlook: Outlook, best: float) -> tuple[float, float]:
    """From the loosest to the densest that the sheet's own rule reckons a machine can."""
    mass = outlook.sheet.expected.mass_kg
    low, high = best * mass.low / mass.best, best * mass.high / mass.best
    return low + _LOOSEST * (high - low), low + _DENSEST * (high - low)


def _steps(low: float, high: float) -> tuple[float, ...]:
    return tuple(dict.fromkeys(low + (high - low) * step / 6.0 for step in range(7)))


def _best_told(outlook: Outlook, best: BestSettings) -> Told:
    settled, months = best.settled, outlook.asked.conditions.storage_months
    answer = because(
        "outlook.optimum.settled",
        layers=settled.turned.layers,
        turns=settled.turned.turns,
        dry_matter_kg_m3=settled.density_kg_m3,
        speed_m_s=settled.speed_m_s,
        mass_kg=round(settled.mass_kg, -1),
    )
    losses = sorted(one.total_frac.best for one in settled.kept.schools)
    lost = because(
        "outlook.optimum.lost", stay_months=months, low_frac=losses[0], high_frac=losses[1]
    )
    chance_frac = settled.turned.chance_frac
    chance = because(
        "outlook.optimum.chance" if chance_frac <= _NEARLY_ALL else "outlook.optimum.chance.most",
        chance_frac=min(chance_frac, _NEARLY_ALL),
        layers=settled.turned.layers,
    )
    sources = ("geometry", "grisso-2020", "iowa-a3-29", "given", "assumed")
    schools = tuple(dict.fromkeys(key for school in School for key in SCHOOL_SOURCES[school]))
    return Told(
        answer,
        (_regret(best), chance, lost, _advice(outlook)),
        (*sources, *schools),
        (_vary(outlook), because("optimum.limits")),
        (because("optimum.caution"),),
    )


def _vary(outlook: Outlook) -> Reason:
    recorded, values = outlook.asked.recorded, {"vary_frac": ADVANCE_FRAC}
    if recorded is None:
        return because("outlook.optimum.vary", vary_mm=DIAMETER_M / M_PER_MM, **values)
    vary_mm = recorded.deviation.best / M_PER_MM
    return because(
        "outlook.optimum.vary.seen", vary_mm=vary_mm, readings=recorded.readings, **values
    )


def _advice(outlook: Outlook) -> Reason:
    """What sources ask for, whatever it costs."""
    given = outlook.asked.conditions
    assert given.film is not None
    advice = advised_layers(min(given.storage_months, 48.0), given.film.thickness_m)
    return because(
        "outlook.optimum.advice",
        least_layers=min(one.least_layers for one in advice),
        most_layers=max(one.most_layers for one in advice),
        sixes=sum(one.least_layers >= 6 for one in advice),
        sources=len(advice),
    )


def _regret(best: BestSettings) -> Reason:
    if best.regret_money_t < _NO_MONEY:
        return because("outlook.optimum.no_regret")
    return because("outlook.optimum.regret", regret_number=f"{best.regret_money_t:,.2f}")
