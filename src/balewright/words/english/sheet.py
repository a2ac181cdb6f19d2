"""Words of the setup sheet: its lines, their reasons, its card."""

from typing import Final

_LINES: Final = {
    "line.speed_m_s": "Forward speed",
    "line.windrow_width_m": "Windrow width",
    "line.weave": "Drive along the row",
    "line.additive_l_t": "Additive",
    "line.weighing": "Weighing",
    "line.binding": "Binding",
    "line.binding_turns": "Binding turns",
    "line.binding_tension_frac": "Binding tension",
    "line.binding_delay_s": "Binding delay",
    "line.gate_opening_mm": "Gate opening when full",
    "line.diameter_m": "Bale diameter",
    "line.chamber_bar": "Density pressure",
    "line.knives_in": "Knives in",
    "line.knife_bar": "Knife pressure",
    "line.layers": "Film layers",
    "line.wrap_turns": "Wrap turns",
    "line.wrap_turns_one_roll": "Turns to reach with one roll",
    "line.overlap_frac": "Overlap",
    "line.film_width_m": "Film width",
    "line.pre_stretch_frac": "Pre-stretch",
    "line.rolls_on": "Film rolls on",
    "line.break_monitor": "Film break monitor",
    "line.wrap_rpm": "Wrapping speed",
    "line.film_height_m": "Film height",
    "line.open_s": "Chamber open",
    "line.roll_before_s": "Roll before wrapping",
    "line.roll_after_s": "Roll after wrapping",
    "line.tip_side": "Tip onto",
    "line.tip_speed_frac": "Tip speed",
    "line.tip_delay_s": "Tip delay",
    "line.oil_ml_bale": "Chain oil",
}

_CHOICES: Final = {
    "choice.net": "net",
    "choice.film": "film",
    "choice.twine": "twine",
    "choice.round": "round side",
    "choice.end": "flat side",
    "choice.on": "on",
    "choice.none": "none",
    "choice.straight": "straight",
    "choice.weave": "weave",
    "choice.every_bale": "every bale",
    "choice.first_five": "first five",
    "choice.not_used": "not used",
    "sure.settled": "settled",
    "sure.likely": "likely",
    "sure.starting_point": "starting point",
}

_CHAMBER: Final = {
    "sheet.speed": "Feeds {feed_t_h}; go slower where the pickup leaves crop lying.",
    "sheet.speed.too_fast": "{asked_m_s} was asked; balers are driven up to {13:km_h}.",
    "sheet.speed.turning": "Feeds {feed_t_h}; from {turning_m_s} on the wrapper holds back.",
    "sheet.speed.wrapper": (
        "{asked_m_s} was asked; from {turning_m_s} on only the wait at the wrapper grows."
    ),
    "sheet.speed.heavy": (
        "{asked_m_s} was asked; in so heavy a row it is slowed to {feed_t_h}, or bales get loose."
    ),
    "sheet.windrow": "As wide as the chamber; else weave, so that no cone is rolled.",
    "sheet.weave.unknown": "Rows under {row_m} wide: weave, some metres left, some right.",
    "sheet.weave.narrow": "Rows of {row_m}: some metres left, some right, or a cone is rolled.",
    "sheet.weave.between": (
        "Rows of {row_m} make a barrel or a cone: weave, and rake them as wide as the chamber or "
        "under half of it."
    ),
    "sheet.weave.full": "Rows of {row_m} fill the chamber evenly.",
    "sheet.additive.rate": "{sprayed_l_min} at this feed rate, {each_l} a bale.",
    "sheet.additive.tank": (
        "{sprayed_l_min} at this feed rate, {each_l} a bale; a tank does {tank_bales:bale|bales}."
    ),
    "sheet.additive.unnamed": (
        "No product was named: at {moisture_frac} sources ask {low_kg_t} to {high_kg_t} pure acid."
    ),
    "sheet.additive.acid_wrapped": "Acid rates are for hay; no source gives one for this crop.",
    "sheet.additive.acid_dry": "Below 20 % moisture no source asks for acid.",
    "sheet.additive.acid_wet": "Too wet to keep by acid: wrap it or let it dry.",
    "sheet.weighing.machine": "The machine weighs.",
    "sheet.weighing.scale": "A scale stands ready.",
    "sheet.weighing.few": "Guesses miss by {45:kg}: weigh some, then correct the mass.",
    "sheet.binding.film": (
        "Adds {binding_layers} layers to the round side, none to the flat sides: not counted below."
    ),
    "sheet.binding.asked": "Asked for.",
    "sheet.binding.net_named": "Net was named for this job; without it film would bind.",
    "sheet.binding.what_it_has": "What this machine binds with.",
    "sheet.binding_turns.film": "At least 3.2; its first turn has to hold by itself.",
    "sheet.binding_turns.film_heavy": "3.2 to 3.5; the most for a heavy bale or steep ground.",
    "sheet.binding_turns.twine": "Twine takes 20 to 30 turns.",
    "sheet.binding_turns.net_silage": "At least 2.25 on heavy wrapped bales.",
    "sheet.binding_turns.net_dry": "1.25 to 3 turns hold dry bales; springy straw more.",
    "sheet.tension.net": "About two thirds of its scale.",
    "sheet.tension.film": "As the label of the binding roll says.",
    "sheet.delay.net": "Lets the machine stop feeding first.",
    "sheet.delay.short": "Short for {binding}: its tail goes in with the last crop.",
    "sheet.gate_opening": "Smaller for heavy rows, larger for light ones; these: {windrow_kg_m}.",
    "sheet.gate_opening.rows": (
        "These rows: {windrow_kg_m}. Heavy ones (over {5:kg_m}) {heavy_mm}, light "
        "(under {2.5:kg_m}) {light_mm}."
    ),
    "sheet.gate_opening.fitted": (
        "{readings} readings: {low_mm} to {high_mm} opens it to {target_mm}. Heavy rows "
        "{heavy_mm}, light {light_mm}."
    ),
    "sheet.gate_opening.beyond": (
        "{readings} readings ask {low_mm} to {high_mm}, more or less than can be set: heavy rows "
        "{heavy_mm}, light {light_mm}."
    ),
    "sheet.gate_opening.mean": (
        "{readings} readings: {low_mm} to {high_mm} opens it to {target_mm}. They show no "
        "difference by row."
    ),
    "sheet.diameter.wet": "Wet crop makes heavy bales: {least_m} to {most_m} is advised for it.",
    "sheet.diameter": "Usual size; a fatter bale gets fewer layers from the same turns.",
    "sheet.diameter.steep": "{0.1:diameter_m} smaller than usual: a lighter bale on steep ground.",
    "sheet.density.crop": "{crop} at {moisture_frac} moisture; wetter crop is pressed less.",
    "sheet.density.damp_hay": "Hay at {moisture_frac} can heat: pressed looser.",
    "sheet.density.slope": "A slope of {slope_frac} wants a lighter bale.",
    "sheet.density.conflict": (
        "Conflict: {crop} wants it dense, a slope of {slope_frac} light. Light wins: safety first."
    ),
    "sheet.knives.all": "Chopped crop packs 4 to 15 % denser (sources disagree).",
    "sheet.knives.stones": "Stones: only the smallest bank.",
    "sheet.knives.one_bank": "One bank only: take it out where stones are many.",
    "sheet.knives.one_bank_out": "Stones, and one bank only: it is taken out.",
    "sheet.knives.out": "No knives in {crop}.",
    "sheet.knife_bar": "The most that {knives_in} knives take.",
    "sheet.knife_bar.dry": "{knives_in} knives take {most_bar}; dry crop pushes less.",
    "sheet.knife_bar.none": "No knives are in.",
    "sheet.knife_bar.stones": "Lowest step: knives must give way to stones.",
}

_FILM: Final = {
    "sheet.not_wrapped": "Dry {crop} keeps without film: the wrapper stays off.",
    "sheet.layers.four": (
        "Cool and moist, {dry_frac} DM, {storage_months}: 4 held in trials there; {content} of "
        "{sources} sources ask no more."
    ),
    "sheet.layers.six": (
        "{dry_frac} DM, {storage_months}. Cool wet climates: 4 up to 50 % DM, 6 from 9 months; "
        "elsewhere 6 and more."
    ),
    "sheet.layers.six_of": (
        "{dry_frac} DM, {storage_months}: {content} of {sources} sources ask no more. Cool wet "
        "climates: 4 up to 50 % DM, 6 from 9 months."
    ),
    "sheet.layers.eight": (
        "{dry_frac} DM, {storage_months}: dry, stemmy or long kept. 4 held in cool wet trials; "
        "6 failed on dry lucerne."
    ),
    "sheet.no_film": "No film was named: enter the roll's label.",
    "sheet.wrap_turns": (
        "{layers} layers up to a bale of {fat_m}; one of {cliff_m} gets {cliff_layers}, "
        "{cliff_frac} of it short."
    ),
    "sheet.wrap_turns.sliver": (
        "{layers} layers up to a bale of {fat_m}, slivers of {sliver_mm} aside; one of {cliff_m} "
        "gets {cliff_layers}, {cliff_frac} of it short."
    ),
    "sheet.wrap_turns.chance": (
        "{layers} layers on {chance_frac} of bales as they differ, slivers of {sliver_mm} aside; "
        "one of {cliff_m} gets {cliff_layers}, {cliff_frac} of it short."
    ),
    "sheet.one_roll": (
        "If a roll is lost at turn {lost_turns}; {start_turns} if lost at the start. Counted from "
        "the first turn."
    ),
    "sheet.overlap.small": (
        "Overlap under the half that is advised, with a strip of {strip_m}: the turns make up for "
        "it, wider film gives it."
    ),
    "sheet.overlap": "Follows from the machine's advance and a strip of {strip_m} on the bale.",
    "sheet.film_width": "As the label says; it fits this machine.",
    "sheet.stretch.label": "The most on offer within the label's {label_frac}.",
    "sheet.stretch.too_much": "Least on offer, above the label's {label_frac}: watch for tears.",
    "sheet.stretch.standard": "60 to 70 % is the standard's range for round bales.",
    "sheet.rolls.pair": "Put on together they end together, after {set_bales:bale|bales}.",
    "sheet.rolls.one": "A roll ends after {set_bales:bale|bales}.",
    "sheet.rolls.unknown": "How long they last needs the film's label.",
    "sheet.monitor.on": "Off, a torn film goes unseen and the bale spoils.",
    "sheet.monitor.on_pair": (
        "Off, one torn film goes unseen: at the thinnest {left_layers} instead of {layers} layers."
    ),
    "sheet.monitor.none": "A torn film is not seen: look at every bale.",
    "sheet.wrap_rpm": "A bale of about {mass_kg}; heavy bales and slopes want it slower.",
    "sheet.film_height": "Middle of the film at the bale's mid-height, else a shoulder stays bare.",
}

_GROUND: Final = {
    "sheet.open.flat": "Shortest on level ground.",
    "sheet.open.slope": "Longer on a slope, so that the bale is sure to leave.",
    "sheet.roll_before.flat": "Bales that land straight need none.",
    "sheet.roll_before.slope": "2 to 3 s centre a bale that lands to one side.",
    "sheet.roll_after.clean": "Not needed without dust.",
    "sheet.roll_after.dust": "Dust: rolled on, so that the layers bond.",
    "sheet.roll_after.dust_slope": "Dust asks for it; on a slope no bale turns longer than needed.",
    "sheet.tip_side.only": "The only way this machine tips.",
    "sheet.tip_side.flat": "Level ground; the flat side is the safer choice where bales may roll.",
    "sheet.tip_side.slope": "On its flat side a bale does not roll.",
    "sheet.tip_side.steep": "Flat it does not roll but may slide: carry it to level ground.",
    "sheet.tip_speed": "About {mass_kg} on a slope of {slope_frac}: heavier and steeper is slower.",
    "sheet.tip_delay.flat": "No need to wait on level ground.",
    "sheet.tip_delay.slope": "Time to turn across the slope before it tips.",
    "sheet.oil.easy": "Ordinary conditions.",
    "sheet.oil.hard": "Dust, stones or dry crop: more oil.",
    "sheet.fixed": "Fixed on this machine.",
}

_CARD: Final = {
    "card.title": "Setup sheet",
    "card.cautions": "First",
    "card.expected": "Expect",
    "card.unknown": "Not known",
    "card.machine": "{title}, {serial}",
    "card.profile": "profile {profile} version {profile_version}, program {code_version}",
    "card.range": "{low} to {high}",
    "card.crop": "{crop}, {moisture_frac} moisture, {windrow_kg_m} rows, {storage_months} stored",
    "card.ground": "slope {slope_frac}, {dusty}, {stony}",
    "card.dusty": "dusty",
    "card.clean": "no dust",
    "card.stony": "stones",
    "card.stone_free": "no stones",
    "card.film": "film {width_m} x {thickness_um}, {roll_m} a roll",
    "card.no_film": "no film named",
    "card.net": "net {net_roll_m} a roll",
    "card.no_net": "no net named",
    "card.climate.cool_moist": "cool and moist place",
    "card.climate.warm_dry": "warm and dry place",
    "card.climate.cold_winter": "place with cold winters",
    "card.row": "rows {row_width_m} wide",
    "card.spread": "diameters spread by {spread_mm}",
    "card.spread_seen": "diameters spread by {spread_mm}, as its last {bales:bale|bales} did",
    "card.left": "{left_m} of film on the rolls",
    "card.readings": "{readings} readings of the gate",
    "card.additive": "additive {rate_l_t}",
    "card.acid": "acid",
    "card.weighed": "weighed",
    "card.binding": "binding asked for: {binding}",
    "card.bales": "{bales:bale|bales}",
    "card.bale": "Bale {diameter_m} x {length_m}: about {mass_kg} ({low_kg} to {high_kg}).",
    "card.dry": "Dry matter {low_kg} to {high_kg}; fresh density about {density_kg_m3}.",
    "card.pace": "{pace_bales_h}: full in {fill_s}, one every {cycle_s}; held back by {part}.",
    "card.layers": "{layers} layers at the thinnest spot; {short_frac} of the round side short.",
    "card.film_use": (
        "Film {film_m}, {film_kg} a bale: {film_rolls:roll|rolls} for {bales:bale|bales}."
    ),
    "card.net_use": "Net {net_m} a bale: {net_rolls:roll|rolls} for {bales:bale|bales}.",
    "card.net_metres": "Net {net_m} a bale.",
}

MESSAGES: Final = {
    **_LINES,
    **_CHOICES,
    **_CHAMBER,
    **_FILM,
    **_GROUND,
    **_CARD,
}
