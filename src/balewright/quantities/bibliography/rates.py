"""Sources on counts and rates: exact tests, intervals, false discovery."""

from __future__ import annotations

from typing import Final

from balewright.quantities.source import Source, Strength

ENTRIES: Final[tuple[Source, ...]] = (
    Source(
        "fisher-exact",
        Strength.PUBLISHED,
        "Agresti, Categorical Data Analysis, 2002, p. 91, after Fisher 1935: tea tasting, 3 of 4 "
        "right, chance of as many or more 0.2429; Fisher 1970: twins, 0.0005367 (from memory).",
    ),
    Source(
        "breslow-day-rates",
        Strength.MEMORY,
        "Breslow and Day, Statistical Methods in Cancer Research II, 1987: rates in strata, the "
        "breaks of each given. Doll and Hill 1966, coronary deaths of doctors by age, from "
        "memory: Mantel-Haenszel ratio 1.424682 (1.154703 to 1.757784), crude 1.719823.",
    ),
    Source(
        "garwood",
        Strength.MEMORY,
        "Garwood, Biometrika 28:437-442, 1936: exact limits of a Poisson mean, from memory: 0 "
        "seen, up to 3.689; 10 seen, 4.795 to 18.390.",
    ),
    Source(
        "benjamini-hochberg",
        Strength.MEMORY,
        "Benjamini and Hochberg, J. R. Stat. Soc. B 57:289-300, 1995, from memory: 15 chances from "
        "0.0001 to 1.0, of which four are told at a rate of 0.05.",
    ),
)
