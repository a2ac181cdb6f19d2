"""What a rehearsed machine was told to do: plain numbers, whoever planned them."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class WrapTargets:
    """What the wrapper was told. strip_m: width of the stretched strip on the bale."""

    turns: int
    need_layers: int
    film_width_m: float
    strip_m: float
    pre_stretch_frac: float
    roll_m: float
    rpm: float


@dataclass(frozen=True)
class TargetSettings:
    """Settings of one machine for one season.

    dry_kg_m3: dry matter density that the density setting gives; moisture_frac: wet basis;
    windrow_kg_m: fresh mass a metre; gate_opening_mm, chamber_bar: None where the chamber shows
    none; wrap: None on a machine without a wrapper, or with it switched off; knife_bar, knives_in,
    additive_l_t: None for what such a machine usually has.
    """

    crop: str
    diameter_m: float
    length_m: float
    dry_kg_m3: float
    moisture_frac: float
    windrow_kg_m: float
    speed_m_s: float
    binding: str
    binding_turns: float
    binding_stretch_frac: float
    binding_delay_s: float
    net_roll_m: float
    gate_opening_mm: float | None
    chamber_bar: float | None
    wrap: WrapTargets | None
    knife_bar: float | None = None
    knives_in: int | None = None
    additive_l_t: float | None = None
