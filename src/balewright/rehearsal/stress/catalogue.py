"""Every stressor with its full severity. Fixed before tuning: a change here shows in a test.

`sigma` is a column's own scatter from bale to bale (see `readings.scatter`).
"""

from __future__ import annotations

from types import MappingProxyType
from typing import Final

from balewright.rehearsal.stress.stressor import Fair, Room, Stressor

_SIGMA: Final = "sigma"
_S: Final = "s"
_SHARE: Final = "share"

_MAKING = (
    Stressor(
        "slipping advance", Room.MAKING,
        "The bale turns less far for each wrap turn: a belt slips, film is wet on some jobs.",
        "share of the advance", 0.08, (Fair.LAYERS,),
    ),
)  # fmt: skip

_FIELD = (
    Stressor(
        "drying season", Room.FIELD,
        "Crop gets drier through the season, with the mass that goes with it.",
        "moisture points / 100", 0.06, (Fair.MOISTURE,),
    ),
    Stressor(
        "flattened crop", Room.FIELD,
        "Two jobs of crop laid flat by hail: slow, wetter, with uneven mass and shape.",
        "moisture points / 100", 0.06, (Fair.MOISTURE, Fair.SHAPE),
    ),
    Stressor(
        "barrel bales", Room.FIELD,
        "Middle thicker than the ends and one end thicker than the other, each field its own way; "
        "the diameter is read at the middle.",
        "m", 0.04, (Fair.SHAPE,),
    ),
    Stressor(
        "stones", Room.FIELD,
        "One job of stony ground: overload trips and rough knife pressure.",
        "trips a bale", 0.08, (Fair.OVERLOADS,),
    ),
)  # fmt: skip

_PEOPLE = (
    Stressor(
        "two drivers", Room.PEOPLE,
        "Two drivers take days in turn: one drives faster, weaves to one side and binds later.",
        "share of speed", 0.25, (Fair.SHAPE,),
    ),
    Stressor(
        "borrowed tractor", Room.PEOPLE,
        "Two jobs with another tractor: PTO and wrapper run faster, oil is warmer, supply lower.",
        "share of PTO speed", 0.09, (Fair.SETTING,),
    ),
    Stressor(
        "night shift", Room.PEOPLE,
        "Two days of work begin in the evening: cool air, cool oil, dew.",
        "moisture points / 100", 0.03, (Fair.MOISTURE,),
    ),
    Stressor(
        "half-full rolls", Room.PEOPLE,
        "Part-used film rolls are put on and noted with the length of a new one.",
        "share of roll changes", 0.30,
    ),
)  # fmt: skip

_SENSORS = (
    Stressor(
        "sensor replaced", Room.SENSORS,
        "In mid-season one sensor of three makes room for another make with another zero; noted.",
        _SIGMA, 1.5, (Fair.SENSOR,),
    ),
    Stressor(
        "gain drift", Room.SENSORS,
        "Honest wear: every sensor's gain creeps one way through the season.",
        "sigma a season", 0.3,
    ),
    Stressor(
        "sticky moisture", Room.SENSORS,
        "After days of rain the moisture sensor reads high and comes back slowly.",
        "moisture points / 100", 0.06, (Fair.SENSOR, Fair.MOISTURE),
    ),
)  # fmt: skip

_NOISE = (
    Stressor(
        "heavy tails", Room.NOISE,
        "Noise of t with 3 degrees of freedom on every sensor, of this standard deviation.",
        _SIGMA, 1.0,
    ),
    Stressor(
        "wild readings", Room.NOISE,
        "Readings 5 to 15 sigma off, a quarter of them at the bottom of what the sensor can show.",
        "share of readings", 0.02, (Fair.SENSOR,),
    ),
    Stressor(
        "lasting noise", Room.NOISE,
        "Noise that lasts from bale to bale with autocorrelation 0.5.", _SIGMA, 1.0,
    ),
    Stressor(
        "long lasting noise", Room.NOISE,
        "Noise that lasts from bale to bale with autocorrelation 0.8.", _SIGMA, 1.0,
    ),
    Stressor(
        "noise that grows with feed", Room.NOISE,
        "Noise in proportion to the square of the feed rate over its median.", _SIGMA, 1.0,
    ),
    Stressor(
        "coarse sensors", Room.NOISE,
        "Every sensor shows whole steps of this size only.", "sigma a step", 2.0, (Fair.SENSOR,),
    ),
)  # fmt: skip

_ENTRIES = (
    Stressor(
        "film width entered wrong", Room.ENTRIES,
        "Two jobs with the width of a narrower film left in the control.",
        "m", 0.25, (Fair.FILM_WIDTH,),
    ),
    Stressor(
        "operator who rounds", Room.ENTRIES,
        "On every second day mass, moisture and diameter are entered by hand in round numbers.",
        "times 50 kg, 0.05 and 0.05 m", 1.0, (Fair.SENSOR,),
    ),
)  # fmt: skip

_CLOCKS = (
    Stressor("clock offset", Room.CLOCKS, "The clock is fast all season.", _S, 2220.0,
             (Fair.CLOCK,)),
    Stressor("clock drift", Room.CLOCKS, "The clock gains time every day.", "s a day", 20.0,
             (Fair.CLOCK,)),
    Stressor("clock set back", Room.CLOCKS, "The clock goes back in the middle of a working day.",
             _S, 3600.0, (Fair.CLOCK,)),
    Stressor("zone wrong", Room.CLOCKS, "For a week the control is in another time zone.",
             _S, 7200.0, (Fair.CLOCK,)),
    Stressor("whole minutes", Room.CLOCKS, "Times are cut to whole steps of this length.",
             _S, 60.0, (Fair.CLOCK,)),
)  # fmt: skip

_ROWS = (
    Stressor("cells missing", Room.ROWS, "Cells are unknown here and there.", "share of cells",
             0.10),
    Stressor("bursts missing", Room.ROWS, "Columns fall silent for some 40 bales at a time.",
             "share of cells", 0.10, (Fair.COLUMN_SILENT,)),
    Stressor("columns missing", Room.ROWS, "Columns that are not recorded at all.",
             "share of columns", 0.25),
    Stressor("short history", Room.ROWS, "The first part of the season was not kept.",
             "share of the season", 0.60),
    Stressor("bales missing", Room.ROWS, "Bales without a record.", "share of bales", 0.02,
             (Fair.NUMBERS,)),
    Stressor("lost day", Room.ROWS, "Whole days without records.", "days", 1.0,
             (Fair.NUMBERS,)),
    Stressor("rows doubled", Room.ROWS, "Records that stand twice.", "share of bales", 0.01,
             (Fair.NUMBERS,)),
)  # fmt: skip

STRESSORS: Final = MappingProxyType(
    {
        one.key: one
        for one in (*_MAKING, *_FIELD, *_PEOPLE, *_SENSORS, *_NOISE, *_ENTRIES, *_CLOCKS, *_ROWS)
    }
)
"""Key -> stressor, in the order in which they are put on."""
