"""Lines of the drive: forward speed, the windrow to make, how to drive along it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from balewright.plan.machine import Span
from balewright.plan.sheet.bale import SPEED_M_S, dense_speed_m_s
from balewright.plan.sheet.setting import Job, Wanted, Why, name_word, settle
from balewright.plan.sheet.sheet import HowSure, SheetLine
from balewright.quantities.reason import because

_FULL_FRAC: Final = 0.9
"""From this share of the chamber's width on a row fills it (assumed)."""
_HALF_FRAC: Final = 0.5
"""Up to this share a row is narrow enough to weave; between the two a bale becomes a barrel."""
_WEAVING: Final = "pami-round-baling"
_WIDER_M: Final = 0.10
"""A row may be a few inches wider than the chamber (52 in for 48 in)."""


def drive_lines(job: Job, turning_m_s: float | None) -> Iterator[SheetLine]:
    """turning_m_s: the speed from which on the wrapper holds back, None where it never does."""
    yield settle(
        job.machine, Wanted("speed_m_s", job.speed_m_s, SPEED_M_S), _why_speed(job, turning_m_s)
    )
    width_m = job.machine.chamber.width_m
    why = Why(because("sheet.windrow"), "progressive-windrow-width", HowSure.LIKELY)
    span = Span(round(_FULL_FRAC * width_m, 2), round(width_m + _WIDER_M, 2))
    yield settle(job.machine, Wanted("windrow_width_m", width_m, span), why)
    yield _weave_line(job)


def slowed(job: Job, turning_m_s: float | None) -> float:
    """The speed to drive: as asked, no faster than balers are driven, nor than the wrapper takes
    bales: beyond that only the wait grows.
    """
    if turning_m_s is None:
        return job.speed_m_s
    return min(job.speed_m_s, SPEED_M_S.clamp(turning_m_s))


def _why_speed(job: Job, turning_m_s: float | None) -> Why:
    asked_m_s = job.conditions.speed_m_s
    first_m_s = min(SPEED_M_S.clamp(asked_m_s), dense_speed_m_s(job.conditions))
    if turning_m_s is not None and job.speed_m_s < first_m_s:
        reason = because("sheet.speed.wrapper", asked_m_s=asked_m_s, turning_m_s=turning_m_s)
        return Why(reason, "grisso-2020")
    if first_m_s < SPEED_M_S.clamp(asked_m_s):
        reason = because("sheet.speed.heavy", asked_m_s=asked_m_s, feed_t_h=job.feed_t_h)
        return Why(reason, "hancock-row-density", HowSure.STARTING_POINT)
    if job.speed_m_s < asked_m_s:
        return Why(because("sheet.speed.too_fast", asked_m_s=asked_m_s), "d497-memory")
    if turning_m_s is not None and turning_m_s <= SPEED_M_S.high:
        reason = because("sheet.speed.turning", feed_t_h=job.feed_t_h, turning_m_s=turning_m_s)
        return Why(reason, "grisso-2020")
    return Why(because("sheet.speed", feed_t_h=job.feed_t_h), "pami-1977")


def _weave_line(job: Job) -> SheetLine:
    row_m, width_m = job.conditions.row_width_m, job.machine.chamber.width_m
    if row_m is None:
        reason = because("sheet.weave.unknown", row_m=round(_FULL_FRAC * width_m, 2))
        return name_word("weave", None, Why(reason, _WEAVING, HowSure.STARTING_POINT))
    if row_m >= _FULL_FRAC * width_m:
        return name_word(
            "weave", "straight", Why(because("sheet.weave.full", row_m=row_m), _WEAVING)
        )
    word = "narrow" if row_m <= _HALF_FRAC * width_m else "between"
    return name_word("weave", "weave", Why(because(f"sheet.weave.{word}", row_m=row_m), _WEAVING))
