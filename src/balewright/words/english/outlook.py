"""The answers about what a machine would give: one sentence each, and what moves it."""

from __future__ import annotations

from typing import Final

MESSAGES: Final = {
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
    "outlook.layers.chance": (
        "As bales differ, {chance_frac} of them get {layers} layers all round, slivers "
        "up to {sliver_mm} aside. Assumed: {vary_mm} in diameter and {vary_frac} in how they turn "
        "(standard deviations)."
    ),
    "outlook.layers.chance.seen": (
        "As bales differ, {chance_frac} of them get {layers} layers all round, slivers "
        "up to {sliver_mm} aside: {vary_mm} in diameter on the last {readings} measured, "
        "{vary_frac} in how they turn assumed (standard deviations)."
    ),
    "outlook.layers.chance.most": (
        "As bales differ, more than {chance_frac} of them get {layers} layers all round, slivers "
        "up to {sliver_mm} aside. Assumed: {vary_mm} in diameter and {vary_frac} in how they turn "
        "(standard deviations)."
    ),
    "outlook.layers.chance.most.seen": (
        "As bales differ, more than {chance_frac} of them get {layers} layers all round, slivers "
        "up to {sliver_mm} aside: {vary_mm} in diameter on the last {readings} measured, "
        "{vary_frac} in how they turn assumed (standard deviations)."
    ),
    "outlook.layers.chance.least": (
        "As bales differ, fewer than {chance_frac} of them get {layers} layers all round, slivers "
        "up to {sliver_mm} aside. Assumed: {vary_mm} in diameter and {vary_frac} in how they turn "
        "(standard deviations)."
    ),
    "outlook.layers.chance.least.seen": (
        "As bales differ, fewer than {chance_frac} of them get {layers} layers all round, slivers "
        "up to {sliver_mm} aside: {vary_mm} in diameter on the last {readings} measured, "
        "{vary_frac} in how they turn assumed (standard deviations)."
    ),
    "outlook.layers.far": "Up to {diameter_m} across the same turns stay enough.",
    "outlook.layers.over": "A bale that size is already over the cliff: more turns, or less bale.",
    "outlook.layers.cliff": (
        "The cliff: at {diameter_m} across the same turns leave {short_frac} of the round side "
        "short, in stretches up to {sliver_mm}, {thinnest} layers at its thinnest."
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
    # one bale that did not go to plan
    "outlook.went.no_film": "Nothing to tell: no film is laid on this bale.",
    "outlook.went.round_enough": (
        "The round side has its {layers} layers all the same; the thinnest spot anywhere has "
        "{thinnest}."
    ),
    "outlook.went.short": (
        "{short_frac} of the round side is short of {layers} layers; the thinnest spot has "
        "{thinnest}."
    ),
    "outlook.went.onward.one": "The round side is good at turn {turns_needed}, {more_turns} more.",
    "outlook.went.onward.both": (
        "With both rolls the round side is good at turn {turns_needed}, {more_turns} more."
    ),
    "outlook.went.onward.1": (
        "With roll 1 alone the round side is good at turn {turns_needed}, {more_turns} more."
    ),
    "outlook.went.onward.2": (
        "With roll 2 alone the round side is good at turn {turns_needed}, {more_turns} more."
    ),
    "outlook.went.never.one": "No number of wrap turns makes it good.",
    "outlook.went.never.both": "With both rolls no number of wrap turns makes it good.",
    "outlook.went.never.1": "With roll 1 alone no number of wrap turns makes it good.",
    "outlook.went.never.2": "With roll 2 alone no number of wrap turns makes it good.",
    "outlook.went.rewrap": "Where it is tipped already: wrap it again.",
    "outlook.went.use_first": "Where it is tipped already: mark it and use it first.",
    "outlook.went.leave": "Where it is tipped already: leave it.",
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
    "outlook.cost.asked.one": "Not told in money: one price or figure is missing in the form.",
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
    "outlook.optimum.settled": (
        "{layers} layers with {turns} wrap turns, {dry_matter_kg_m3} of dry matter, {speed_m_s}: "
        "bales of {mass_kg}."
    ),
    "outlook.optimum.chance": (
        "{chance_frac} of the bales then have no spot of the round side under {layers} layers."
    ),
    "outlook.optimum.chance.most": (
        "More than {chance_frac} of the bales then have no spot of the round side under {layers} "
        "layers."
    ),
    "outlook.optimum.regret": (
        "Whichever trials hold, it costs at most {regret_number} a tonne of dry matter more than "
        "the best would have."
    ),
    "outlook.optimum.no_regret": "It costs least whichever trials hold.",
    "outlook.optimum.lost": (
        "Lost or thrown away in {stay_months}: {low_frac} to {high_frac} of the dry matter."
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
    "outlook.optimum.vary.seen": (
        "Bales differ by {vary_mm} in diameter as the last {readings} measured did, and by "
        "{vary_frac} in how they turn, assumed (standard deviations); the ground is level."
    ),
    "outlook.optimum.no_wrapper": "Nothing to weigh: without a wrapper no film is laid.",
    "outlook.optimum.not_wrapped": "Nothing to weigh: no film is laid on these bales.",
    # power
    "outlook.power.weights": (
        "Assumed: the machine weighs {machine_t} with its bales, the tractor {tractor_t}."
    ),
    "outlook.power.no_oil": "Oil for the wrapper is not in it: nobody gave its flow.",
}
