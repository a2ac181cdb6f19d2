"""What a sheet asks of every bale, as the numbers that records can be held against."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import Final

from balewright.plan.crop import Crop, moisture_windows, widest
from balewright.plan.film.layers import (
    Bale,
    LayerCount,
    Wrapping,
    bale_turn_from_advance,
    count_layers,
)
from balewright.plan.film.strip import film_path_m, strip_width_m
from balewright.plan.machine import BindingKind, Machine, MetresCounted, Wrapper
from balewright.plan.sheet.sheet import Sheet

MOISTURE_ROOM_FRAC: Final = 0.05
"""How far from the sheet's own moisture a bale may be, whatever the sources say: `assumed`."""
HANDLING_S: Final = 40.0
"""Opening, handing over and starting: seconds beside binding and wrapping: `assumed`."""


@lru_cache(maxsize=1024)
def _counted(bale: Bale, wrapping: Wrapping) -> LayerCount:
    """Counted once for all machines that are set alike."""
    return count_layers(bale, wrapping)


@dataclass(frozen=True)
class PlannedBale:
    """One sheet with its machine. Values are None where the sheet does not ask for them."""

    key: str
    sheet: Sheet
    machine: Machine

    @property
    def bale(self) -> Bale:
        """The bale the sheet expects."""
        return Bale(self.sheet.expected.diameter_m.best, self.sheet.expected.length_m)

    @property
    def crop(self) -> Crop:
        """What is baled."""
        return self.sheet.conditions.crop

    @property
    def wrapper(self) -> Wrapper | None:
        """The wrapper, where the sheet wants film on the bale."""
        return self.machine.wrapper if self.wrap_turns is not None else None

    @property
    def wrap_turns(self) -> float | None:
        """Wrap turns asked for."""
        turns = self.sheet.number("wrap_turns")
        return turns if turns and self.sheet.conditions.film is not None else None

    @property
    def need_layers(self) -> int | None:
        """Layers asked for."""
        layers = self.sheet.number("layers")
        return None if layers is None else round(layers)

    @property
    def pre_stretch_frac(self) -> float | None:
        """Pre-stretch asked for."""
        film = self.sheet.conditions.film
        set_frac = self.sheet.number("pre_stretch_frac")
        if set_frac is not None:
            return set_frac
        return None if film is None else film.pre_stretch_frac

    def strip_m(self, film_width_m: float | None) -> float | None:
        """Width of the strip on the bale, for the film as recorded or else as planned."""
        film, stretch = self.sheet.conditions.film, self.pre_stretch_frac
        if film is None or stretch is None:
            return None
        width_m = film.width_m if film_width_m is None else film_width_m
        return strip_width_m(width_m, stretch, film.neck_in_exponent)

    @property
    def metres_a_turn(self) -> float | None:
        """What one dispenser should draw in a wrap turn; None where no counter is described."""
        wrapper, stretch = self.wrapper, self.pre_stretch_frac
        if wrapper is None or wrapper.metres_counted is None or stretch is None:
            return None
        before = wrapper.metres_counted is MetresCounted.BEFORE_STRETCH
        return self.film_path_m / (1.0 + stretch) if before else self.film_path_m

    @property
    def film_path_m(self) -> float:
        """Way of the film once round the planned bale."""
        return film_path_m(self.bale)

    @property
    def binding(self) -> BindingKind | None:
        """What binds the bale."""
        line = self.sheet.line("binding")
        known = {kind.value for kind in BindingKind}
        if line is None or line.value not in known:
            return self.machine.bindings[0].kind if len(self.machine.bindings) == 1 else None
        return BindingKind(str(line.value))

    @cached_property
    def layers(self) -> LayerCount | None:
        """Layers on the planned bale with the planned turns."""
        strip_m, wrapper = self.strip_m(None), self.wrapper
        if None in (strip_m, self.wrap_turns, self.need_layers) or wrapper is None:
            return None
        return self.count(self.bale.diameter_m, strip_m or 0.0, self._full_turns(wrapper))

    def _full_turns(self, wrapper: Wrapper) -> tuple[float, ...]:
        return (self.wrap_turns or 0.0,) * wrapper.dispensers

    def count(self, diameter_m: float, strip_m: float, turns: tuple[float, ...]) -> LayerCount:
        """Layers on a bale of that diameter for those turns of each dispenser."""
        bale = Bale(diameter_m, self.bale.length_m)
        return _counted(bale, self.wrapping(diameter_m, strip_m, turns))

    def wrapping(self, diameter_m: float, strip_m: float, turns: tuple[float, ...]) -> Wrapping:
        """What the wrapper does to a bale of that diameter in those turns of each dispenser."""
        wrapper = self.machine.wrapper
        if wrapper is None:
            raise ValueError("layers are counted only where a machine wraps")
        one_m = wrapper.advance_one_roll_m
        alone = len(turns) < wrapper.dispensers and one_m is not None
        advance_m = one_m if alone and one_m is not None else wrapper.advance_m
        return Wrapping(
            strip_m,
            bale_turn_from_advance(advance_m, diameter_m),
            turns,
            self.need_layers or 1,
            bale_turn_one_roll=None if one_m is None else bale_turn_from_advance(one_m, diameter_m),
        )

    @property
    def moisture_frac(self) -> tuple[float, float]:
        """From the driest to the wettest that any source allows for this crop."""
        low, high = widest(moisture_windows(self.crop))
        asked = self.sheet.conditions.moisture_frac
        return min(low, asked - MOISTURE_ROOM_FRAC), max(high, asked + MOISTURE_ROOM_FRAC)

    @property
    def dry_kg_m3(self) -> tuple[float, float]:
        """Dry matter density of the expected bale: lowest believable and best, kg DM/m3."""
        dry, bale = self.sheet.expected.dry_matter_kg, self.bale
        volume_m3 = 0.7853981633974483 * bale.diameter_m**2 * bale.length_m
        return dry.low / volume_m3, dry.best / volume_m3

    @property
    def full_to_wrapped_s(self) -> float | None:
        """Seconds from a full chamber to a wrapped and tipped bale when nothing waits."""
        wrapper, turns = self.wrapper, self.wrap_turns
        if wrapper is None or turns is None:
            return None
        rpm = self.sheet.number("wrap_rpm") or (wrapper.rpm.low + wrapper.rpm.high) / 2
        names = ("binding_delay_s", "roll_before_s", "roll_after_s", "tip_delay_s")
        set_s = sum(self.sheet.number(name) or 0.0 for name in names)
        return set_s + HANDLING_S + 60.0 * turns / rpm


def plan_of(sheets: Mapping[str, Sheet], machine: Machine) -> dict[str, PlannedBale]:
    """Every sheet that was made for this machine's profile, by its key."""
    return {
        key: PlannedBale(key, sheet, machine)
        for key, sheet in sheets.items()
        if sheet.profile_key == machine.key
    }
