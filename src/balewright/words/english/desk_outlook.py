"""What the desk says round the pictures of what a machine would give, and the answers to them."""

from __future__ import annotations

from typing import Final

MESSAGES: Final = {
    "desk.outlook.title": "What it would give",
    "desk.outlook.what": (
        "Worked out ahead, not measured: layers, keeping, pace, cost and the settings that cost "
        "least, each with how sure it is."
    ),
    "desk.outlook.open": "Change crop, film, store or prices and watch the pictures follow",
    "desk.outlook.waiting": "Drawing the pictures …",
    "desk.outlook.form": "Change anything; the pictures follow as you type.",
    "desk.outlook.pictures": "The pictures",
    "desk.outlook.show": "Draw again",
    "desk.outlook.reset": "Back to the machine's own",
    "desk.outlook.make_sheet": "Make a setup sheet of this",
    "desk.outlook.wrong": "The pictures cannot be drawn yet",
    "desk.outlook.sources": "Where this comes from",
    "desk.outlook.origin.in_force": (
        "For the conditions of the sheet that the newest bales were made by."
    ),
    "desk.outlook.origin.kept": "For the conditions of the newest sheet kept for this machine.",
    "desk.outlook.origin.example": (
        "An example: no setup sheet was kept for this machine, so the conditions are made up. "
        "Nothing here is a fact about it until they are its own."
    ),
    "desk.outlook.origin.changed": "For the conditions as they are set here.",
    "desk.outlook.part.crop": "Crop and field",
    "desk.outlook.part.bale": "Bale and film",
    "desk.outlook.part.prices": "Prices",
    "desk.outlook.field.film_price": "Film roll",
    "desk.outlook.field.film_price.hint": "In your currency.",
    "desk.outlook.field.net_price": "Net roll",
    "desk.outlook.field.net_price.hint": "In your currency.",
    "desk.outlook.field.fuel_price": "Diesel",
    "desk.outlook.field.fuel_price.hint": "A litre.",
    "desk.outlook.field.wage": "Driver",
    "desk.outlook.field.wage.hint": "An hour's wage.",
    "desk.outlook.field.feed_price": "Feed",
    "desk.outlook.field.feed_price.hint": "A tonne of its dry matter.",
    "desk.outlook.part.owning": "Owning",
    "desk.outlook.field.machine_price": "Machine",
    "desk.outlook.field.machine_price.hint": "Paid for it, new.",
    "desk.outlook.field.tractor_price": "Tractor",
    "desk.outlook.field.tractor_price.hint": "Paid for it, new.",
    "desk.outlook.field.tractor_power": "Tractor, PTO",
    "desk.outlook.field.tractor_power.hint": "Diesel is unknown without.",
    "desk.outlook.field.tractor_hours": "Tractor, year",
    "desk.outlook.field.tractor_hours.hint": "All its work.",
    "desk.outlook.field.years": "Years kept",
    "desk.outlook.field.years.hint": "Both of them.",
    "desk.outlook.field.interest": "Interest",
    "desk.outlook.field.interest.hint": "A year, less inflation.",
    "desk.outlook.field.shelter": "Tax, insurance, shelter",
    "desk.outlook.field.shelter.hint": "A year, of the mean value.",
    "desk.outlook.field.season": "Bales a year",
    "desk.outlook.field.season.hint": "With this machine.",
    "desk.unit.kw": "kW",
    "desk.outlook.part.field": "Field work",
    "desk.outlook.part.store": "Store",
    "desk.outlook.field.climate": "Kind of place",
    "desk.outlook.field.climate.cool-moist": "Cool and moist",
    "desk.outlook.field.climate.warm-dry": "Warm and dry",
    "desk.outlook.field.climate.cold-winter": "Cold winters",
    "desk.outlook.field.month": "Wrapped in",
    "desk.outlook.field.month.1": "January",
    "desk.outlook.field.month.2": "February",
    "desk.outlook.field.month.3": "March",
    "desk.outlook.field.month.4": "April",
    "desk.outlook.field.month.5": "May",
    "desk.outlook.field.month.6": "June",
    "desk.outlook.field.month.7": "July",
    "desk.outlook.field.month.8": "August",
    "desk.outlook.field.month.9": "September",
    "desk.outlook.field.month.10": "October",
    "desk.outlook.field.month.11": "November",
    "desk.outlook.field.month.12": "December",
    "desk.outlook.field.waited": "Lay unwrapped",
    "desk.outlook.field.waited.hint": "Hours between baling and wrapping.",
    "desk.unit.h": "h",
    "desk.outlook.field.gathered": "Raked together",
    "desk.outlook.field.gathered.hint": "Width of field in one row.",
    "desk.outlook.field.run": "Row length",
    "desk.outlook.field.run.hint": "From one turn to the next.",
    "desk.outlook.field.turn": "One turn",
    "desk.outlook.field.turn.hint": "At the end of a row. Empty: 8 s, assumed.",
    "desk.outlook.field.change": "Roll change",
    "desk.outlook.field.change.hint": "Film or net. Empty: assumed.",
    "desk.unit.s": "s",
    "desk.unit.min": "min",
    "desk.outlook.field.diameter": "Diameter",
    "desk.outlook.field.diameter.hint": "Empty: as the sheet would set it.",
    "desk.outlook.field.wrap_turns": "Wrap turns",
    "desk.outlook.field.wrap_turns.hint": "Empty: as many as the sheet would set.",
    "desk.outlook.card.layers": "Layers",
    "desk.outlook.card.keeping": "Keeping",
    "desk.outlook.card.pace": "Pace",
    "desk.outlook.card.cost": "Cost",
    "desk.outlook.card.optimum": "What pays",
    "outlook.no_answer": "No answer for these conditions: {why}",
    # layers
    "outlook.layers.enough": (
        "{turns} wrap turns lay {thinnest} layers or more on every spot of a bale {diameter_m} "
        "across; {layers} are wanted."
    ),
    "outlook.layers.rim": (
        "{turns} wrap turns lay {layers} layers all round a bale {diameter_m} across, but only "
        "{thinnest} at the rim of a flat side."
    ),
    "outlook.layers.short": (
        "{turns} wrap turns leave {short_frac} of the round side of a bale {diameter_m} across "
        "short of {layers} layers; its thinnest spot has {thinnest}."
    ),
    "outlook.layers.far": "Up to {diameter_m} across the same turns stay enough.",
    "outlook.layers.over": "A bale that size is already over the cliff: more turns, or less bale.",
    "outlook.layers.cliff": (
        "The cliff: at {diameter_m} across the same turns leave {short_frac} of the round side "
        "short, {thinnest} layers at its thinnest."
    ),
    "outlook.layers.strip": (
        "How much film narrows is known least: a strip of {low_mm} to {high_mm} on the bale means "
        "{thinnest_low} to {thinnest_high} layers at the thinnest spot. Geometry, not a "
        "measurement."
    ),
    "outlook.layers.strip_same": (
        "How much film narrows is known least: with a strip of {low_mm} to {high_mm} on the bale "
        "the thinnest spot has {thinnest} either way. Geometry, not a measurement."
    ),
    "outlook.layers.no_wrapper": "This machine has no wrapper, so it lays no film.",
    "outlook.layers.dry": "No film is laid: {crop} keeps by being dry.",
    "outlook.layers.no_film": (
        "Unknown: no roll of film is named. Give width, thickness, metres and pre-stretch from "
        "its label."
    ),
    # pace
    "outlook.pace.wrapper": (
        "{pace_bales_h}, {throughput_t_h}, stops in it: the wrapper sets the pace."
    ),
    "outlook.pace.filling": "{pace_bales_h}, {throughput_t_h}, stops in it: filling sets the pace.",
    "outlook.pace.standing": (
        "{pace_bales_h}, {throughput_t_h}, stops in it: binding and opening set the pace."
    ),
    "outlook.pace.so.wrapper": "Driving faster than {speed_m_s} gains nothing.",
    "outlook.pace.so.filling": (
        "A heavier row or more than {speed_m_s} gains bales, where ground and machine allow it."
    ),
    "outlook.pace.so.standing": "More than {speed_m_s} gains little.",
    "outlook.pace.mass": (
        "Least known is the bale: at {high_kg} it is {low_bales_h}, at {low_kg} {high_bales_h}."
    ),
    "outlook.pace.chance": (
        "One job of {bales} bales, begun with new rolls and no service due, comes to between "
        "{low_bales_h} and {high_bales_h} nine times in ten, where times vary from bale to bale "
        "(filling by {fill_frac}, assumed)."
    ),
    "outlook.pace.change": (
        "Assumed: all film rolls are changed in {film_min}, a net roll in {net_min}."
    ),
    "outlook.pace.change.net": "Assumed: a net roll is changed in {net_min}.",
    "outlook.pace.second.fill_s": "One second saved in filling is worth {saved_bales_h}.",
    "outlook.pace.second.bind_s": "One second saved in binding is worth {saved_bales_h}.",
    "outlook.pace.second.gate_s": "One second saved at the gate is worth {saved_bales_h}.",
    "outlook.pace.second.take_over_s": "One second saved in handing over is worth {saved_bales_h}.",
    "outlook.pace.second.wrap_s": "One second saved in wrapping is worth {saved_bales_h}.",
    "outlook.pace.second.tip_s": "One second saved in tipping is worth {saved_bales_h}.",
    "outlook.pace.no_turns": "Turns at the field's end are not in it: nobody gave a row length.",
    # keeping
    "outlook.keeping.lost": (
        "Under {layers} layers, kept {storage_months}, {low_frac} of the dry matter is lost by "
        "well-made trials, {high_frac} by those of barrier films."
    ),
    "outlook.keeping.span": (
        "Anything from {low_frac} to {high_frac} is open, feed thrown away under mould in it. That "
        "spread is the sources' disagreement, not chance; nobody measured its middle."
    ),
    "outlook.keeping.mould.low": "Mould: every trial that reaches this far saw clean bales.",
    "outlook.keeping.mould.some": "Mould: trials that reach this far saw some.",
    "outlook.keeping.mould.high": "Mould: every trial that reaches this far saw mouldy bales.",
    "outlook.keeping.mould.disputed": (
        "Mould: sources disagree. Cool, moist trials saw clean bales where warm, dry ones saw "
        "mould."
    ),
    "outlook.keeping.mould.unknown": "Mould: no trial reaches this far, so nobody can say.",
    "outlook.keeping.thinnest": (
        "Reckoned as if the whole bale had only the layers of its thinnest spot; no hole in it."
    ),
    "outlook.keeping.where": (
        "Assumed, not known: it lies in a {place} kind of place and was wrapped in {month}."
    ),
    "outlook.keeping.no_wait": "Wrapped at once: nobody said how long bales lay unwrapped.",
    "outlook.keeping.too_dry": (
        "So dry a crop ferments poorly; sources warn of it without a number, so none is in the "
        "loss."
    ),
    "outlook.keeping.no_wrapper": "Unknown: without a wrapper there is no film to keep it.",
    "outlook.keeping.no_film": "Unknown: no roll of film is named, so its cover is not known.",
    "outlook.keeping.bare": "These turns leave bare spots: such a bale does not keep.",
    "outlook.keeping.straw": "Unknown: no source read so far says how damp straw may be.",
    # cost
    "outlook.cost.money": (
        "A bale costs {bale_money}, a tonne of dry matter {t_money}, a hectare {ha_money}, in the "
        "currency of your prices."
    ),
    "outlook.cost.parts": (
        "A bale takes {film_m} of film, {binding_m} of binding and {work_min} of the driver. What "
        "that costs is unknown until prices are given."
    ),
    "outlook.cost.parts.dry": (
        "A bale takes {binding_m} of binding and {work_min} of the driver, and no film. What that "
        "costs is unknown until prices are given."
    ),
    "outlook.cost.mass": (
        "Least known is the bale: between {low_kg} and {high_kg} a tonne of dry matter costs "
        "{low_money} to {high_money}."
    ),
    "outlook.cost.beyond": (
        "The machine would outlive the hours it is reckoned to last; repairs from there on are a "
        "guess."
    ),
    "outlook.cost.new": "Both machines are reckoned as bought new; resale and repairs by class.",
    "outlook.cost.asked": "Not told in money: {count} prices or figures are missing in the form.",
    "outlook.cost.no_fuel": "Diesel is unknown: nobody gave the tractor's power.",
    "outlook.cost.weight": "Assumed: the machine weighs {machine_t} with its bales.",
    "outlook.cost.known.film": "Film comes to {part_money} a bale.",
    "outlook.cost.known.binding": "Binding comes to {part_money} a bale.",
    "outlook.cost.known.labour": "The driver comes to {part_money} a bale.",
    "outlook.cost.known.fuel": "Diesel comes to {part_money} a bale.",
    # optimum
    "outlook.optimum.one_more": (
        "Layer {layers} would take {film_kg} more film a tonne of dry matter and save {low_kg} to "
        "{high_kg} of it."
    ),
    "outlook.optimum.schools": (
        "The low end is what well-made trials support, the high end those of barrier films. It "
        "pays where that feed is worth more than that film."
    ),
    "outlook.optimum.unpriced": (
        "Which settings cost least is unknown until the form has every price, and what a tonne of "
        "feed is worth."
    ),
    "outlook.optimum.advice": (
        "A least cost is nobody's advice: sources ask for {least_layers} to {most_layers} layers, "
        "{sixes} of {sources} for six at least."
    ),
    "outlook.optimum.vary": (
        "Assumed: bales differ by {vary_mm} in diameter and {vary_frac} in how they turn (standard "
        "deviations); the ground is level."
    ),
    "outlook.optimum.no_wrapper": "Nothing to weigh: without a wrapper no film is laid.",
    "outlook.optimum.not_wrapped": "Nothing to weigh: no film is laid on these bales.",
}
