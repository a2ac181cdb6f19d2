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
    "findings.status.burst": "From bale {since_bale}: bales burst: {bales} of the {looked_at} up to "
    "bale {until_bale}.",
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
}
