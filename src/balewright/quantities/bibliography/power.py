"""What the tractor must give."""

from __future__ import annotations

from typing import Final

from balewright.quantities.source import Source, Strength

ENTRIES: Final[tuple[Source, ...]] = (
    Source(
        "baler-energy-table",
        Strength.PUBLISHED,
        "A public table of baler power (kW and kWh/t, after ASABE D497): small square 2.0 and 1.0, "
        "large square 4.0 and 1.3, round with variable chamber 4.0 and 1.1, fixed 2.5 and 1.8.",
    ),
    Source(
        "pami-power",
        Strength.PUBLISHED,
        "Prairie Agricultural Machinery Institute, report E0176A, 1977: a round baler at 4.7 to "
        "12.3 t/h of hay took about 19 kW (26 hp) at the PTO at its peak.",
    ),
    Source(
        "missouri-g1250-power",
        Strength.PUBLISHED,
        "Hires & Ellis, University of Missouri Extension G1250, 1987: round balers with expandable "
        "chamber make 6 to over 20 short tons an hour behind tractors of 30 to 120 PTO hp.",
    ),
    Source(
        "helsinki-2020",
        Strength.PUBLISHED,
        "Murto, University of Helsinki, 2020: baler-wrappers with variable chamber took 1 to 10 % "
        "less fuel than with fixed chamber; 25 knives made bales about 8 % heavier.",
    ),
    Source(
        "wisconsin-2018",
        Strength.PUBLISHED,
        "University of Wisconsin, Energies 11(4):780, 2018: pre-cutting raised the energy of "
        "baling (large square balers, dry crops) by 11 to 22 % and density by less than 6 %.",
    ),
    Source(
        "hydraulic-hp",
        Strength.PUBLISHED,
        "Common hydraulic formulas (public sheets): hp = gpm x psi / 1714.",
    ),
    Source(
        "pump-power",
        Strength.PUBLISHED,
        "Power of a hydraulic pump (a public engineering page): kW = bar x l/min / (600 x "
        "efficiency).",
    ),
    Source(
        "drawbar-hp",
        Strength.PUBLISHED,
        "Field & Solie, Introduction to Agricultural Engineering Technology: drawbar hp = lb x mph "
        "/ 375, with 1 500 lb at 5.5 mph as the problem.",
    ),
    Source(
        "army-grade",
        Strength.PUBLISHED,
        "US Army Transportation School, TR0603: grade resistance is 20 lb for each short ton and "
        "per cent of grade.",
    ),
    Source(
        "effective-grade",
        Strength.PUBLISHED,
        "Haulage planning (a public manual page): resistance is weight times grade and rolling "
        "resistance added in per cent, within about 1 %: 376 t at 8 and 2 % is 37.6 t of force.",
    ),
    Source(
        "colorado-5006",
        Strength.PUBLISHED,
        "Downs & Hansen, Colorado State University Extension 5.006: over a year tractors use 55 to "
        "60 % of their greatest power.",
    ),
    Source(
        "sample-tractor",
        Strength.PUBLISHED,
        "A public page after Virginia Cooperative Extension 442-073: a sample tractor burns 8.01 "
        "gal/h at 120 hp, 60 % of its power.",
    ),
)
