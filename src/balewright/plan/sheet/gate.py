"""The line of the size setting: where a chamber is called full, by row and by readings."""

from __future__ import annotations

from typing import Final

from balewright.plan.crop import feed_rate_t_h
from balewright.plan.sheet.gate_fit import GateFit, fit_gate
from balewright.plan.sheet.setting import Job, Wanted, Why, part_way, settle
from balewright.plan.sheet.sheet import HowSure, SheetLine
from balewright.quantities.reason import Reason, because

LIGHT_ROW_KG_M: Final = 2.5
HEAVY_ROW_KG_M: Final = 5.0
"""Where a row counts as light or heavy (common practice, no source)."""
_HEAVY_SHARE, _MIDDLE_SHARE, _LIGHT_SHARE = 0.25, 0.5, 0.75


def target_opening_mm(job: Job) -> float:
    """The opening of a full chamber at which the bale is round: the middle of the profile's."""
    return part_way(job.machine.chamber.full_at, _MIDDLE_SHARE)


def gate_line(job: Job) -> SheetLine:
    """By readings where there are enough, else by how heavy the row is; the reason says what to
    set in heavy and in light rows. Never larger for a heavier row.
    """
    fit = fit_gate(job.conditions.gate_readings, job.conditions.speed_m_s)
    return _practice_line(job) if fit is None else _fitted_line(job, fit)


def _practice_line(job: Job) -> SheetLine:
    span, row_kg_m = job.machine.chamber.full_at, job.conditions.windrow_kg_m
    share = _MIDDLE_SHARE
    if row_kg_m > HEAVY_ROW_KG_M:
        share = _HEAVY_SHARE
    elif row_kg_m < LIGHT_ROW_KG_M:
        share = _LIGHT_SHARE
    heavy_mm, light_mm = (part_way(span, end) for end in (_HEAVY_SHARE, _LIGHT_SHARE))
    reason = because(
        "sheet.gate_opening.rows", windrow_kg_m=row_kg_m, heavy_mm=heavy_mm, light_mm=light_mm
    )
    wanted = Wanted("gate_opening_mm", part_way(span, share), span)
    return settle(job.machine, wanted, Why(reason, "practice", HowSure.STARTING_POINT))


def _fitted_line(job: Job, fit: GateFit) -> SheetLine:
    span, target_mm = job.machine.chamber.full_at, target_opening_mm(job)

    def setting_mm(row_kg_m: float) -> float:
        feed_t_h = feed_rate_t_h(row_kg_m, job.speed_m_s)
        return span.clamp(fit.setting_mm(target_mm, feed_t_h).best)

    wanted_mm = fit.setting_mm(target_mm, job.feed_t_h)
    inside = span.low <= wanted_mm.best <= span.high
    word = "beyond" if not inside else "mean" if fit.line is None else "fitted"
    reason = Reason(
        f"sheet.gate_opening.{word}",
        (
            ("readings", fit.readings),
            ("low_mm", max(0.0, wanted_mm.low)),
            ("high_mm", max(0.0, wanted_mm.high)),
            ("target_mm", target_mm),
            ("heavy_mm", setting_mm(HEAVY_ROW_KG_M)),
            ("light_mm", setting_mm(LIGHT_ROW_KG_M)),
        ),
    )
    known = inside and fit.has_seen(job.feed_t_h)
    sure = HowSure.LIKELY if known else HowSure.STARTING_POINT
    wanted = Wanted("gate_opening_mm", wanted_mm.best, span)
    return settle(job.machine, wanted, Why(reason, "given", sure))
