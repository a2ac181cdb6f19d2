"""What each setting does to the cost: one change at a time, exact differences."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Final

from balewright.plan.cost.bale_cost import BaleCost, cost_of
from balewright.plan.cost.job import Job, made_of, working_kw
from balewright.plan.cost.outlay import Outlay
from balewright.plan.pace.settings import WrapWork
from balewright.quantities.errors import BadInput, Fault
from balewright.quantities.si import KM_H_PER_M_S

TURNS_PER_LAYER: Final = 4.0
"""Wrap turns of all rolls together for one layer more: `common practice, no source` (12 turns of
two rolls give 6 layers)."""


class Changed(StrEnum):
    """One setting moved by one step."""

    LAYER_MORE = "layer_more"
    LAYER_LESS = "layer_less"
    DENSER = "denser"
    FASTER = "faster"
    BINDING_MORE = "binding_more"
    STRETCH_MORE = "stretch_more"


@dataclass(frozen=True)
class Change:
    """changed: which; cost: then; bale_money, money_t_dm, money_ha, money_year: more (or less,
    negative) than before, for the same dry matter; bales_h: more or less; work_kw: likely power at
    the PTO while crop flows, more or less.
    """

    changed: Changed
    cost: BaleCost
    bale_money: float
    money_t_dm: float
    money_ha: float
    money_year: float
    bales_h: float
    work_kw: float


def changed_job(job: Job, changed: Changed) -> Job:
    """`job` with one setting moved by its step.

    One layer (4 wrap turns over all rolls), density 10 % up, 1 km/h faster, half a binding
    turn more, pre-stretch 5 points up. Raises BadInput where the setting has no room left.
    """
    settings = job.settings
    row, bale, bind, wrap = settings.row, settings.bale, settings.bind, settings.wrap
    if changed is Changed.FASTER:
        row = replace(row, speed_m_s=row.speed_m_s + 1.0 / KM_H_PER_M_S)
    elif changed is Changed.DENSER:
        bale = replace(bale, dry_matter_kg_m3=bale.dry_matter_kg_m3 * 1.10)
    elif changed is Changed.BINDING_MORE:
        bind = replace(bind, turns=bind.turns + 0.5)
    else:
        wrap = _wrapped(wrap, changed)
    return replace(job, settings=replace(settings, row=row, bale=bale, bind=bind, wrap=wrap))


def _wrapped(wrap: WrapWork | None, changed: Changed) -> WrapWork:
    if wrap is None:
        need, cure = "a machine with a wrapper", "Ask for this change only where bales are wrapped."
        raise BadInput(Fault("changed", need, "none", cure))
    if changed is Changed.STRETCH_MORE:
        return replace(wrap, pre_stretch_frac=wrap.pre_stretch_frac + 0.05)
    turns = TURNS_PER_LAYER / wrap.dispensers
    return replace(wrap, turns=wrap.turns + (turns if changed is Changed.LAYER_MORE else -turns))


def changes_of(job: Job, outlay: Outlay) -> tuple[Change, ...]:
    """Every step that has room, against `job` as it is; none of film where nothing is wrapped.

    The dry matter of the season stays: denser bales are fewer. What a change does to keeping is
    not in it, and the power model knows no density: a denser bale takes more than `work_kw` says.
    """
    before = cost_of(made_of(job), outlay)
    found = []
    for changed in Changed:
        try:
            moved = changed_job(job, changed)
            after = cost_of(made_of(moved), outlay)
        except BadInput:  # the step leaves what a machine can be set to
            continue
        found.append(_difference(changed, before, after, working_kw(moved) - working_kw(job)))
    return tuple(found)


def _difference(changed: Changed, before: BaleCost, after: BaleCost, work_kw: float) -> Change:
    return Change(
        changed=changed,
        cost=after,
        bale_money=after.bale_money - before.bale_money,
        money_t_dm=after.money_t_dm - before.money_t_dm,
        money_ha=after.money_ha - before.money_ha,
        money_year=after.money_year - before.money_year,
        bales_h=after.bales_h - before.bales_h,
        work_kw=work_kw,
    )
