"""The setup sheet as a value: every setting of one machine for one job, with its reasons.

The rules that fill it live in `plan/sheet_rules`; this module only says what a sheet is.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from balewright.plan.crop import Crop
from balewright.plan.film.strip import Film
from balewright.quantities.interval import Interval
from balewright.quantities.reason import Reason


class Ground(StrEnum):
    """How steep the ground is where bales are tipped."""

    FLAT = "flat"
    ROLLING = "rolling"
    STEEP = "steep"


@dataclass(frozen=True)
class Conditions:
    """What the sheet was asked for.

    moisture_frac: wet basis, 0..1; windrow_kg_m: fresh mass a metre; speed_m_s: forward speed;
    slope_frac: rise over run; film and net as their labels say, None where not used or unknown;
    storage_months; bales: how many the job will make.
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
class Sheet:
    """A whole sheet, with what is needed to make it again.

    machine_serial is None for a sheet made for a profile without a machine in the register;
    profile_title is what people call the make's type.
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

    def line(self, key: str) -> SheetLine | None:
        """The line under `key`, None when this machine has no such setting."""
        return next((line for line in self.lines if line.key == key), None)

    def number(self, key: str) -> float | None:
        """The numeric value of a line, None when it is absent, unknown or a word."""
        line = self.line(key)
        return line.value if line is not None and isinstance(line.value, float | int) else None
