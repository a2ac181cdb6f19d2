"""The cost of a bale in words. Amounts are in the user's own currency and carry no sign."""

from __future__ import annotations

from typing import Final

MESSAGES: Final = {
    "cost.part.machine_money": "owning the machine",
    "cost.part.tractor_money": "owning the tractor",
    "cost.part.repair_money": "repairs",
    "cost.part.fuel_money": "fuel",
    "cost.part.lubricant_money": "lubricants",
    "cost.part.labour_money": "labour",
    "cost.part.film_money": "film",
    "cost.part.binding_money": "binding",
    "cost.part.additive_money": "additive",
    "cost.part.all": "all together",
    "cost.column.part": "a bale",
    "cost.column.money": "money",
    "cost.column.share": "share",
    "cost.column.change": "one step more",
    "cost.column.change_bale": "a bale",
    "cost.column.change_t": "a tonne DM",
    "cost.column.change_ha": "a hectare",
    "cost.column.change_pace": "bales/h",
    "cost.column.change_kw": "kW",
    "cost.change.layer_more": "one layer more",
    "cost.change.layer_less": "one layer less",
    "cost.change.denser": "10 % denser",
    "cost.change.faster": "1 km/h faster",
    "cost.change.binding_more": "half a binding turn more",
    "cost.change.stretch_more": "5 points more stretch",
    "cost.asked": (
        "A bale of {bale_dm_kg} dry matter, {pace_bales_h}, {film_m} of film, {binding_m} of "
        "binding, {fuel_l_h} of diesel."
    ),
    "cost.rates": (
        "{bale_money} a bale, {t_money} a tonne of dry matter, {ha_money} a hectare, {h_money} an "
        "hour in the field."
    ),
    "cost.season": (
        "{bales_year} bales a year in {machine_h}, {area} ha an hour; of each bale {fixed_money} "
        "are spent whether it is made or not."
    ),
    "cost.beyond_life": (
        "The machine would work {life_hours}, more than the 1500 hours a round baler is reckoned "
        "to last: repairs from there on are a guess."
    ),
    "cost.own_from": (
        "Against {hired_money} a bale hired, the own machine pays from {own_from} bales a year on."
    ),
    "cost.own_never": (
        "Against {hired_money} a bale hired, the own machine never pays at these prices."
    ),
    "cost.ends": (
        "With what is uncertain: {low_money} to {high_money} a tonne of dry matter, all low ends "
        "against all high ends."
    ),
    "cost.not_in_it": (
        "Land, crop, mowing, raking and hauling are not in it; money is in your own currency."
    ),
    "cost.keeping": (
        "What a layer, the density or the binding does to keeping is not in these numbers, nor "
        "what a denser bale takes of power."
    ),
    "cost.rates_seen": "Paid elsewhere, for comparison only:",
    "cost.rate.one": "{place}, {when}: {low} {currency} a bale, {what}",
    "cost.rate.range": "{place}, {when}: {low} to {high} {currency} a bale, {what}",
    "cost.rate.no_year": "year not told",
    "cost.picture.title": "A bale costs {bale_money}, a tonne of dry matter {t_money}",
    "cost.picture.desc": (
        "What a bale costs, part by part: {parts}. In all {bale_money} a bale, {t_money} a tonne "
        "of dry matter. What one step changes a tonne of dry matter: {changes}."
    ),
    "cost.picture.head": "A bale costs {bale_money}",
    "cost.picture.sub": "{t_money} a tonne DM, {ha_money} a hectare",
    "cost.picture.part": "{part} {part_money}",
    "cost.picture.fuel": "fuel and lubricants",
    "cost.picture.changes": "What one step changes, a tonne DM",
    "cost.picture.change": "{change} {more_money}",
    "cost.picture.less": "costs less",
    "cost.picture.more": "costs more",
}
