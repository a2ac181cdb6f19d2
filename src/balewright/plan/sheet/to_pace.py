"""From a setup sheet and its machine's profile to settings for the pace.

What the sheet sets is taken from it, what falls due by bales from the profile; what neither says
(the length of a row, how long a roll change takes) is handed in and starts from assumed values.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from balewright.plan.film.strip import Bale
from balewright.plan.machine import Machine
from balewright.plan.pace.settings import BindWork, MadeBale, Row, Settings, WrapWork
from balewright.plan.pace.work import Stop
from balewright.plan.sheet.sheet import Sheet
from balewright.quantities.checks import require_between

FILM_BREAK = "film break"
_S_PER_MIN = 60.0


@dataclass(frozen=True)
class Unsaid:
    """What no sheet says; every default is assumed.

    gathered_m, run_m: as in `Row`, None where not known; turn_s: one headland turn; film_change_s:
    all film rolls, out of the cab and back; net_change_s; break_bales: bales to one film break,
    None for no breaks; break_s: lost by one.
    """

    gathered_m: float | None = None
    run_m: float | None = None
    turn_s: float = 8.0
    film_change_s: float = 180.0
    net_change_s: float = 240.0
    break_bales: float | None = None
    break_s: float = 90.0

    def __post_init__(self) -> None:
        if self.break_bales is not None:
            require_between("break_bales", self.break_bales, 1.0, 1e6)
        require_between("break_s", self.break_s, 0.0, 3600.0)


def settings_from_sheet(sheet: Sheet, machine: Machine, unsaid: Unsaid | None = None) -> Settings:
    """Settings for `work_of` out of a sheet.

    sheet: for this machine; machine: its profile; unsaid: the rest, assumed where None. A sheet
    without film gives a machine that does not wrap. Without stops and turns the pace is the one
    that the sheet itself expects. Raises BadInput where a value is out of its range.
    """
    unsaid = unsaid or Unsaid()
    given, expected = sheet.conditions, sheet.expected
    size = Bale(expected.diameter_m.best, expected.length_m)
    volume_m3 = math.pi * size.diameter_m**2 / 4.0 * size.length_m
    net_m = given.net_roll_m if expected.net_m_bale is not None else None
    return Settings(
        row=Row(
            given.windrow_kg_m,
            sheet.number("speed_m_s") or given.speed_m_s,
            unsaid.gathered_m,
            unsaid.run_m,
            unsaid.turn_s,
        ),
        bale=MadeBale(size, expected.dry_matter_kg.best / volume_m3, given.moisture_frac),
        bind=BindWork(
            turns=sheet.number("binding_turns") or 0.0,
            delay_s=sheet.number("binding_delay_s") or 0.0,
            open_s=sheet.number("open_s") or 0.0,
            roll_m=net_m,
            change_s=unsaid.net_change_s,
        ),
        wrap=_wrap_of(sheet, machine, unsaid),
        stops=tuple(_stops_of(machine, unsaid)),
    )


def _wrap_of(sheet: Sheet, machine: Machine, unsaid: Unsaid) -> WrapWork | None:
    turns, rpm, film = sheet.number("wrap_turns"), sheet.number("wrap_rpm"), sheet.conditions.film
    if machine.wrapper is None or turns is None or rpm is None or film is None:
        return None
    return WrapWork(
        turns=turns,
        rpm=rpm,
        rolling_s=(sheet.number("roll_before_s") or 0.0) + (sheet.number("roll_after_s") or 0.0),
        tip_delay_s=sheet.number("tip_delay_s") or 0.0,
        dispensers=machine.wrapper.dispensers,
        pre_stretch_frac=sheet.number("pre_stretch_frac") or film.pre_stretch_frac,
        roll_m=film.roll_m,
        change_s=unsaid.film_change_s,
    )


def _stops_of(machine: Machine, unsaid: Unsaid) -> list[Stop]:
    stops = [
        Stop(item.key, float(item.every_bales), item.minutes * _S_PER_MIN)
        for item in machine.service
        if item.every_bales is not None
    ]
    if unsaid.break_bales is not None and machine.wrapper is not None:
        stops.append(Stop(FILM_BREAK, unsaid.break_bales, unsaid.break_s, by_chance=True))
    return stops
