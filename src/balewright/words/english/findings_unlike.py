"""What is said of a machine that stands apart from others of its kind."""

from __future__ import annotations

from types import MappingProxyType
from typing import Final

# measure: end of its values' names, what is more, what is less than on others
_CLAUSES: Final = MappingProxyType(
    {
        "bind_turn_s": ("s", "each turn of binding takes longer",
                        "each turn of binding takes less time"),
        "gate_cycle_s": ("s", "the gate takes longer to open and close again",
                         "the gate is open for a shorter time"),
        "transfer_s": ("s", "the bale takes longer from the gate to the wrapper",
                       "the bale comes faster from the gate to the wrapper"),
        "oil_c": ("c", "oil runs hotter for the same air and work",
                  "oil runs cooler for the same air and work"),
        "supply_min_v": ("v", "the lowest supply voltage of a bale is higher",
                         "the lowest supply voltage of a bale is lower"),
        "film1_stretch_ratio": ("ratio", "dispenser 1 draws less film for the way round the bale",
                                "dispenser 1 draws more film for the way round the bale"),
        "film2_stretch_ratio": ("ratio", "dispenser 2 draws less film for the way round the bale",
                                "dispenser 2 draws more film for the way round the bale"),
        "film_stretch_ratio": ("ratio", "less film is drawn for the way round the bale",
                               "more film is drawn for the way round the bale"),
        "film_pair_ratio": ("ratio", "dispenser 1 draws more film against dispenser 2",
                            "dispenser 1 draws less film against dispenser 2"),
        "binding_stretch_ratio": ("ratio", "less binding is drawn for the turns it makes",
                                  "more binding is drawn for the turns it makes"),
    }
)  # fmt: skip


def _sentence(end: str, clause: str) -> str:
    amount = f"{{now_{end}}} instead of {{usual_{end}}}"
    if end == "ratio":
        amount = "by {change_frac}"
    return (
        f"Unlike its kind: {clause} than on {{machines}} other machines of the profile, {amount}. "
        "It has been so all along, and may be built or set so."
    )


MESSAGES: Final = {
    f"findings.unlike.{key}.{direction}": _sentence(end, clause)
    for key, (end, *clauses) in _CLAUSES.items()
    for direction, clause in zip(("up", "down"), clauses, strict=True)
}
