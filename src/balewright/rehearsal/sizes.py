"""How large things usually are on a machine in order. All are `assumed` unless a source is named.

No open records of round baler-wrappers exist from which these could be taken: they are what the
trade would call usual, and a trial on rehearsed seasons is worth no more than they are.
"""

from __future__ import annotations

from typing import Final

# crop and field
WINDROW_JOB_SHARE: Final = 0.10
"""Spread between fields of the windrow, as a share."""
WINDROW_BALE_SHARE: Final = 0.12
FAT_WINDROW_PER_M: Final = 4.0
"""Logarithm of how much heavier the rows are for a bale that is a metre fatter."""
MOISTURE_JOB_FRAC: Final = 0.02
MOISTURE_BALE_FRAC: Final = 0.014
MOISTURE_LASTS: Final = 0.7
"""Autocorrelation of moisture from bale to bale. In the logs of a real season of two square balers
readings of live sensors come to 0.39, 0.69 and 0.73, and scatter by 0.014 in dry crop."""
DRYING_FRAC_PER_H: Final = 0.006
"""Moisture that a windrow loses in an hour of the day's work."""
DEW_FRAC: Final = 0.012
"""Moisture that dew adds at eight in the morning, on a usual day; gone by half in an hour."""
DENSITY_JOB_SHARE: Final = 0.025
DENSITY_BALE_SHARE: Final = 0.03
DENSITY_PER_FEED: Final = -0.10
"""Exponent: bales get softer where they are fed faster."""
DENSITY_PER_PRESSURE: Final = 0.35
"""Exponent of dry density over chamber pressure."""
SOFT_PER_MM: Final = 0.012
"""Logarithm of dry density for each mm that the full chamber stands open."""
DIAMETER_BALE_M: Final = 0.007
GATE_JOB_MM: Final = 0.8
GATE_BALE_MM: Final = 1.8
GATE_USUAL_MM: Final = 30.0
"""Common practice, no source: about 30 mm on one kind of machine."""
SIDES_JOB_M: Final = 0.005
SIDES_BALE_M: Final = 0.010
"""Left less right: spread between fields and between bales."""
SLOPE_JOB_FRAC: Final = 0.03
SLOPE_BALE_FRAC: Final = 0.01
PRESSURE_USUAL_BAR: Final = 100.0
PRESSURE_JOB_BAR: Final = 1.5
PRESSURE_BALE_BAR: Final = 2.4
PRESSURE_PER_WET_BAR: Final = 20.0
"""Chamber pressure gained for each unit (1 = all water) of moisture below what was told."""
PRESSURE_PER_DENSITY_BAR: Final = 20.0
"""Chamber pressure gained for each unit of dry density that another crop brings, as a share."""

# people
SPEED_BALE_SHARE: Final = 0.07
SPEED_PER_WINDROW: Final = -0.5
"""Exponent: drivers slow down in heavy rows, by half of what would keep the feed the same."""
DRIVER_SPEED_SHARE: Final = 0.05
DRIVER_HAND_SHARE: Final = 0.10
"""Spread between drivers of their speed and of how long their hands take."""
TURNING_SHARE: Final = 0.35
TURNING_S: Final = 25.0
STOP_SHARE: Final = 0.03
STOP_S: Final = 240.0
"""Share of bales with a turn at the headland, and its mean time; with a stop, and its mean time.
Bales of a real season of two square balers come still less evenly: a quarter of the intervals are
1.35 times the median or longer, one in twenty 3 to 5 times."""
ROLL_CHANGE_S: Final = 120.0
"""Standing time for a new film roll."""
BY_HAND_SHARE: Final = 0.004
"""Bales in automatic work that are wrapped by hand all the same."""
BY_HAND_S: Final = 15.0

# binding
BINDING_TURNS_TURNS: Final = 0.04
BINDING_METRES_SHARE: Final = 0.010
NET_ROLL_SHARE: Final = 0.006
BINDING_S_PER_TURN: Final = 2.2
BINDING_MISSED_SHARE: Final = 0.004
BINDING_MISSED_S: Final = 8.0

# film
STRETCH_MACHINE_FRAC: Final = 0.004
STRETCH_BATCH_FRAC: Final = 0.003
STRETCH_ROLL_FRAC: Final = 0.005
STRETCH_BALE_FRAC: Final = 0.006
PATH_SHARE: Final = 0.006
ADVANCE_SHARE: Final = 0.006
METRES_SEEN_FRAC: Final = 0.0145
"""Spread of the stretch that metres show on a machine in order, from path, diameter, counter."""
COUNTER_MACHINE_SHARE: Final = 0.004
COUNTER_BALE_SHARE: Final = 0.004
ROLLS_A_BATCH: Final = 8
BREAK_SHARE: Final = 0.004
"""Film breaks a bale and dispenser."""
BREAK_PER_K: Final = 0.03
"""Logarithm of the break rate for each K of air above 20 degrees."""
BREAK_ROLL_LOG: Final = 0.3
"""Spread between rolls of the logarithm of the break rate."""
MENDING_S: Final = 40.0
START_AGAIN_SHARE: Final = 0.004
START_AGAIN_S: Final = 6.0

# phases: typical seconds, spread from bale to bale and between machines as shares
PHASES: Final = {
    "gate": (4.5, 0.08), "transfer": (4.0, 0.08), "wait": (1.5, 0.08), "tip": (2.5, 0.10),
    "bind": (1.0, 0.10), "wrap": (2.0, 0.10),
}  # fmt: skip
PHASE_MACHINE_SHARE: Final = 0.05
DELAY_SHARE: Final = 0.08
COLD_SHARE_PER_K: Final = 0.003
"""How much longer a phase moved by oil takes for each K below 50 degrees."""
OIL_AT_EASE_C: Final = 50.0
RPM_MACHINE_SHARE: Final = 0.01
RPM_BALE: Final = 0.3

# drive
PTO_RPM: Final = 540.0
PTO_BALE_RPM: Final = 5.0
PTO_PER_FEED_RPM: Final = -8.0
"""1/min of the PTO lost for each unit of the logarithm of the feed."""
FIXED_KW: Final = (2.5, 1.8)
VARIABLE_KW: Final = (4.0, 1.1)
"""Power at the PTO: kW idle, and kW for each t/h. ASAE D497 for large round balers, from memory."""
CHOP_KWH_T: Final = 0.6
"""Chopping a tonne with a full bank of knives; assumed for wet grass in a rotor."""
FULL_BANK_KNIVES: Final = 25
KNIFE_WEAR_SHARE: Final = 0.10
"""How much more of it blunt knives take when they are due for turning."""
TORQUE_MACHINE_SHARE: Final = 0.06
TORQUE_BALE_SHARE: Final = 0.05
OVERLOAD_SHARE: Final = 0.003
OVERLOAD_PER_FEED: Final = 3.0
"""Exponent of the overload rate over the feed."""
OVERLOAD_S: Final = 20.0
KNIFE_BAR_BALE: Final = 1.0

# oil, supply, codes, additive
OIL_RISE_K: Final = 33.0
OIL_LOAD: Final = 0.4
"""Exponent of the oil's rise over the torque."""
OIL_BALES: Final = 10
"""Over how many bales the load counts for the oil."""
OIL_MACHINE_K: Final = 2.5
OIL_DAY_K: Final = 1.0
OIL_BALE_K: Final = 0.7
OIL_PER_NM_K: Final = 0.02
"""K of oil for each N m that drags."""
WARMING_H: Final = 1.2
COOLING_H: Final = 1.6
SUPPLY_V: Final = 12.75
SUPPLY_MACHINE_V: Final = 0.12
SUPPLY_DAY_V: Final = 0.05
SUPPLY_BALE_V: Final = 0.10
SUPPLY_COLD_V: Final = 0.10
SUPPLY_WRAP_V: Final = 0.10
"""Volts lost while cold, and by the valves of a wrapper."""
CODE_SHARE: Final = 0.003
SPEED_CODE_SHARE: Final = 0.004
CODE_PER_SPEED: Final = 4.0
"""Exponent of how often a code of a moving cable comes over the ground speed."""
CODES: Final = ("168/1", "516100/5", "516101/4", "516102/31")
SPEED_CODE: Final = "516103/2"
"""SPN/FMI. 168 is the battery; from 516,096 on numbers are a maker's own, here invented ones."""
ADDITIVE_L_T: Final = 2.0
ADDITIVE_SHARE: Final = 0.03

# sensors: noise of a reading and offset of a machine
DIAMETER_M: Final = (0.006, 0.003)
SIDE_M: Final = (0.010, 0.004)
MOISTURE_FRAC: Final = (0.008, 0.010)
MASS_SHARE: Final = (0.015, 0.010)
"""With density, moisture and diameter a weighed bale scatters by 5 %; in the logs of a real season
of two square balers by 2.7 to 5.6 % within a field, outliers left out."""
NOISE_MACHINE_LOG: Final = 0.12
"""Spread between machines of the logarithm of a sensor's noise."""

# air
AIR_C: Final = 18.0
AIR_MACHINE_K: Final = 1.5
AIR_DAY_K: Final = 3.0
AIR_DAY_LASTS: Final = 0.7
AIR_SWING_K: Final = (4.0, 8.0)
"""Half the swing of a day: at least and at most."""
AIR_BALE_K: Final = 0.3
WARMEST_H: Final = 15.0
