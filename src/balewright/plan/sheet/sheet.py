"""The setup sheet as a value: every setting of one machine for one job, with its reasons.

The rules that fill it live in `plan/sheet/rules`; this module only says what a sheet is.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from balewright.plan.crop import Crop
from balewright.plan.film.strip import Film
from balewright.plan.keeping.additive import Product
from balewright.plan.machine import BindingKind
from balewright.quantities.interval import Interval
from balewright.quantities.reason import Reason


class Ground(StrEnum):
    """How steep the ground is where bales are tipped."""

    FLAT = "flat"
    ROLLING = "rolling"
    STEEP = "steep"


class Row(StrEnum):
    """How heavy a windrow looked, where nobody knew its feed rate."""

    LIGHT = "light"
    MIDDLE = "middle"
    HEAVY = "heavy"


@dataclass(frozen=True)
class GateReading:
    """One full chamber as it was read: opening_mm at the end, the size setting_mm at which the
    machine called it full, and how crop came in: feed_t_h, or only how heavy the row looked.
    """

    opening_mm: float
    setting_mm: float
    feed_t_h: float | None = None
    row: Row | None = None


@dataclass(frozen=True)
class Additive:
    """What is sprayed: rate_l_t as a silage additive's label has it, or the acid of a product
    whose rate follows from the moisture of hay (exactly one of the two); tank_l: a full tank.
    """

    rate_l_t: float | None = None
    acid: Product | None = None
    tank_l: float | None = None


@dataclass(frozen=True)
class Conditions:
    """What the sheet was asked for.

    moisture_frac: wet basis, 0..1; windrow_kg_m: fresh mass a metre; speed_m_s: forward speed;
    slope_frac: rise over run; film and net as their labels say, None where not used or unknown;
    storage_months; bales: how many the job will make. What nobody has to say: climate: a name of
    `plan/keeping/climate` CLIMATES; rolls_left_m: film on each dispenser's roll at the start, new
    rolls where empty; additive: None for none; row_width_m: of the windrow; weighed: bales go
    over a scale that is no part of the machine; gate_readings: of this machine in this crop;
    diameter_spread_m: standard deviation from bale to bale, where bales were measured; binding:
    what shall bind, None to leave it to the rules.
    """

    crop: Crop
    moisture_frac: float
    windrow_kg_m: float
    speed_m_s: float
    slope_frac: float
    dusty: bool
    stony: bool
    film: Film | None
    net_roll_m: float | None
    storage_months: float
    bales: int
    climate: str | None = None
    rolls_left_m: tuple[float, ...] = ()
    additive: Additive | None = None
    row_width_m: float | None = None
    weighed: bool = False
    gate_readings: tuple[GateReading, ...] = ()
    diameter_spread_m: float | None = None
    binding: BindingKind | None = None

    @property
    def ground(self) -> Ground:
        """The band of slope; bounds are `common practice, no source`."""
        if self.slope_frac < 0.05:
            return Ground.FLAT
        return Ground.ROLLING if self.slope_frac < 0.12 else Ground.STEEP


class HowSure(StrEnum):
    """How much weight a line's value carries."""

    SETTLED = "settled"
    LIKELY = "likely"
    STARTING_POINT = "starting point"


@dataclass(frozen=True)
class SheetLine:
    """One setting.

    key: the setting's name, ending in its unit where it has one (`wrap_turns`, `knife_bar`);
    value: physical value, a word, or None when unknown; position: where the machine's own dial
    stands for it; low, high: what is allowed; source: key of the bibliography; own_word: what
    the machine itself calls the setting, None where its profile does not say.
    """

    key: str
    value: float | str | None
    position: str | None
    low: float | None
    high: float | None
    reason: Reason
    source: str
    how_sure: HowSure
    own_word: str | None = None


@dataclass(frozen=True)
class Expected:
    """The bale, pace and consumables the sheet expects; None where the machine cannot tell.

    mass_kg, density_kg_m3: fresh; held_back_by: `plan/pace/cycle` HeldBack; layers_thinnest: of
    wrap film on any side, binding film not counted; short_frac, sliver_m: of the round side.
    """

    diameter_m: Interval
    length_m: float
    mass_kg: Interval
    dry_matter_kg: Interval
    density_kg_m3: Interval
    fill_s: float
    cycle_s: float
    pace_bales_h: float
    held_back_by: str
    layers_thinnest: int | None
    short_frac: float | None
    sliver_m: float | None
    film_m_bale: float | None
    film_g_bale: float | None
    film_rolls: float | None
    net_m_bale: float | None
    net_rolls: float | None


@dataclass(frozen=True)
class Conflict:
    """Two things that cannot both be had.

    line: key of the sheet line they are about; wants: each side, why it wants what; settled: which
    one the sheet follows and why; source: key of the bibliography.
    """

    line: str
    wants: tuple[Reason, ...]
    settled: Reason
    source: str


@dataclass(frozen=True)
class Measure:
    """What to measure in the first five bales.

    key: what, ending in its unit; target: what the sheet expects; low, high: between these it is
    in order; reason: how to measure and what to do outside; None where the sheet has no limit.
    """

    key: str
    target: float | None
    low: float | None
    high: float | None
    reason: Reason
    source: str


@dataclass(frozen=True)
class RollChange:
    """A roll runs out. roll: "film 1", "film 2", "net"; bale: during which one, counted from 1,
    with the bales between which it ends with 95 %.
    """

    roll: str
    bale: Interval


@dataclass(frozen=True)
class LostRoll:
    """One of two rolls lost at_turn wrap turns: the other one must reach reach_turn, counted from
    the first turn, for all layers everywhere.
    """

    at_turn: int
    reach_turn: int


@dataclass(frozen=True)
class Sheet:
    """A whole sheet, with what is needed to make it again.

    machine_serial is None for a sheet made for a profile without a machine in the register;
    profile_title is what people call the make's type; roll_changes: the first of the job, in order;
    spread_bales: bales of the record that the spread of diameters was taken from, None where it
    was given or is not known.
    """

    machine_serial: str | None
    profile_key: str
    profile_version: int
    code_version: str
    conditions: Conditions
    cautions: tuple[Reason, ...]
    lines: tuple[SheetLine, ...]
    expected: Expected
    unknown: tuple[Reason, ...]
    profile_title: str = ""
    conflicts: tuple[Conflict, ...] = ()
    measures: tuple[Measure, ...] = ()
    roll_changes: tuple[RollChange, ...] = ()
    lost_rolls: tuple[LostRoll, ...] = ()
    spread_bales: int | None = None

    def line(self, key: str) -> SheetLine | None:
        """The line under `key`, None when this machine has no such setting."""
        return next((line for line in self.lines if line.key == key), None)

    def number(self, key: str) -> float | None:
        """The numeric value of a line, None when it is absent, unknown or a word."""
        line = self.line(key)
        return line.value if line is not None and isinstance(line.value, float | int) else None
