"""What a finding says: one plain sentence each."""

from __future__ import annotations

from typing import Final

_RUN = "({bales} of {looked_at} bales)"

MESSAGES: Final = {
    "findings.layers.turns": "From bale {since_bale}: bales got {turns} wrap turns instead of "
    "{planned_turns}: {thinnest} layers at the thinnest spot where {need} are wanted, "
    f"{{short_frac}} of the round side short {_RUN}.",
    "findings.layers.spare": "From bale {since_bale}: bales get {turns} wrap turns instead of "
    "{planned_turns}; {thinnest} layers at the thinnest spot where {need} are wanted, but only in "
    f"slivers of {{sliver_m}} ({{short_frac}} of the round side) {_RUN}.",
    "findings.layers.roll_lost": "From bale {since_bale}: a film roll was out and not made good: "
    "{thinnest} layers at the thinnest spot where {need} are wanted, {short_frac} of the round "
    f"side short {_RUN}.",
    "findings.layers.film_missing": "From bale {since_bale}: less film was drawn than the "
    "{turns} wrap turns need: about {thinnest} layers at the thinnest spot where {need} are "
    f"wanted, {{short_frac}} of the round side short {_RUN}.",
    "findings.layers.fat": "From bale {since_bale}: bales are {diameter_m} thick instead of "
    "{planned_diameter_m}; with {turns} wrap turns that leaves {thinnest} layers at the thinnest "
    f"spot where {{need}} are wanted, {{short_frac}} of the round side short {_RUN}. Heavy rows "
    "need more turns or a smaller bale.",
    "findings.layers.other": "From bale {since_bale}: {thinnest} layers lie at the thinnest spot "
    f"where {{need}} are wanted, {{short_frac}} of the round side short, with {{turns}} wrap turns "
    f"{_RUN}.",
    "findings.stretch.higher": "From bale {since_bale}: dispenser {dispenser} stretches {gap_frac} "
    "more than the other (good to {error_frac}); its own level is about {stretch_frac}, good only "
    f"to {{absolute_error_frac}}, where {{planned_stretch_frac}} is set {_RUN}.",
    "findings.stretch.lower": "From bale {since_bale}: dispenser {dispenser} stretches {gap_frac} "
    "less than the other (good to {error_frac}); its own level is about {stretch_frac}, good only "
    f"to {{absolute_error_frac}}, where {{planned_stretch_frac}} is set {_RUN}.",
    "findings.stretch.off_high": "From bale {since_bale}: film is stretched about {stretch_frac} "
    "where {planned_stretch_frac} is set (from metres, good only to {absolute_error_frac}): the "
    f"strip is narrower than planned {_RUN}.",
    "findings.stretch.off_low": "From bale {since_bale}: film is stretched about {stretch_frac} "
    "where {planned_stretch_frac} is set (from metres, good only to {absolute_error_frac}): more "
    f"film is used than planned {_RUN}.",
    "findings.binding.turns": "From bale {since_bale}: bales are bound with {turns} turns instead "
    f"of {{planned_turns}} {_RUN}.",
    "findings.binding.metres": "From bale {since_bale}: the metres of binding make about {turns} "
    f"turns instead of {{planned_turns}} {_RUN}.",
    "findings.gate.less": "From bale {since_bale}: the full chamber stands open "
    "{gate_opening_mm} instead of {planned_gate_opening_mm}: it is not quite full when it binds "
    f"{_RUN}.",
    "findings.gate.more": "From bale {since_bale}: the full chamber stands open "
    f"{{gate_opening_mm}} instead of {{planned_gate_opening_mm}}: it is overfilled {_RUN}.",
    "findings.density.dry": "From bale {since_bale}: bales are soft: {density_kg_m3} of dry matter "
    "where {planned_density_kg_m3} is expected and {lowest_density_kg_m3} is the lowest to be "
    f"believed {_RUN}.",
    "findings.density.fresh": "From bale {since_bale}: bales are light: {density_kg_m3} fresh "
    "where {planned_density_kg_m3} is expected and {lowest_density_kg_m3} is the lowest to be "
    f"believed; moisture is not known, so drier crop could explain it {_RUN}.",
    "findings.moisture.wet": "From bale {since_bale}: crop is wetter ({moisture_frac}) than any "
    "source allows for it ({limit_moisture_frac}); the sheet was made for "
    f"{{planned_moisture_frac}} {_RUN}.",
    "findings.moisture.dry": "From bale {since_bale}: crop is drier ({moisture_frac}) than any "
    "source allows for it ({limit_moisture_frac}); the sheet was made for "
    f"{{planned_moisture_frac}} {_RUN}.",
    "findings.delay.strict": "From bale {since_bale}: a bale lay up to {delay_h} before it was "
    f"wrapped; the strictest advice is 2 h, others allow 4 h {_RUN}.",
    "findings.delay.late": "From bale {since_bale}: a bale lay up to {delay_h} before it was "
    f"wrapped; advice is 2 to 4 h {_RUN}.",
    "findings.delay.outside": "From bale {since_bale}: a bale lay up to {delay_h} before it was "
    f"wrapped; 12 h is the outside limit of most advice {_RUN}.",
    "findings.delay.day": "From bale {since_bale}: a bale lay up to {delay_h} before it was "
    f"wrapped; no advice allows more than 24 h {_RUN}.",
    "findings.delay.waiting": "From bale {since_bale}: bales take {delay_s} from full to wrapped "
    f"where {{planned_s}} is enough: they wait on the way to the wrapper {_RUN}.",
    "findings.phases.chamber": "From bale {since_bale}: the chamber's times stand in the wrong "
    f"order {_RUN}.",
    "findings.phases.wrapper": "From bale {since_bale}: the wrapper's times stand in the wrong "
    f"order {_RUN}.",
    "findings.layers.loss": "From bale {since_bale}: a film roll was lost at turn {lost_turn} and "
    "not made good: the other went on to turn {made_turns} where {reach_turns} are needed; "
    "{thinnest} layers at the thinnest spot where {need} are wanted, {short_frac} of the round "
    f"side short {_RUN}.",
    "findings.advance.less": "From bale {since_bale}: the bale moves on by {advance_m} a wrap turn "
    "instead of {planned_advance_m}: strips lie closer than planned. Whether the layers hold turns "
    f"on where they fall: look at a bale {_RUN}.",
    "findings.advance.more": "From bale {since_bale}: the bale moves on by {advance_m} a wrap turn "
    "instead of {planned_advance_m}: strips lie wider apart than planned. Whether the layers hold "
    f"turns on where they fall: look at a bale {_RUN}.",
    "findings.advance.short": "From bale {since_bale}: the bale moves on by {advance_m} a wrap "
    "turn instead of {planned_advance_m}: film lies double here and leaves {thinnest} layers "
    "there, where {need} are wanted; {short_frac} of the round side is short, if the bale's turns "
    f"are counted right {_RUN}.",
    "findings.shape.left": "From bale {since_bale}: bales are {gap_m} thicker on the left: film "
    "lies loose on the right shoulder. Feed more crop on the right, or check the left sensor "
    f"{_RUN}.",
    "findings.shape.right": "From bale {since_bale}: bales are {gap_m} thicker on the right: film "
    "lies loose on the left shoulder. Feed more crop on the left, or check the right sensor "
    f"{_RUN}.",
    "findings.hold.less": "From bale {since_bale}: the chamber shows {chamber_bar} at full where "
    f"the dial's position gives {{set_bar}}: the pressure is not held {_RUN}.",
    "findings.hold.more": "From bale {since_bale}: the chamber shows {chamber_bar} at full where "
    f"the dial's position gives {{set_bar}} {_RUN}.",
    "findings.hold.less_than_sheet": "From bale {since_bale}: the chamber shows {chamber_bar} at "
    "full where the sheet sets {set_bar}: it is set lower, or the pressure is not held "
    f"{_RUN}.",
    "findings.hold.more_than_sheet": "From bale {since_bale}: the chamber shows {chamber_bar} at "
    f"full where the sheet sets {{set_bar}} {_RUN}.",
    "findings.dial.less": "From bale {since_bale}: the density dial stands at {density_dial} where "
    f"the sheet sets {{planned_dial}} {_RUN}.",
    "findings.dial.more": "From bale {since_bale}: the density dial stands at {density_dial} where "
    f"the sheet sets {{planned_dial}} {_RUN}.",
    **{
        f"findings.balance.{key}_{how}_{reading}": "From bale {since_bale}: mass, size and "
        f"moisture make {{density_kg_m3}} {matter}, {beyond} than {{limit_density_kg_m3}}, where "
        f"no bale of this crop is: {check} {_RUN}."
        for key, beyond in (("light", "less"), ("heavy", "more"))
        for how, matter in (("dry", "of dry matter"), ("fresh", "fresh"))
        for reading, check in (
            ("scale", "the scale is farthest from what is expected. Check it"),
            ("moisture", "the moisture reading is farthest from what is expected. Check it"),
            ("diameter", "the diameter is farthest from what is expected. Check it"),
        )
    },
    "findings.metres.film_long": "From bale {since_bale}: {metres_m} of film were counted where "
    "the wrap turns make a way of {way_m}: so much cannot lie on the bale. Turns are counted too "
    f"few or metres too many {_RUN}.",
    "findings.metres.binding_net_long": "From bale {since_bale}: {binding_m} of net left the "
    "roll for {turns} turns, which take {way_m}: the net slips or lies loose, or one of the "
    f"counters is wrong {_RUN}.",
    "findings.metres.binding_net_short": "From bale {since_bale}: {binding_m} of net left the "
    "roll for {turns} turns, which take {way_m}: no net stretches so far. One of the counters is "
    f"wrong {_RUN}.",
    "findings.metres.binding_film_short": "From bale {since_bale}: {binding_m} of binding film "
    "left the roll for {turns} turns, which take {way_m}: it would be stretched too far "
    f"to hold. One of the counters is wrong, or the brake is too hard {_RUN}.",
    "findings.metres.binding_film_long": "From bale {since_bale}: {binding_m} of binding film left "
    "the roll for {turns} turns, which take {way_m}: it is not stretched and lies loose, or one of "
    f"the counters is wrong {_RUN}.",
    "findings.clock.wrap_fast": "From bale {since_bale}: {turns} wrap turns were counted in "
    "{lasted_s}; at {fastest_rpm} turns a minute they take {limit_s} at least: turns are counted "
    f"too many, or the times are wrong {_RUN}.",
    "findings.clock.wrap_slow": "From bale {since_bale}: wrapping lasts {lasted_s} where its "
    "{turns} turns need {limit_s} at the speed set: it stops between, runs slower than it says, or "
    f"turns are not counted {_RUN}.",
    "findings.clock.turns_lost": "From bale {since_bale}: {turns} wrap turns were counted, but "
    "wrapping lasts {lasted_s} and the film drawn is enough for {film_turns}: the counter loses "
    f"turns {_RUN}.",
    "findings.clock.fill_fast": "From bale {since_bale}: the chamber is full {lasted_s} after it "
    "closed; {mass_kg} of crop need {limit_s} at the very least: the full sign comes too soon, or "
    f"the gate was told closed too late {_RUN}.",
    "findings.clock.bind_fast": "From bale {since_bale}: binding lasts {lasted_s}; {turns} turns "
    f"need {{limit_s}} at the very least: its times are wrong {_RUN}.",
    "findings.clock.bind_slow": "From bale {since_bale}: binding lasts {lasted_s} where {turns} "
    f"turns need less than {{limit_s}}: it starts late or slips {_RUN}.",
    "findings.said.layers": "From bale {since_bale}: the machine reports {said_layers} layers; its "
    "own turns and the bale's girth make {mean_layers} on average and {thinnest} at the thinnest "
    f"spot {_RUN}.",
    "findings.said.overlap": "From bale {since_bale}: the machine reports {said_overlap_frac} "
    f"overlap; its advance and the strip make {{overlap_frac}} {_RUN}.",
    "findings.said.stretch_more": "From bale {since_bale}: the machine reports "
    "{said_stretch_frac} stretch; its metres make {stretch_frac}, good to {absolute_error_frac} "
    f"{_RUN}.",
    "findings.said.stretch_less": "From bale {since_bale}: the machine reports "
    "{said_stretch_frac} stretch; its metres make {stretch_frac}, good to {absolute_error_frac} "
    f"{_RUN}.",
    "findings.phases.chamber_taken": "From bale {since_bale}: the chamber closed for a bale before "
    f"it had opened for the one before {_RUN}.",
    "findings.phases.wrapper_taken": "From bale {since_bale}: a bale lay on the wrapper before the "
    f"one before it was wrapped {_RUN}.",
    "findings.counter.reset": "The bale number went from {before} back to {after}: the control was "
    "swapped or its counter reset.",
    "findings.counter.leapt": "The bale number leapt from {before} to {after}: it was set.",
    "findings.counter.missing": "After bale {before} comes bale {after}: {numbers} numbers are "
    "missing from the records.",
    "findings.counter.repeated": "After bale {before} comes bale {after}: {numbers} numbers were "
    "given twice.",
    "findings.counter.missing_often": "From bale {since_bale}: {numbers} numbers are missing from "
    "the records, in {bales} places.",
    "findings.counter.repeated_often": "From bale {since_bale}: {numbers} numbers were given "
    "twice, in {bales} places.",
    "findings.counter.changes": "From bale {since_bale}: the bale number started anew or was set "
    "{bales} times.",
    "findings.status.burst": "From bale {since_bale}: bales burst: {bales} of the {looked_at} up "
    "to bale {until_bale}.",
    "findings.status.twice": "From bale {since_bale}: bales were wrapped twice: {bales} of the "
    "{looked_at} up to bale {until_bale}.",
    "findings.status.test": "From bale {since_bale}: bales were made as a test: {bales} of the "
    "{looked_at} up to bale {until_bale}.",
    "findings.status.off": "From bale {since_bale}: bales were left unwrapped on purpose: {bales} "
    "of the {looked_at} up to bale {until_bale}.",
    "findings.status.bare": "From bale {since_bale}: bales got no film though the wrapper was on: "
    "{bales} of the {looked_at} up to bale {until_bale}.",
    "findings.silence": "No longer watched since bale {since_bale}: {columns} fell silent {bales} "
    "bales ago.",
    "findings.untold.nothing": "No bale has been taken in yet.",
    "findings.untold.sheet": "{bales} of {looked_at} bales name no sheet: they are judged on "
    "what needs none only.",
    "findings.untold.layers": "Neither wrap turns nor film metres are recorded: nothing can be "
    "said about layers.",
    "findings.untold.fat": "The bale's diameter is not recorded: layers are counted for the "
    "planned one, and thicker bales are not seen.",
    "findings.untold.stretch": "Nothing can be said about stretch: film is not counted, or only "
    "after it was stretched.",
    "findings.untold.dispenser": "Film is counted in all, not by dispenser: one dispenser cannot "
    "be told from the other.",
    "findings.untold.delay": "The time from full to wrapped is not recorded.",
    "findings.untold.binding": "Neither binding turns nor metres are recorded.",
    "findings.untold.gate": "The gate opening is not recorded: whether the chamber was full is not "
    "seen.",
    "findings.untold.density": "Mass is not recorded: nothing can be said about density.",
    "findings.untold.moisture": "Moisture is not recorded.",
    "findings.untold.watch": "Not watched for change, because it is not recorded: {measures}.",
}
