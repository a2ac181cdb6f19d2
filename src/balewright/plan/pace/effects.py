"""What each setting does to the pace, and the speed at which the bottleneck changes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Final

from balewright.plan.film.strip import Bale
from balewright.plan.pace.settings import Settings, work_of
from balewright.plan.pace.steady import WorkPace, work_pace
from balewright.quantities.errors import BadInput
from balewright.quantities.si import KM_H_PER_M_S


@dataclass(frozen=True)
class Effect:
    """One setting a step down and a step up, all else kept.

    setting: its name with its unit; now, step: in that unit; down, up: the pace there, None where
    the step leaves the range.
    """

    setting: str
    now: float  # in the unit of `setting`
    step: float  # in the unit of `setting`
    down: WorkPace | None
    up: WorkPace | None


_Get = Callable[[Settings], float | None]
_Put = Callable[[Settings, float], Settings]


def _row(name: str) -> tuple[_Get, _Put]:
    return (
        lambda s: getattr(s.row, name),
        lambda s, v: replace(s, row=replace(s.row, **{name: v})),
    )


def _bind(name: str) -> tuple[_Get, _Put]:
    return (
        lambda s: getattr(s.bind, name),
        lambda s, v: replace(s, bind=replace(s.bind, **{name: v})),
    )


def _wrap(name: str) -> tuple[_Get, _Put]:
    return (
        lambda s: None if s.wrap is None else getattr(s.wrap, name),
        lambda s, v: s if s.wrap is None else replace(s, wrap=replace(s.wrap, **{name: v})),
    )


def _bale(name: str) -> tuple[_Get, _Put]:
    return (
        lambda s: getattr(s.bale, name),
        lambda s, v: replace(s, bale=replace(s.bale, **{name: v})),
    )


def _put_diameter(settings: Settings, diameter_m: float) -> Settings:
    size = Bale(diameter_m, settings.bale.size.length_m)
    return replace(settings, bale=replace(settings.bale, size=size))


_SETTINGS: Final[tuple[tuple[str, float, tuple[_Get, _Put]], ...]] = (
    ("speed_m_s", 1.0 / KM_H_PER_M_S, _row("speed_m_s")),
    ("windrow_kg_m", 0.5, _row("windrow_kg_m")),
    ("dry_matter_kg_m3", 10.0, _bale("dry_matter_kg_m3")),
    ("moisture_frac", 0.05, _bale("moisture_frac")),
    ("diameter_m", 0.05, (lambda s: s.bale.size.diameter_m, _put_diameter)),
    ("binding_turns", 0.5, _bind("turns")),
    ("binding_delay_s", 1.0, _bind("delay_s")),
    ("open_s", 1.0, _bind("open_s")),
    ("wrap_turns", 2.0, _wrap("turns")),
    ("wrap_rpm", 2.0, _wrap("rpm")),
    ("pre_stretch_frac", 0.10, _wrap("pre_stretch_frac")),
    ("tip_delay_s", 1.0, _wrap("tip_delay_s")),
)
"""Name with unit, step, how to read and to set it. The steps are ours: what people turn."""


def setting_effects(settings: Settings) -> tuple[Effect, ...]:
    """Each setting a step down and a step up: the whole pace worked out again.

    The step is one that people make (1 km/h, 0.5 kg/m, 10 kg DM/m3, two wrap turns). Bales/h and
    t/h may go opposite ways (a denser bale: fewer bales, more tonnes), so both stand in the paces.
    """
    effects = []
    for name, step, (get, put) in _SETTINGS:
        now = get(settings)
        if now is None:
            continue
        down, up = (_pace_at(settings, put, now + way * step) for way in (-1.0, 1.0))
        effects.append(Effect(name, now, step, down, up))
    return tuple(effects)


def _pace_at(settings: Settings, put: _Put, value: float) -> WorkPace | None:
    try:
        return work_pace(work_of(put(settings, value)))
    except BadInput:  # the step leaves what can be set; the settings themselves are good
        return None


def turning_speed_m_s(settings: Settings) -> float | None:
    """The forward speed at which filling and wrapping take equally long, stops aside.

    Slower, the chamber sets the pace and speed pays; faster, the driver waits for the wrapper.
    None without a wrapper, and where the wrapper is done before the chamber is, however fast one
    drives. It may be a speed that no field allows: it is not a proposal to drive it.
    """
    work = work_of(settings)
    phases = work.phases
    turning_s = work.headland.per_bale * work.headland.turn_s
    filling_s = phases.wrapper_s - turning_s - phases.standing_s
    if phases.wrapper_s == 0.0 or filling_s <= 0.0:
        return None
    return work.mass_kg / (settings.row.windrow_kg_m * filling_s)
