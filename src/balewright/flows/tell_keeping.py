"""How a machine's bales would keep: wrapped ones by layers, hay by how damp it went in."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Final

from balewright.flows.outlook import Outlook, Told
from balewright.flows.pace_settings import pace_settings
from balewright.plan.cautions import HOT_HAY, SPOILED_FEED
from balewright.plan.crop import Crop
from balewright.plan.keeping.answer import KeepingAnswer, KeepingQuestion, answer_keeping
from balewright.plan.keeping.climate import Stay
from balewright.plan.keeping.heating_storage import HayBale, StorageVerdict, judge_storage
from balewright.plan.keeping.keep import (
    SCHOOL_SOURCES,
    Kept,
    Mishaps,
    School,
    Stored,
)
from balewright.plan.keeping.moisture_loss import MoistureDoubt, moisture_doubts
from balewright.plan.keeping.oxygen import cover_of
from balewright.quantities.reason import Reason, because
from balewright.words.say import say

_MOST_MONTHS: Final = 48.0


@dataclass(frozen=True)
class KeepingTold:
    """answer: of a wrapped bale; hay: of a dry one. What does not apply is None."""

    told: Told
    answer: KeepingAnswer | None = None
    hay: StorageVerdict | None = None


def tell_keeping(outlook: Outlook) -> KeepingTold:
    """Dry matter lost and mould by both schools of trials; hay by every source's limit."""
    if not outlook.asked.conditions.crop.is_wrapped:
        return _dry(outlook)
    film = outlook.asked.conditions.film
    if outlook.wrap_turns is None or film is None:
        key = "no_wrapper" if outlook.machine.wrapper is None else "no_film"
        return KeepingTold(Told(because(f"outlook.keeping.{key}")))
    layers = outlook.count().thinnest_anywhere
    if layers < 1:
        return KeepingTold(Told(because("outlook.keeping.bare")))
    stretched = replace(film, pre_stretch_frac=outlook.planned.pre_stretch_frac or 0.0)
    given, store = outlook.asked.conditions, outlook.asked.store
    months = min(given.storage_months, _MOST_MONTHS)
    stored = Stored(
        bale=outlook.bale,
        cover=cover_of(stretched),
        dry_matter_kg_m3=pace_settings(outlook).bale.dry_matter_kg_m3,
        moisture_frac=given.moisture_frac,
        stay=Stay(store.climate, store.start_month, months),
    )
    mishaps = Mishaps(waited_h=store.waited_h or 0.0)
    question = KeepingQuestion(stored, layers, film.thickness_m, mishaps)
    answer = answer_keeping(question)
    return KeepingTold(_wrapped(outlook, answer.kept), answer)


def _wrapped(outlook: Outlook, kept: Kept) -> Told:
    given = outlook.asked.conditions
    well, barrier = (kept.of(school).total_frac for school in School)
    answer = because(
        "outlook.keeping.lost",
        layers=kept.layers,
        storage_months=given.storage_months,
        low_frac=well.best,
        high_frac=barrier.best,
    )
    span = because(
        "outlook.keeping.span", low_frac=kept.total_frac.low, high_frac=kept.total_frac.high
    )
    mould = because(f"outlook.keeping.mould.{kept.mould.band.name.lower()}")
    doubts = moisture_doubts(given.moisture_frac)
    risky = MoistureDoubt.CLOSTRIDIA in doubts
    return Told(
        answer,
        (span, mould, because("outlook.keeping.thinnest")),
        tuple(dict.fromkeys(key for school in School for key in SCHOOL_SOURCES[school])),
        tuple(_wrapped_unknown(outlook, MoistureDoubt.TOO_DRY in doubts)),
        (because(SPOILED_FEED, moisture_frac=given.moisture_frac),) if risky else (),
    )


def _wrapped_unknown(outlook: Outlook, too_dry: bool) -> Iterator[Reason]:
    store = outlook.asked.store
    yield because(
        "outlook.keeping.where",
        place=store.climate.name.replace("-", " and "),
        month=say(because(f"desk.outlook.field.month.{store.start_month}")),
    )
    if store.waited_h is None:
        yield because("outlook.keeping.no_wait")
    if too_dry:
        yield because("outlook.keeping.too_dry")


def _dry(outlook: Outlook) -> KeepingTold:
    given = outlook.asked.conditions
    if given.crop is not Crop.HAY:
        return KeepingTold(Told(because("outlook.keeping.straw")))
    hay = judge_storage(HayBale.LARGE_ROUND, given.moisture_frac)
    moist = {"moisture_frac": given.moisture_frac}
    limits = {"low_frac": hay.limit_frac.low, "high_frac": hay.limit_frac.high}
    answer = because(
        f"heating.moist.{hay.verdict.name.lower()}",
        bale=str(HayBale.LARGE_ROUND),
        agree_count=len(hay.agree),
        against_count=len(hay.against),
        **moist,
        **limits,
    )
    sources = tuple(dict.fromkeys((*hay.agree, *hay.against)))
    cautions = (because(HOT_HAY, **moist),) if hay.against else ()
    told = Told(answer, (because("heating.times"),), sources, (), cautions)
    return KeepingTold(told, hay=hay)
