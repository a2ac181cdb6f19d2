"""The line of the additive: litres a tonne, and what that is a minute and a bale."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from balewright.plan.keeping.additive import (
    CAUTIONS,
    LEAST_MOISTURE_FRAC,
    AcidDose,
    acid_dose,
    spray,
)
from balewright.plan.keeping.additive_tank import plan_tank
from balewright.plan.machine import Span
from balewright.plan.sheet.setting import Job, Wanted, Why, name_word, settle
from balewright.plan.sheet.sheet import HowSure, SheetLine
from balewright.quantities.reason import Reason, because

_GIVE_OR_TAKE_FRAC: Final = 0.10
"""How far off a dose is still in order (assumed)."""
_FEED_T_H: Final = Span(0.5, 200.0)


def additive_lines(job: Job) -> Iterator[SheetLine]:
    """Nothing where no additive is used and none is asked for by the hay's moisture."""
    additive = job.conditions.additive
    if additive is None:
        dose = None if job.conditions.crop.is_wrapped else acid_dose(job.conditions.moisture_frac)
        if dose is not None:
            yield _unnamed(dose)
    elif additive.rate_l_t is not None:
        rate_l_t = additive.rate_l_t
        off_l_t = _GIVE_OR_TAKE_FRAC * rate_l_t
        yield _rate_line(job, rate_l_t, Span(rate_l_t - off_l_t, rate_l_t + off_l_t), "label")
    else:
        yield _acid_line(job)


def additive_cautions(job: Job) -> Iterator[Reason]:
    """What comes before acid is handled; nothing for other additives than their label."""
    additive = job.conditions.additive
    if additive is not None and additive.acid is not None:
        yield from (Reason(key) for key in CAUTIONS)
    elif additive is not None:
        yield because("additive.caution.label")


def _acid_line(job: Job) -> SheetLine:
    additive, conditions = job.conditions.additive, job.conditions
    assert additive is not None
    assert additive.acid is not None
    if conditions.crop.is_wrapped:
        why = Why(because("sheet.additive.acid_wrapped"), "kentucky-acid-rates")
        return name_word("additive_l_t", None, why)
    dose = acid_dose(conditions.moisture_frac)
    if dose is None:
        word = "dry" if conditions.moisture_frac < LEAST_MOISTURE_FRAC else "wet"
        why = Why(because(f"sheet.additive.acid_{word}"), "kentucky-acid-rates")
        return name_word("additive_l_t", "none", why)
    ends = (additive.acid.litres_l_t(end) for end in (dose.kg_t.low, dose.kg_t.high))
    rate_l_t = additive.acid.litres_l_t(dose.kg_t.best)
    return _rate_line(job, rate_l_t, Span(*ends), dose.rates[0].source)


def _rate_line(job: Job, rate_l_t: float, span: Span, source: str) -> SheetLine:
    additive = job.conditions.additive
    assert additive is not None
    spraying = spray(rate_l_t, _FEED_T_H.clamp(job.feed_t_h), job.mass_kg.best)
    values = {"sprayed_l_min": spraying.l_min or 0.0, "each_l": spraying.l_bale or 0.0}
    if additive.tank_l is None:
        reason = because("sheet.additive.rate", **values)
    else:
        tank = plan_tank(additive.tank_l, spraying)
        reason = because("sheet.additive.tank", tank_bales=tank.bales or 0, **values)
    return settle(job.machine, Wanted("additive_l_t", rate_l_t, span), Why(reason, source))


def _unnamed(dose: AcidDose) -> SheetLine:
    reason = because(
        "sheet.additive.unnamed",
        moisture_frac=dose.moisture_frac,
        low_kg_t=dose.kg_t.low,
        high_kg_t=dose.kg_t.high,
    )
    source = dose.rates[0].source
    return name_word("additive_l_t", None, Why(reason, source, HowSure.STARTING_POINT))
