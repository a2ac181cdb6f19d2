"""The answer of `balewright pace` as sentences and tables."""

from __future__ import annotations

from typing import Final

from balewright.cli.answer import print_table
from balewright.plan.pace.answer import PaceAnswer
from balewright.plan.pace.cycle import HeldBack
from balewright.plan.pace.effects import Effect
from balewright.plan.pace.steady import CHAMBER_PHASES, WRAPPER_PHASES, WorkPace
from balewright.quantities.reason import Reason, ReasonValue, because
from balewright.quantities.si import KM_H_PER_M_S
from balewright.words.say import say, say_value

_NO_VALUE: Final = "-"
_DRIVEN_M_S: Final = 25.0 / KM_H_PER_M_S
"""Nobody bales faster (assumed)."""
_HELD: Final = {
    HeldBack.FILLING: "filling",
    HeldBack.STANDING: "standing",
    HeldBack.WRAPPER: "wrapper",
}


def print_answer(answer: PaceAnswer) -> None:
    """Caution, the pace and what holds it back, where the time goes, chance, every setting."""
    print(f"! {say(Reason('caution.stop_and_lock'))}")
    print()
    for sentence in _steady_words(answer):
        print(sentence)
    print()
    _print_phases(answer)
    if answer.work.stops:
        print()
        _print_stops(answer)
    print()
    for sentence in _chance_words(answer):
        print(sentence)
    if answer.effects:
        print()
        _print_effects(answer.effects)
    print()
    print(_say("assumed"))


def _say(key: str, **values: ReasonValue) -> str:
    return say(because(f"pace.{key}", **values))


def _steady_words(answer: PaceAnswer) -> list[str]:
    steady, work = answer.steady, answer.work
    said = [
        _say(
            "steady",
            pace_bales_h=steady.pace_bales_h,
            throughput_t_h=steady.throughput_t_h,
            mass_kg=work.mass_kg,
            cycle_s=steady.cycle_s,
        )
    ]
    if steady.area_ha_h is not None:
        said.append(_say("area", area_ha_h=f"{steady.area_ha_h:.1f} ha/h"))
    held = _HELD[steady.held_back_by]
    waits = {"wait_s": steady.driver_waits_s} if held == "wrapper" else {}
    said.append(_say(f"held.{held}", **waits))
    if held != "wrapper" and work.phases.wrapper_s > 0.0:
        said.append(_say("waits", wait_s=steady.wrapper_waits_s))
    settings = answer.settings
    if settings is not None and settings.wrap is None:
        said.append(_say("no_film"))
    elif settings is not None:
        kink = answer.turning_speed_m_s
        said.append(_kink_words(kink))
    return said


def _kink_words(kink_m_s: float | None) -> str:
    if kink_m_s is None or kink_m_s > _DRIVEN_M_S:
        return _say("no_kink")
    return _say("kink", speed_m_s=kink_m_s)


def _print_phases(answer: PaceAnswer) -> None:
    steady, work = answer.steady, answer.work
    shares = steady.shares
    worth = {one.phase: one.saved_bales_h for one in steady.seconds}
    phases, cycle_s = work.phases, steady.cycle_s
    times = {
        "fill_s": phases.fill_s,
        "turning_s": shares.turning_frac * cycle_s,
        "bind_s": phases.bind_s,
        "gate_s": phases.gate_s,
        "waiting_s": steady.driver_waits_s,
        "stops_s": shares.stops_frac * cycle_s,
    }
    rows = [
        _phase(name, seconds, seconds / cycle_s, worth.get(name))
        for name, seconds in times.items()
        if seconds > 0.0 or name in CHAMBER_PHASES
    ]
    if phases.wrapper_s > 0.0:
        rows += [
            _phase(name, getattr(phases, name), getattr(phases, name) / cycle_s, worth[name])
            for name in WRAPPER_PHASES
        ]
    columns = [_say(f"column.{name}") for name in ("phase", "seconds", "share", "saved")]
    print_table(columns, rows)


def _phase(name: str, seconds: float, share_frac: float, worth: float | None) -> list[str]:
    saved = _NO_VALUE if worth is None else f"{worth:.2f} bales/h"
    return [_say(f"phase.{name}"), f"{seconds:.1f}", say_value("share_frac", share_frac), saved]


def _print_stops(answer: PaceAnswer) -> None:
    rows = [
        [
            stop.key.replace("-", " "),
            _say("by_chance" if stop.by_chance else "bales", every=f"{stop.every_bales:.0f}"),
            say_value("lasts_s", stop.lasts_s),
        ]
        for stop in answer.work.stops
    ]
    print_table([_say(f"column.{name}") for name in ("stop", "every", "lasts")], rows)


def _chance_words(answer: PaceAnswer) -> list[str]:
    chance = answer.chance
    steady_bales_h = answer.steady.pace_bales_h
    rare = any(stop.every_bales > chance.bales for stop in answer.work.stops)
    faster = chance.pace_bales_h.low > steady_bales_h
    return [
        _say(
            "chance",
            bales=chance.bales,
            runs=chance.runs,
            low_bales_h=f"{chance.pace_bales_h.low:.1f}",
            high_bales_h=f"{chance.pace_bales_h.high:.1f} bales/h",
            low_h=f"{chance.finish_h.low:.2f}",
            high_h=f"{chance.finish_h.high:.2f} h",
            half_h=f"{chance.finish_h.best:.2f} h",
        ),
        _say(
            "chance_mean",
            mean_bales_h=f"{chance.mean_bales_h:.1f} bales/h",
            waiting_frac=chance.shares.waiting_frac,
        ),
        *([_say("rare", bales=chance.bales)] if rare and faster else []),
    ]


def _print_effects(effects: tuple[Effect, ...]) -> None:
    rows = [
        [
            _say(f"setting.{effect.setting}"),
            say_value(effect.setting, effect.now),
            say_value(effect.setting, effect.step),
            _pace(effect.down),
            _pace(effect.up),
            _tonnes(effect),
        ]
        for effect in effects
    ]
    names = ("setting", "seconds", "step", "less", "more", "tonnes")
    columns = [_say(f"column.{name}") for name in names]
    columns[1] = ""
    print_table(columns, rows)


def _pace(pace: WorkPace | None) -> str:
    return _NO_VALUE if pace is None else f"{pace.pace_bales_h:.1f} bales/h"


def _tonnes(effect: Effect) -> str:
    ends = (
        _NO_VALUE if pace is None else f"{pace.throughput_t_h:.1f}"
        for pace in (effect.down, effect.up)
    )
    return " to ".join(ends)
