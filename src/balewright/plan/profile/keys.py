"""The schema of a machine profile: every key, its form, its meaning and what people set by it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Final

from balewright.plan.cautions import SERVICE_CAUTIONS
from balewright.plan.machine import (
    BindingKind,
    ChamberKind,
    FullSign,
    MetresCounted,
    StepsAt,
    TipSide,
    WrapperKind,
)
from balewright.plan.profile.forms import (
    Key,
    choice,
    choices,
    flag,
    labels,
    name,
    number,
    rising,
    span,
    text,
    whole,
    wholes,
    word_of,
)

KEY: Final = Key("key", name(), "names the profile for ever; never used again for another")
VERSION: Final = Key("version", whole(1, 10_000), "steps with every change of the file")
TITLE: Final = Key("title", text(60), "what people read")
OIL: Final = Key(
    "oil_ml_bale", span(0, 100), "chain oil a bale, ml", ("oil_ml_bale",), optional=True
)
CARTRIDGE: Final = Key(
    "grease_cartridge_bales", whole(10, 10_000), "bales to one grease cartridge", optional=True
)

CHAMBER_KIND: Final = Key("kind", choice(ChamberKind), "fixed diameter, or growing with the bale")
WIDTH: Final = Key("width_m", number(0.6, 2.0), "inner width, which is the bale's length")
DIAMETER: Final = Key(
    "diameter_m", span(0.5, 2.2), "bale diameters it makes; fixed: twice the same", ("diameter_m",)
)
FULL_SIGN: Final = Key("full_sign", choice(FullSign), "how a full chamber shows")
FULL_MM: Final = Key(
    "full_at_mm",
    span(0, 300),
    "gate opening of a full chamber, where that is the sign",
    ("gate_opening_mm",),
    optional=True,
)
FULL_M: Final = Key(
    "full_at_m",
    span(0.5, 2.2),
    "diameter that can be called full, where that is the sign",
    ("diameter_m",),
    optional=True,
)
FULL_BAR: Final = Key(
    "full_at_bar",
    span(10, 350),
    "chamber pressure of a full chamber, where that is the sign",
    ("chamber_bar",),
    optional=True,
)
DENSITY: Final = Key(
    "density_bar", span(10, 350), "chamber pressure for density", ("chamber_bar",), optional=True
)

BINDING_KIND: Final = Key("kind", choice(BindingKind), "what binds", ("binding",))
ROLL_WIDTH: Final = Key("roll_width_m", number(0.01, 1.6), "width of the roll (twine: its guide)")
TURNS: Final = Key("turns", span(0.5, 60), "turns that can be set", ("binding_turns",))
DELAY: Final = Key(
    "delay_s", span(0, 20), "delay from full to binding, seconds", ("binding_delay_s",)
)
TENSION: Final = Key(
    "tension_frac",
    span(0, 1),
    "brake or stretch, 0 to 1 of the machine's own scale",
    ("binding_tension_frac",),
    optional=True,
)

WRAPPER_KIND: Final = Key("kind", choice(WrapperKind), "what moves: ring, arms or table")
DISPENSERS: Final = Key("dispensers", whole(1, 2), "film dispensers", ("rolls_on",))
FILM_WIDTH: Final = Key("film_width_m", span(0.2, 1.5), "roll widths that fit", ("film_width_m",))
STRETCH: Final = Key(
    "pre_stretch_frac", rising(0, 1.5), "pre-stretch ratios on offer", ("pre_stretch_frac",)
)
ADVANCE: Final = Key("advance_m", number(0.05, 1.5), "surface advance of the bale per wrap turn")
ADVANCE_ONE: Final = Key(
    "advance_one_roll_m", number(0.05, 1.5), "the same with one roll out", optional=True
)
COUNTED: Final = Key(
    "metres_counted", choice(MetresCounted), "where the film metre counter sits", optional=True
)
RPM: Final = Key("rpm", span(1, 80), "wrap turns a minute", ("wrap_rpm",))
MONITOR: Final = Key(
    "break_monitor", flag(), "whether a torn film stops the wrapping", ("break_monitor",)
)

BANKS: Final = Key("banks", wholes(1, 40), "knives in each bank", ("knives_in",))
PRESSURE: Final = Key(
    "pressure_bar",
    rising(1, 250),
    "knife pressure steps; left out where springs hold the knives",
    ("knife_bar",),
    optional=True,
)
UP_TO_KNIVES: Final = Key(
    "up_to_knives",
    wholes(1, 200),
    "numbers of knives for which most_bar gives the pressure, fewest first",
    optional=True,
)
MOST_BAR: Final = Key(
    "most_bar",
    rising(1, 250),
    "the most pressure with up to so many knives in work, one for each of up_to_knives",
    ("knife_bar",),
    optional=True,
)

SIDES: Final = Key("sides", choices(TipSide), "sides a bale can land on", ("tip_side",))
TIP_SPEED: Final = Key("speed_frac", span(0, 1), "tip speed, 0 to 1 of full", ("tip_speed_frac",))
TIP_DELAY: Final = Key("delay_s", span(0, 60), "delay before tipping", ("tip_delay_s",))
ROLL_BEFORE: Final = Key(
    "roll_before_s", span(0, 30), "rolling before wrapping", ("roll_before_s",), optional=True
)
ROLL_AFTER: Final = Key(
    "roll_after_s", span(0, 30), "rolling on after wrapping", ("roll_after_s",), optional=True
)
OPEN: Final = Key("open_s", span(0.5, 60), "how long the chamber stays open", ("open_s",))

ITEM_KEY: Final = Key("key", name(), "names the item; its words stand in the catalogue")
EVERY_BALES: Final = Key("every_bales", whole(1, 200_000), "due after bales", optional=True)
EVERY_HOURS: Final = Key("every_hours", number(1, 20_000), "or due after hours", optional=True)
MINUTES: Final = Key("minutes", number(1, 2_000), "how long the work takes")
CAUTION: Final = Key("caution", word_of(SERVICE_CAUTIONS), "the caution that comes first")

LIFETIME: Final = Key("lifetime", flag(), "whether the bale number counts the machine's life")
RESETS: Final = Key("resets_with_control", flag(), "whether a new control starts again at zero")
STEPS_AT: Final = Key(
    "steps_at", choice(StepsAt), "when in a bale's cycle its number is counted", optional=True
)

POSITIONS: Final = Key("positions", labels(), "the positions as they stand on the machine")
VALUES: Final = Key("values", rising(-1e6, 1e6), "the physical value of each position")


@dataclass(frozen=True)
class Section:
    """A table of the file: its path, its keys, whether it is a list of tables or may be absent."""

    path: str
    keys: tuple[Key[Any], ...]
    repeated: bool = False
    optional: bool = False
    meaning: str = ""


TOP: Final = Section("", (KEY, VERSION, TITLE, OIL, CARTRIDGE))
CHAMBER: Final = Section(
    "chamber",
    (CHAMBER_KIND, WIDTH, DIAMETER, FULL_SIGN, FULL_MM, FULL_M, FULL_BAR, DENSITY),
    meaning="where the bale is rolled",
)
BINDING: Final = Section(
    "binding",
    (BINDING_KIND, ROLL_WIDTH, TURNS, DELAY, TENSION),
    repeated=True,
    meaning="one table for each way to bind",
)
WRAPPER: Final = Section(
    "wrapper",
    (
        WRAPPER_KIND, DISPENSERS, FILM_WIDTH, STRETCH, ADVANCE, ADVANCE_ONE, COUNTED, RPM, MONITOR,
    ),
    optional=True,
    meaning="left out on a plain baler",
)  # fmt: skip
KNIVES: Final = Section(
    "knives",
    (BANKS, PRESSURE, UP_TO_KNIVES, MOST_BAR),
    optional=True,
    meaning="left out without any",
)
TIP: Final = Section(
    "tip",
    (SIDES, TIP_SPEED, TIP_DELAY, ROLL_BEFORE, ROLL_AFTER, OPEN),
    meaning="how a bale leaves",
)
SERVICE: Final = Section(
    "service",
    (ITEM_KEY, EVERY_BALES, EVERY_HOURS, MINUTES, CAUTION),
    repeated=True,
    optional=True,
    meaning="one table for each item that falls due",
)
COUNTER: Final = Section(
    "counter", (LIFETIME, RESETS, STEPS_AT), meaning="what the bale number means"
)
DIAL: Final = Section(
    "dials",
    (POSITIONS, VALUES),
    optional=True,
    meaning="one table for each setting with a scale of its own, named by the sheet line it sets",
)
SENSORS: Final = "sensors"
OWN_WORDS: Final = "own_words"

SECTIONS: Final = (TOP, CHAMBER, BINDING, WRAPPER, KNIVES, TIP, SERVICE, COUNTER, DIAL)


def settable() -> Iterator[tuple[str, str]]:
    """(dotted key, sheet line) for every key within which people set something."""
    for section in SECTIONS:
        for key in section.keys:
            dotted = f"{section.path}.{key.name}" if section.path else key.name
            for line in key.sets:
                yield dotted, line


LINES_OF_THE_JOB: Final = (
    "layers",
    "wrap_turns",
    "wrap_turns_one_roll",
    "overlap_frac",
    "film_height_m",
    "speed_m_s",
    "windrow_width_m",
    "weave",
    "additive_l_t",
    "weighing",
)
"""Sheet lines that follow from the job and the film; no key of a profile bounds them."""


def sheet_lines() -> tuple[str, ...]:
    """Every line a sheet can have, each once."""
    return tuple(dict.fromkeys([*(line for _, line in settable()), *LINES_OF_THE_JOB]))
