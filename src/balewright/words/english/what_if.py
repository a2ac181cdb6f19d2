"""What one sheet gives beside another, and what moved from the one to the other."""

from __future__ import annotations

from typing import Final


def _one_number(name: str, said: str) -> dict[str, str]:
    """Three messages to one number: as before, instead of another, and where there was none."""
    return {
        f"what_if.{name}.same": f"{said}, as before.",
        f"what_if.{name}.moved": f"{said} instead of {{was_{name}}}.",
        f"what_if.{name}": f"{said}.",
    }


MESSAGES: Final = {
    "what_if.layers.as_set": (
        "Left at the {turns} wrap turns of before it would be {layers:layer|layers} at the "
        "thinnest spot, with {short_frac} of the round side short."
    ),
    "what_if.chance": "As bales differ, {chance} get the {layers:layer|layers} wanted all round.",
    "what_if.chance.same": (
        "As bales differ, {chance} get the {layers:layer|layers} wanted all round, as before."
    ),
    "what_if.chance.moved": (
        "As bales differ, {chance} get the {layers:layer|layers} wanted all round; before, {was} "
        "got {was_layers}."
    ),
    "what_if.share.exactly": "{chance_frac}",
    "what_if.share.most": "more than {chance_frac}",
    "what_if.share.least": "fewer than {chance_frac}",
    "what_if.pace.unknown": "Unknown: no pace can be reckoned for this.",
    "what_if.pace.stops": "Roll changes are in it.",
    "what_if.held": "What holds back is {part}.",
    "what_if.held.same": "What holds back is {part}, as before.",
    "what_if.held.moved": "What holds back is {part}; before, it was {was}.",
    "what_if.film.none": "No film is used, or its roll is not named.",
    "what_if.cost.unknown": "Unknown: what this costs cannot be reckoned.",
    "what_if.cost.unpriced": "Not told in money: prices are missing.",
    "what_if.span.same": "Anything from {low_frac} to {high_frac} is open, as before.",
    "what_if.span.moved": (
        "Anything from {low_frac} to {high_frac} is open; before, {was_low_frac} to "
        "{was_high_frac}."
    ),
    "what_if.span": "Anything from {low_frac} to {high_frac} is open.",
    "what_if.keeping.unknown": "Unknown: no trial reaches these conditions.",
    "what_if.note.row": (
        "The row stays at {windrow_kg_m} of fresh crop; the same grass brought to {moisture_frac} "
        "would weigh {wilted_kg_m}."
    ),
    "what_if.no_profile": (
        "The profile of one of these machines is not known here, so only the sheets themselves "
        "are compared."
    ),
    # what moved from one sheet to the other
    "what_if.way.more": "more",
    "what_if.way.less": "less",
    "what_if.way.other": "other",
    "what_if.way.new": "new",
    "what_if.way.gone": "gone",
    "what_if.way.known": "known now",
    "what_if.way.unknown": "unknown now",
    "what_if.none": "none",
    "what_if.readings": "{count:reading|readings}",
    "what_if.asked.crop": "Crop",
    "what_if.asked.moisture_frac": "Moisture",
    "what_if.asked.windrow_kg_m": "Windrow",
    "what_if.asked.speed_m_s": "Speed asked for",
    "what_if.asked.slope_frac": "Slope",
    "what_if.asked.dusty": "Dusty",
    "what_if.asked.stony": "Stones",
    "what_if.asked.weighed": "A scale of its own",
    "what_if.asked.film_width_m": "Film width",
    "what_if.asked.film_thickness_m": "Film thickness",
    "what_if.asked.film_roll_m": "Film on a roll",
    "what_if.asked.film_pre_stretch_frac": "Pre-stretch by the label",
    "what_if.asked.film_neck_in_exponent": "Neck-in exponent",
    "what_if.asked.binding": "Binding asked for",
    "what_if.asked.net_roll_m": "Net on a roll",
    "what_if.asked.storage_months": "Storage",
    "what_if.asked.bales": "Bales",
    "what_if.asked.row_width_m": "Row width",
    "what_if.asked.climate": "Kind of place",
    "what_if.asked.additive_rate_l_t": "Additive",
    "what_if.asked.additive_active_frac": "Acid in the product",
    "what_if.asked.additive_density_kg_l": "Density of the product",
    "what_if.asked.additive_tank_l": "Additive tank",
    "what_if.asked.rolls_left_m": "Film left on the rolls",
    "what_if.asked.gate_readings": "Readings of the gate",
    "what_if.asked.diameter_spread_m": "Spread of diameters",
    "what_if.expected.diameter_m": "Diameter",
    "what_if.expected.length_m": "Length",
    "what_if.expected.mass_kg": "Mass",
    "what_if.expected.dry_matter_kg": "Dry matter",
    "what_if.expected.density_kg_m3": "Density, fresh",
    "what_if.expected.fill_s": "Chamber full after",
    "what_if.expected.net_m_bale": "Net",
    "what_if.expected.net_rolls": "Net rolls",
    **_one_number("thinnest_layers", "{thinnest_layers:layer|layers} at the thinnest spot"),
    **_one_number("pace_bales_h", "{pace_bales_h}"),
    **_one_number("throughput_t_h", "{throughput_t_h}"),
    **_one_number("film_m", "{film_m} a bale"),
    **_one_number("film_kg", "{film_kg} a bale"),
    **_one_number("film_rolls", "{film_rolls:roll|rolls} for {bales:bale|bales}"),
    **_one_number("bale_money", "{bale_money} a bale"),
    **_one_number("t_money", "{t_money} a tonne of dry matter"),
    **_one_number("binding_m", "Binding: {binding_m} a bale"),
    **_one_number("work_min", "Work: {work_min} a bale"),
    **_one_number("fuel_l", "Diesel: {fuel_l} a bale"),
    **_one_number("well_made_frac", "Well-made trials: {well_made_frac} of the dry matter lost"),
    **_one_number("barrier_frac", "Trials of barrier films: {barrier_frac} lost"),
}
