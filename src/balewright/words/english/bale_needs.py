"""What the picture of a bale's needs says."""

from typing import Final

MESSAGES: Final = {
    "needs.title": "What a bale of {dm_kg} dry matter takes",
    "needs.film": "Film",
    "needs.film.bale": "{film_m}",
    "needs.film.tonne": "{film_m} a tonne DM",
    "needs.binding": "Binding",
    "needs.binding.bale": "{binding_m}",
    "needs.binding.tonne": "{binding_m} a tonne DM",
    "needs.work": "Driver",
    "needs.work.bale": "{work_min}",
    "needs.work.tonne": "{work_min} a tonne DM",
    "needs.fuel": "Diesel",
    "needs.fuel.bale": "{fuel_l}",
    "needs.fuel.tonne": "{fuel_l} a tonne DM",
    "needs.unknown": "unknown",
    "needs.none": "none",
}
