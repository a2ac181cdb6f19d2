"""How fast bales come: what the command says."""

from typing import Final

MESSAGES: Final = {
    "pace.steady": (
        "In steady work {pace_bales_h}, {throughput_t_h} fresh, bales of {mass_kg}, one every "
        "{cycle_s}."
    ),
    "pace.area": "That is {area_ha_h}.",
    "pace.held.filling": "Filling holds it back: more crop a second makes more bales.",
    "pace.held.standing": (
        "Binding and opening hold it back: the crop stops longer than it flows."
    ),
    "pace.held.wrapper": "The wrapper holds it back: the driver waits {wait_s} a bale for it.",
    "pace.waits": "The wrapper waits {wait_s} a bale for the chamber.",
    "pace.kink": (
        "At {speed_m_s} filling and wrapping take equally long; above it the driver waits. That is "
        "no advice to drive so fast: pickup, ground and crop set the limit."
    ),
    "pace.no_kink": "The wrapper is done before the chamber at any speed that is driven.",
    "pace.no_film": "Reckoned without wrapping: the machine has no wrapper, or no film was given.",
    "pace.chance": (
        "With times that vary, {bales} bales, drawn {runs} times: in 9 of 10 {low_bales_h} to "
        "{high_bales_h}, and done in {low_h} to {high_h}, half of them by {half_h}."
    ),
    "pace.chance_mean": (
        "On average {mean_bales_h}; waiting for the wrapper takes {waiting_frac} of the time."
    ),
    "pace.rare": (
        "Steady work spreads every stop over all bales; in {bales} bales some do not fall due, so "
        "the job goes faster than steady work."
    ),
    "pace.assumed": (
        "Assumed where you gave nothing: how the times vary, how long a change of rolls, a turn "
        "and a break take, and the machine's own moves (docs/models/pace.md)."
    ),
    "pace.column.phase": "phase",
    "pace.column.seconds": "seconds",
    "pace.column.share": "share of the time",
    "pace.column.saved": "a second saved",
    "pace.column.stop": "stop",
    "pace.column.every": "every",
    "pace.column.lasts": "lasts",
    "pace.column.setting": "setting",
    "pace.column.step": "step",
    "pace.column.less": "a step less",
    "pace.column.more": "a step more",
    "pace.column.tonnes": "and in t/h",
    "pace.phase.fill_s": "filling",
    "pace.phase.turning_s": "turning at the row's end",
    "pace.phase.bind_s": "binding",
    "pace.phase.gate_s": "gate open",
    "pace.phase.waiting_s": "waiting for the wrapper",
    "pace.phase.stops_s": "rolls, grease, breaks",
    "pace.phase.take_over_s": "taking over, beside it",
    "pace.phase.wrap_s": "wrapping, beside it",
    "pace.phase.tip_s": "cutting and tipping, beside it",
    "pace.bales": "{every} bales",
    "pace.by_chance": "{every} bales, by chance",
    "pace.setting.speed_m_s": "forward speed",
    "pace.setting.windrow_kg_m": "windrow",
    "pace.setting.dry_matter_kg_m3": "dry density",
    "pace.setting.moisture_frac": "moisture",
    "pace.setting.diameter_m": "diameter",
    "pace.setting.binding_turns": "binding turns",
    "pace.setting.binding_delay_s": "binding delay",
    "pace.setting.open_s": "chamber open",
    "pace.setting.wrap_turns": "wrap turns",
    "pace.setting.wrap_rpm": "wrapping speed",
    "pace.setting.pre_stretch_frac": "pre-stretch",
    "pace.setting.tip_delay_s": "tip delay",
}
