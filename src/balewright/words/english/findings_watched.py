"""What is said of what moved: a measure, a rate, a sensor, a setting, a cartridge, a roll.

Every sentence on a measure is the same frame round its own clause, so that a reader finds when,
what, how much and how sure always in the same place.
"""

from __future__ import annotations

from types import MappingProxyType
from typing import Final

_BETWEEN: Final = "From about bale {since_bale} (it began between {first_bale} and {last_bale})"
_AT: Final = "From bale {since_bale}"
_CREEPS: Final = "Little by little since about bale {since_bale} ({first_bale} to {last_bale})"
_SURE: Final = "({certain_frac} sure)."

# measure: end of its values' names, what went up, what went down
_LEVELS: Final = MappingProxyType(
    {
        "fill_s": ("s", "a bale takes longer to fill", "a bale fills faster"),
        "bind_delay_s": ("s", "binding starts later after the bale is full",
                         "binding starts sooner after the bale is full"),
        "bind_turn_s": ("s", "each turn of binding takes longer",
                        "each turn of binding takes less time"),
        "bind_s": ("s", "binding takes longer", "binding takes less time"),
        "gate_delay_s": ("s", "the gate waits longer after binding",
                         "the gate opens sooner after binding"),
        "gate_cycle_s": ("s", "the gate takes longer to open and close again",
                         "the gate is open for a shorter time"),
        "transfer_s": ("s", "the bale takes longer from the gate to the wrapper",
                       "the bale comes faster from the gate to the wrapper"),
        "wrap_delay_s": ("s", "the bale waits longer on the wrapper before wrapping starts",
                         "wrapping starts sooner"),
        "wrap_turn_s": ("s", "each wrap turn takes longer", "each wrap turn takes less time"),
        "tip_delay_s": ("s", "the wrapped bale stays longer on the wrapper",
                        "the wrapped bale is tipped sooner"),
        "chamber_bar": ("bar", "the chamber presses harder", "the chamber presses less hard"),
        "gate_opening_mm": ("mm", "the full chamber stands open further",
                            "the full chamber stands open less far"),
        "dry_kg_m3": ("kg_m3", "bales hold more dry matter for their size",
                      "bales are softer: less dry matter for their size"),
        "fresh_kg_m3": ("kg_m3", "bales are heavier for their size",
                        "bales are lighter for their size"),
        "diameter_m": ("m", "bales are thicker", "bales are thinner"),
        "left_over_right_m": ("m", "bales are thicker on the left against the right than they were",
                              "bales are thicker on the right against the left than they were"),
        "moisture_frac": ("frac", "the moisture sensor reads wetter than field and hour explain",
                          "the moisture sensor reads drier than field and hour explain"),
        "wet_spot_frac": ("frac", "the wettest spot of a bale stands out more from its mean",
                          "the wettest spot of a bale stands out less from its mean"),
        "feed_t_h": ("t_h", "more crop comes in an hour of filling",
                     "less crop comes in an hour of filling"),
        "row_kg_m": ("kg_m", "more crop is taken in for each metre driven",
                     "less crop is taken in for each metre driven"),
        "speed_m_s": ("m_s", "the machine is driven faster", "the machine is driven slower"),
        "pto_torque_nm": ("nm", "the drive pulls harder for the same feed",
                          "the drive pulls less hard for the same feed"),
        "pto_rpm": ("rpm", "the PTO turns faster", "the PTO turns slower"),
        "knife_bar": ("bar", "the knives are held harder", "the knives are held less hard"),
        "oil_c": ("c", "oil runs hotter than air and work explain",
                  "oil runs cooler than air and work explain"),
        "supply_min_v": ("v", "the lowest supply voltage of a bale is higher",
                         "the lowest supply voltage of a bale is lower"),
        "additive_l_t": ("l_t", "more additive goes on each tonne",
                         "less additive goes on each tonne"),
        "additive_l": ("l", "more additive goes into each bale",
                       "less additive goes into each bale"),
        "film1_stretch_ratio": ("ratio", "dispenser 1 draws less film for the way round the bale",
                                "dispenser 1 draws more film for the way round the bale"),
        "film2_stretch_ratio": ("ratio", "dispenser 2 draws less film for the way round the bale",
                                "dispenser 2 draws more film for the way round the bale"),
        "film_stretch_ratio": ("ratio", "less film is drawn for the way round the bale",
                               "more film is drawn for the way round the bale"),
        "film_pair_ratio": ("ratio", "dispenser 1 draws more film against dispenser 2",
                            "dispenser 1 draws less film against dispenser 2"),
        "advance_m": ("m", "the bale turns further with each wrap turn, so layers overlap less",
                      "the bale turns less far with each wrap turn: it slips on the wrapper"),
        "wrap_rpm": ("rpm", "the wrapper runs faster", "the wrapper runs slower"),
        "said_layers_turn": ("layers", "the machine reports more layers for each wrap turn",
                             "the machine reports fewer layers for each wrap turn"),
        "said_stretch_frac": ("frac", "the machine reports more stretch",
                              "the machine reports less stretch"),
        "said_overlap_frac": ("frac", "the machine reports more overlap",
                              "the machine reports less overlap"),
        "binding_stretch_ratio": ("ratio", "less binding is drawn for the turns it makes",
                                  "more binding is drawn for the turns it makes"),
        "binding_girths_turns": ("turns", "more binding goes on each bale",
                                 "less binding goes on each bale"),
        "binding_turns": ("turns", "bales get more turns of binding",
                          "bales get fewer turns of binding"),
    }
)  # fmt: skip
_INSTEAD: Final = {
    "turns": "{now_turns} turns instead of {before_turns}",
    "layers": "{now_layers} instead of {before_layers}",
    "ratio": "by {change_frac}",
}

# rate: what happens more often, then less often
_RATES: Final = MappingProxyType(
    {
        "film1_breaks": "film breaks at dispenser 1",
        "film2_breaks": "film breaks at dispenser 2",
        "film_breaks": "film breaks",
        "binding_retries": "binding needs another try",
        "unbound": "a bale leaves without binding",
        "film_start_retries": "wrapping needs another start",
        "overloads": "the overload trips",
        "by_hand": "a bale is wrapped by hand",
        "burst": "a bale bursts",
        "supply_dips": "the supply dips far below what the control needs",
        "undosed": "a bale gets no additive",
        "codes": "a bale shows a diagnostic code",
        "code": "a bale shows the code {code}",
    }
)


def _level(end: str, clause: str) -> str:
    amount = _INSTEAD.get(end, f"{{now_{end}}} instead of {{before_{end}}}")
    return f": {clause}, {amount} {_SURE}"


def _rate(clause: str, word: str) -> str:
    amount = (
        "{now_hundred} in 100 bales instead of {before_hundred} "
        "(between {low_hundred} and {high_hundred})"
    )
    return f": {clause} {word} often, {amount} {_SURE}"


def _watched() -> dict[str, str]:
    told = {}
    for key, (end, *clauses) in _LEVELS.items():
        for direction, clause in zip(("up", "down"), clauses, strict=True):
            told[f"{key}.{direction}"] = _level(end, clause)
    for key, clause in _RATES.items():
        for direction, word in (("up", "more"), ("down", "less")):
            told[f"{key}.{direction}"] = _rate(clause, word)
    return {
        f"findings.watched.{key}{ending}": frame + rest
        for key, rest in told.items()
        for ending, frame in (("", _BETWEEN), (".at", _AT), (".creeps", _CREEPS))
    }


_SPEED: Final = {
    "fast": "The code {code} comes more at speed: on {fast_frac} of the bales above "
    "{split_m_s}, on {slow_frac} of the others.",
    "slow": "The code {code} comes more at low speed: on {slow_frac} of the bales up to "
    "{split_m_s}, on {fast_frac} of the others.",
}


def _with_speed() -> dict[str, str]:
    """A code that came more often, and how it goes with speed."""
    return {
        f"{key}.{how}": f"{text} {tie}"
        for key, text in _watched().items()
        if key.startswith("findings.watched.code.up")
        for how, tie in _SPEED.items()
    }


_READINGS: Final = ("m_s", "mm", "m", "bar", "kg", "frac", "l", "rpm", "nm", "v", "c")
_SETTINGS: Final = ("turns", "dial", "knives", "m")
_TOLD: Final = ("ml_bale", "l_t", "m_s", "turns", "rpm", "frac", "bar", "mm", "m", "s", "dial")
_SETTING_NAMES: Final = MappingProxyType(
    {
        "binding_turns": "turns of binding",
        "binding_tension_frac": "binding tension",
        "binding_delay_s": "binding delay",
        "gate_opening_mm": "gate opening at full",
        "diameter_m": "bale diameter",
        "chamber_bar": "density pressure",
        "density_dial": "density setting",
        "knives_in": "knives in work",
        "knife_bar": "knife pressure",
        "layers": "film layers",
        "wrap_turns": "wrap turns",
        "overlap_frac": "film overlap",
        "film_width_m": "film width",
        "pre_stretch_frac": "pre-stretch",
        "wrap_rpm": "wrapping speed",
        "open_s": "time the chamber stays open",
        "roll_before_s": "rolling before wrapping",
        "roll_after_s": "rolling after wrapping",
        "tip_speed_frac": "tip speed",
        "tip_delay_s": "tip delay",
        "oil_ml_bale": "chain oil",
        "additive_l_t": "additive",
        "speed_m_s": "ground speed",
    }
)

MESSAGES: Final = (
    _watched()
    | _with_speed()
    | {f"findings.codes.{how}": tie for how, tie in _SPEED.items()}
    | {
        f"findings.frozen.{end}": "From bale {since_bale}: {columns} stands at "
        f"{{reading_{end}}} for {{bales}} bales in a row, longer than its readings ever "
        "repeated before: the sensor, its plug or its message has frozen."
        for end in _READINGS
    }
    | {
        f"findings.scale_end.{way}.{end}": "From bale {since_bale}: {columns} stands at "
        f"{{reading_{end}}}, the {way}est it ever reads, on {{bales}} of {{looked_at}} bales: the "
        f"end of its scale; true values there may be {way}er."
        for end in _READINGS
        for way in ("high", "low")
    }
    | {
        f"findings.setting.{end}": "From bale {since_bale}: {columns} moved from "
        f"{{before_{end}}} to {{now_{end}}} at one bale and stayed; no sheet says what it should "
        "be ({bales} bales)."
        for end in _SETTINGS
    }
    | {
        f"findings.setting.sheet.{end}": "From bale {since_bale}: {columns} moved from "
        f"{{before_{end}}} to {{now_{end}}} at one bale and stayed; the sheet, which did not "
        f"change, says {{planned_{end}}} ({{bales}} bales)."
        for end in _SETTINGS
    }
    | {
        f"findings.setting.told.{end}": "From bale {since_bale}: {setting} was set from "
        f"{{before_{end}}} to {{now_{end}}}; no sheet says what it should be."
        for end in _TOLD
    }
    | {
        f"findings.setting.told.sheet.{end}": "From bale {since_bale}: {setting} was set from "
        f"{{before_{end}}} to {{now_{end}}}; the sheet, which did not change, says "
        f"{{planned_{end}}}."
        for end in _TOLD
    }
    | {f"term.setting.{key}": name for key, name in _SETTING_NAMES.items()}
    | {
        "findings.restless": "From about bale {since_bale}: readings of {columns} jump more from "
        "bale to bale than they did: the sensor or its plug may be loose " + _SURE,
        "findings.cartridge.overdue": "The grease cartridge of bale {since_bale} has been in for "
        "{bales} bales where one lasts about {usual_bales}: it does not empty, or its change was "
        "not noted.",
        "findings.cartridge.lasted": "The grease cartridge of bale {since_bale} lasted {bales} "
        "bales where they last about {usual_bales}: too little grease reached the bearings, or a "
        "change was not noted.",
        "findings.roll.worse": "Batch {batch} breaks more than other film on the same machines: "
        "{breaks} breaks on {bales} bales where {expected} were to be expected, {times} times as "
        "often ({low_times} to {high_times}; {machines} machines compared).",
        "findings.roll.only": "Batch {batch} is the only film that breaks on these machines: "
        "{breaks} breaks on {bales} bales where {expected} were to be expected ({machines} "
        "machines compared).",
        "worth.risk.mould": "Feed moulds where film is thin: loss, and danger to animals.",
        "worth.risk.heat": "Feed heats before air is shut out.",
        "worth.risk.moisture": "Feed may spoil: too wet goes sour, too dry heats or moulds.",
        "worth.risk.film": "Film that is drawn wrongly leaves thin spots or tears; feed moulds "
        "there.",
        "worth.risk.binding": "A bale that is bound too little swells or bursts when handled.",
        "worth.risk.soft": "Soft bales hold more air, lose their shape and keep less well.",
        "worth.risk.pressure": "Pressure that moves by itself changes how hard bales or knives are "
        "held, and often tells of a leak or a worn valve.",
        "worth.risk.shape": "Odd bales are wrapped unevenly: some spots get too few layers.",
        "worth.risk.oil": "Hot oil ages seals and tells of a leak inside; it may burn skin.",
        "worth.risk.drive": "A drive that pulls harder wears, heats and may catch fire.",
        "worth.risk.supply": "A control that loses its supply in the middle of a bale stops or "
        "forgets.",
        "worth.risk.bearings": "Bearings without grease run hot and fail.",
        "worth.risk.additive": "Feed does not get what keeps it.",
        "worth.risk.blind": "Nothing can be seen there until the sensor tells again.",
    }
)
