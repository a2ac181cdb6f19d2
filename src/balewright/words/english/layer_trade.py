"""What the picture of film against dry matter lost says."""

from typing import Final

MESSAGES: Final = {
    "trade.title": "What one layer more takes and saves",
    "trade.film": "film, kg a tonne of dry matter",
    "trade.lost": "dry matter lost, %; numbers are layers",
    "trade.school.well_made": "well made",
    "trade.school.barrier_trials": "barrier trials",
    "trade.band": "line: best; field: low to high end",
    "trade.point": (
        "{layers} layers: {film_kg} of film a tonne of dry matter, {low_frac} lost if well-made "
        "trials hold, {high_frac} if those of barrier films do"
    ),
}
