"""From what is set on the machine and lies in the field to the phases of a bale."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from balewright.plan.crop import bale_mass_kg, bale_volume_m3, feed_rate_kg_s
from balewright.plan.film.strip import Bale, roll_metres_m
from balewright.plan.pace.cycle import fill_time_s
from balewright.plan.pace.work import Headland, Phases, Stop, Work
from balewright.quantities.checks import require_between, require_count
from balewright.quantities.si import KG_PER_T, M2_PER_HA, S_PER_H

SURFACE_M_S: Final = 2.5
"""Speed of the bale's surface in the chamber (assumed)."""
CUT_S: Final = 2.0
GATE_MOVES_S: Final = 5.0
TAKE_OVER_S: Final = 6.0
CUT_AND_TIP_S: Final = 6.0
"""Times of a machine in order (assumed; docs/models/pace.md)."""
_S_PER_MIN: Final = 60.0
CHANGE_FILM: Final = "film rolls"
CHANGE_NET: Final = "net roll"


@dataclass(frozen=True)
class Row:
    """What lies in the field and how it is driven.

    windrow_kg_m: fresh, 0.2..30; speed_m_s: 0.1..10; gathered_m: width raked into the row, 0.5..40,
    None where not known; run_m: length of a row between two turns, 10..10,000, None where turns
    do not count; turn_s: one turn, 0..600.
    """

    windrow_kg_m: float
    speed_m_s: float
    gathered_m: float | None = None
    run_m: float | None = None
    turn_s: float = 0.0

    def __post_init__(self) -> None:
        require_between("windrow_kg_m", self.windrow_kg_m, 0.2, 30.0)
        require_between("speed_m_s", self.speed_m_s, 0.1, 10.0)
        require_between("turn_s", self.turn_s, 0.0, 600.0)
        if self.gathered_m is not None:
            require_between("gathered_m", self.gathered_m, 0.5, 40.0)
        if self.run_m is not None:
            require_between("run_m", self.run_m, 10.0, 10_000.0)


@dataclass(frozen=True)
class MadeBale:
    """The bale: its size, dry density (30..400 kg DM/m3) and moisture (wet basis, 0..0.95)."""

    size: Bale
    dry_matter_kg_m3: float
    moisture_frac: float

    def __post_init__(self) -> None:
        require_between("dry_matter_kg_m3", self.dry_matter_kg_m3, 30.0, 400.0)
        require_between("moisture_frac", self.moisture_frac, 0.0, 0.95)

    @property
    def mass_kg(self) -> float:
        """Fresh mass."""
        volume_m3 = bale_volume_m3(self.size.diameter_m, self.size.length_m)
        return bale_mass_kg(self.dry_matter_kg_m3, volume_m3, self.moisture_frac)


@dataclass(frozen=True)
class BindWork:
    """Binding and the gate.

    turns: 0..60; delay_s: from full to binding, 0..20; surface_m_s: the bale's surface, 0.5..6;
    cut_s: 0..30; open_s: the chamber stands open, 0..60; moves_s: it opens and closes, 0..60;
    roll_m: metres on a roll, None where roll changes do not count; change_s: to change one.
    """

    turns: float
    delay_s: float = 0.0
    surface_m_s: float = SURFACE_M_S
    cut_s: float = CUT_S
    open_s: float = 0.0
    moves_s: float = GATE_MOVES_S
    roll_m: float | None = None
    change_s: float = 0.0

    def __post_init__(self) -> None:
        require_between("turns", self.turns, 0.0, 60.0)
        require_between("surface_m_s", self.surface_m_s, 0.5, 6.0)
        for name, high in (("delay_s", 20.0), ("cut_s", 30.0), ("open_s", 60.0), ("moves_s", 60.0)):
            require_between(name, getattr(self, name), 0.0, high)
        require_between("change_s", self.change_s, 0.0, S_PER_H)
        if self.roll_m is not None:
            require_between("roll_m", self.roll_m, 1.0, 20_000.0)


@dataclass(frozen=True)
class WrapWork:
    """Wrapping.

    turns: of every dispenser, 0.5..200; rpm: wrap turns a minute, 1..80; rolling_s: before and
    after together, 0..60; tip_delay_s: 0..60; take_over_s, cut_and_tip_s: 0..60; dispensers: 1 or
    2; pre_stretch_frac: 0..2; roll_m: metres on a new roll, None where roll changes do not count;
    change_s: to change all rolls at once.
    """

    turns: float
    rpm: float
    rolling_s: float = 0.0
    tip_delay_s: float = 0.0
    take_over_s: float = TAKE_OVER_S
    cut_and_tip_s: float = CUT_AND_TIP_S
    dispensers: int = 2
    pre_stretch_frac: float = 0.70
    roll_m: float | None = None
    change_s: float = 0.0

    def __post_init__(self) -> None:
        require_between("turns", self.turns, 0.5, 200.0)
        require_between("rpm", self.rpm, 1.0, 80.0)
        for name in ("rolling_s", "tip_delay_s", "take_over_s", "cut_and_tip_s"):
            require_between(name, getattr(self, name), 0.0, 60.0)
        require_count("dispensers", self.dispensers, 1, 2)
        require_between("pre_stretch_frac", self.pre_stretch_frac, 0.0, 2.0)
        require_between("change_s", self.change_s, 0.0, S_PER_H)
        if self.roll_m is not None:
            require_between("roll_m", self.roll_m, 1.0, 20_000.0)


@dataclass(frozen=True)
class Settings:
    """Field, bale, binding, wrapping (None: a plain baler) and every other stop.

    buffer_s: seconds of crop gathered while the chamber binds and stands open, 0 where none.
    """

    row: Row
    bale: MadeBale
    bind: BindWork
    wrap: WrapWork | None = None
    stops: tuple[Stop, ...] = ()
    buffer_s: float = 0.0


def work_of(settings: Settings) -> Work:
    """The phases, stops and turns that settings lead to.

    Fill time is mass over feed rate; binding time the delay, the turns at the speed of the bale's
    surface and the cut; wrapping time turns over rpm. A roll is changed when its metres are used
    up. Raises BadInput where a part is out of its range. Source keys: `grisso-2020`, `geometry`.
    """
    row, bind, wrap = settings.row, settings.bind, settings.wrap
    mass_kg = settings.bale.mass_kg
    girth_m = math.pi * settings.bale.size.diameter_m
    bale_row_m = mass_kg / row.windrow_kg_m
    phases = Phases(
        fill_s=fill_time_s(mass_kg, feed_rate_kg_s(row.windrow_kg_m, row.speed_m_s)),
        bind_s=bind.delay_s + bind.turns * girth_m / bind.surface_m_s + bind.cut_s,
        gate_s=bind.moves_s + bind.open_s,
        take_over_s=0.0 if wrap is None else wrap.take_over_s,
        wrap_s=0.0 if wrap is None else wrap.rolling_s + wrap.turns / wrap.rpm * _S_PER_MIN,
        tip_s=0.0 if wrap is None else wrap.tip_delay_s + wrap.cut_and_tip_s,
        buffer_s=settings.buffer_s,
    )
    return Work(
        phases=phases,
        mass_kg=mass_kg,
        stops=(*_roll_stops(settings, girth_m), *settings.stops),
        headland=Headland(0.0 if row.run_m is None else bale_row_m / row.run_m, row.turn_s),
        bale_m2=None if row.gathered_m is None else bale_row_m * row.gathered_m,
    )


def _roll_stops(settings: Settings, girth_m: float) -> tuple[Stop, ...]:
    bind, wrap, stops = settings.bind, settings.wrap, []
    if wrap is not None and wrap.roll_m is not None and wrap.change_s > 0.0:
        bale_m = roll_metres_m(settings.bale.size, wrap.turns, wrap.pre_stretch_frac)
        stops.append(Stop(CHANGE_FILM, max(wrap.roll_m / bale_m, 1.0), wrap.change_s))
    if bind.roll_m is not None and bind.change_s > 0.0 and bind.turns > 0.0:
        every = max(bind.roll_m / (bind.turns * girth_m), 1.0)
        stops.append(Stop(CHANGE_NET, every, bind.change_s))
    return tuple(stops)


def yield_t_ha(row: Row) -> float | None:
    """Fresh crop on the field, t/ha, None where the gathered width is not known."""
    if row.gathered_m is None:
        return None
    return row.windrow_kg_m / row.gathered_m * M2_PER_HA / KG_PER_T
