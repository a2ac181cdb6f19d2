"""Which causes each rehearsed fault is, and what its driver would say; written before anything ran.

A rehearsed fault is a mechanism in a sentence (docs/rehearsal.md). The first cause of a row is that
sentence; the others are the same mechanism as far as the sentence says. What only looks alike in
the records is not in the row.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from balewright.rehearsal.faults import FaultKind as K
from balewright.rehearsal.faults import Growth

Causes = tuple[str, ...]

CAUSES: Mapping[K, Causes] = MappingProxyType({
    K.SLOW_FEEDING: ("pickup_tines_worn",),
    K.CROP_LEFT: ("pickup_set_too_high", "pickup_tines_worn"),
    K.OVERLOADS: ("slip_clutch_worn",),
    K.GATE: ("full_called_early", "gate_size_set_off"),
    K.GATE_WIDE: ("full_called_late", "gate_size_set_off"),
    K.GATE_SLOW: ("gate_throttle_plugged", "gate_cylinder_leaks"),
    K.DRIVE_DRAGS: ("chamber_bearing_failing", "rollers_caked"),
    K.LOPSIDED: ("gate_sides_unequal", "drives_on_one_side"),
    K.PRESSURE_SINKS: (
        "density_cylinder_leaks", "density_check_valve_dirty", "density_hose_leaks",
    ),
    K.RELIEF_LOW: ("density_relief_low",),
    K.DENSITY_LOST: ("density_pivots_stiff",),
    K.KNIVES_BLUNT: ("knives_blunt",),
    K.KNIFE_BANK_LEAKS: ("knife_circuit_leaks",),
    K.KNIVES_OUT: ("knife_springs_weak",),
    K.BRAKE_WEAK: ("net_brake_weak",),
    K.BINDING_MISSED: (
        "binding_feed_slips", "binding_rollers_sticky", "binding_guide_bent",
        "binding_film_end_not_held",
    ),
    K.BINDING_TURNS: ("binding_trip_early",),
    K.BINDING_CUTTER: ("binding_knife_blunt", "twine_knife_blunt"),
    K.BINDING_LATE: ("binding_feed_drive_weak",),
    K.TRANSFER_SLOW: ("transfer_cylinder_leaks", "transfer_throttle_closed"),
    K.WAITING: ("waits_before_wrapping", "wrapper_bale_sensor_off"),
    K.RING_SLOW: ("wrap_motor_worn", "wrap_speed_valve_sticks"),
    K.RING_UNEVEN: ("wrap_drive_slack", "wrap_bearing_play"),
    K.WRAP_TURNS: ("wrap_turn_pulse_double",),
    K.STRETCH: ("stretch_drive_worn_1", "stretch_gear_wrong_1"),
    K.STRETCH_UNEVEN: ("stretch_rollers_sticky_1",),
    K.FILM_BREAKS: ("stretch_roller_damaged_1", "stretch_roller_tight_1", "roll_holder_drags_1"),
    K.ROLL_BATCH: ("film_batch_weak",),
    K.METRES_DRIFT: ("film_metre_wheel_off_1",),
    K.FILM_STARTS: ("film_holder_weak",),
    K.TIP_SLOW: ("tip_cylinder_leaks", "tip_throttle_wrong"),
    K.MOISTURE_DRIFTS: ("moisture_sensor_coated", "moisture_curve_wrong"),
    K.DIAMETER_FROZEN: ("diameter_sensor_stuck",),
    K.PRESSURE_FROZEN: ("pressure_sensor_dead",),
    K.GATE_CHATTERS: ("gate_sensor_loose",),
    K.SCALE_DRIFTS: ("scale_drifts",),
    K.COLUMN_SILENT: ("sensor_wire_broken", "module_wet"),
    K.SUPPLY_DIPS: ("supply_plug_dirty", "supply_low_from_tractor"),
    K.SPEED_CODES: ("cable_moves",),
    K.CODES_MORE: ("bus_plug_bad", "bus_end_faulty"),
    K.OIL_HOT: ("oil_cooler_dirty", "oil_low"),
    K.GREASE_STUCK: ("grease_pump_stuck",),
    K.ADDITIVE_FALLS: ("additive_nozzle_blocked", "additive_pump_weak"),
    K.TOO_FAST: ("drives_too_fast",),
    K.BY_HAND: ("work_by_hand",),
    K.PTO_SLOW: ("pto_run_too_slow",),
    K.DENSITY_DIAL: ("density_set_low",),
    K.BINDING_DIAL: ("binding_turns_set_low",),
})  # fmt: skip

COUNTED: Mapping[int, Causes] = MappingProxyType(
    {1: ("counter_restarted",), 2: ("records_cut_off",), 3: ("count_sensor_chatters",)}
)
"""Of the fault `counter`, by its severity: starts again at one, leaves out, gives twice."""

SAID: Mapping[K, tuple[str, ...]] = MappingProxyType({
    K.SLOW_FEEDING: ("feeds_slowly",),
    K.CROP_LEFT: ("crop_left_behind",),
    K.OVERLOADS: ("slip_clutch_trips",),
    K.GATE: ("bale_soft",),
    K.GATE_WIDE: ("bale_too_heavy",),
    K.GATE_SLOW: ("gate_slow",),
    K.DRIVE_DRAGS: ("takes_more_power",),
    K.LOPSIDED: ("bale_lopsided",),
    K.PRESSURE_SINKS: ("pressure_falls",),
    K.RELIEF_LOW: ("pressure_not_reached",),
    K.DENSITY_LOST: ("bale_soft",),
    K.KNIVES_BLUNT: ("takes_more_power", "chop_too_long"),
    K.KNIVES_OUT: ("knives_drop_out",),
    K.BRAKE_WEAK: ("binding_loose",),
    K.BINDING_MISSED: ("binding_wont_start",),
    K.BINDING_TURNS: ("binding_loose",),
    K.BINDING_CUTTER: ("binding_not_cut",),
    K.BINDING_LATE: ("binding_wont_start",),
    K.TRANSFER_SLOW: ("transfer_slow",),
    K.RING_SLOW: ("wrapper_slow",),
    K.RING_UNEVEN: ("wrapper_jerks",),
    K.WRAP_TURNS: ("layers_look_few",),
    K.STRETCH: ("film_loose_on_bale",),
    K.FILM_BREAKS: ("film_breaks_often",),
    K.ROLL_BATCH: ("film_breaks_often", "since_new_roll"),
    K.METRES_DRIFT: ("reading_jumps",),
    K.FILM_STARTS: ("film_start_lost",),
    K.TIP_SLOW: ("tip_slow",),
    K.MOISTURE_DRIFTS: ("moisture_reading_odd",),
    K.DIAMETER_FROZEN: ("reading_stuck",),
    K.PRESSURE_FROZEN: ("reading_stuck",),
    K.GATE_CHATTERS: ("reading_jumps",),
    K.SCALE_DRIFTS: ("mass_reading_odd",),
    K.COLUMN_SILENT: ("sensor_reads_nothing",),
    K.SUPPLY_DIPS: ("screen_says_low_supply",),
    K.SPEED_CODES: ("screen_says_part_lost", "only_when_fast"),
    K.CODES_MORE: ("screen_says_part_lost",),
    K.OIL_HOT: ("oil_hot",),
    K.GREASE_STUCK: ("cartridge_still_full",),
    K.ADDITIVE_FALLS: ("additive_uneven",),
    K.TOO_FAST: ("bale_soft",),
    K.COUNTER: ("count_wrong",),
    K.DENSITY_DIAL: ("bale_soft",),
    K.BINDING_DIAL: ("binding_loose",),
})  # fmt: skip
"""What a driver calls about; nothing where no driver would notice."""

CAME: Mapping[Growth, str] = MappingProxyType(
    {
        Growth.STEP: "came_suddenly",
        Growth.RAMP: "came_slowly",
        Growth.SPELLS: "comes_and_goes",
        Growth.JUMP_CREEP: "came_suddenly",
    }
)
"""And answers when asked how it came."""


def causes_of(kind: K, severity: float) -> Causes:
    """Causes that a planted fault is; severity: as planted, counted where the fault is COUNTER."""
    return COUNTED[round(severity)] if kind is K.COUNTER else CAUSES[kind]
