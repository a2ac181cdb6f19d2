"""Machine costs, fuel, custom rates."""

from __future__ import annotations

from typing import Final

from balewright.quantities.source import Source, Strength

ENTRIES: Final[tuple[Source, ...]] = (
    Source(
        "iowa-a3-29",
        Strength.PUBLISHED,
        "Iowa State University Extension, Ag Decision Maker A3-29, Estimating Farm Machinery "
        "Costs: tractor of 180 PTO hp, list price 150 000, paid 130 000, kept 15 years at 400 h; "
        "it then fetches 23 % of the list price.",
    ),
    Source(
        "iowa-2005",
        Strength.PUBLISHED,
        "Iowa State University, Estimating Farm Machinery Costs, an older printing (National Ag "
        "Risk Education Library): list price 110 000, paid 93 500, 23 % or 25 300 left after 15 "
        "years, 68 200 lost; 8 % interest less 3 % inflation is 5 % real.",
    ),
    Source(
        "iowa-calculator",
        Strength.PUBLISHED,
        "Iowa State University, machinery cost calculator to A3-29: 160 000 is worth 35 391 after "
        "8 years; capital recovery 21 618 (interest not printed), tax, insurance and housing 977 a "
        "year; 219 for 32 000 falling to 11 852 (a public copy of the sheet).",
    ),
    Source(
        "iowa-pm-710",
        Strength.PUBLISHED,
        "Iowa State University PM 710, table 1a: share of the new list price left, by age and "
        "hours a year, tractors of 30-79 and 80-149 hp (read in a re-hosted public copy).",
    ),
    Source(
        "iowa-table-3",
        Strength.PUBLISHED,
        "Iowa State University PM 710, table 3, after ASAE 1996: repairs so far as a share of the "
        "list price, by hours (read in a re-hosted public copy).",
    ),
    Source(
        "iowa-tractor-105",
        Strength.PUBLISHED,
        "Growing Produce (press) after Iowa State University: tractor of 105 hp, list 80 000, "
        "6 000 h: repairs 20 000 or 3.33/h; 4.62 gal/h at 3.40 is 15.71/h; lubricants 2.36/h.",
    ),
    Source(
        "wisconsin-machcost",
        Strength.PUBLISHED,
        "University of Wisconsin machinery cost worksheet on ASABE data: 12 000 h, 100 %, 0.007, "
        "2 for a two-wheel-drive tractor; 2 000 h, 100 %, 0.29, 1.8 for a mouldboard plough.",
    ),
    Source(
        "iasri-14",
        Strength.PUBLISHED,
        "Indian Agricultural Statistics Research Institute, e-course on farm machinery, lesson "
        "14, solved example: 25 hp tractor and thresher, 40.62 and 105.03 Rs/h, 178.36 Rs/h "
        "together, 222.95 Rs/t.",
    ),
    Source(
        "tie-2023",
        Strength.PUBLISHED,
        "Tanzania Institute of Education, Agriculture for Advanced Secondary Schools, Form Five, "
        "2023: cultivator of 2 000 000 kept 10 years at 450 h: 400, 342.2, 73.3, 444.4, together "
        "1 259.9 a hour.",
    ),
    Source(
        "machine-cost-equations",
        Strength.PUBLISHED,
        "Machinery cost equations after ASAE Standards 2000 (a public equation sheet): straight "
        "line, interest and tax on the mean of price and resale; fuel 0.73 x 0.06 gal for each "
        "hp and hour; lubricants 0.15 of fuel; labour 1.1 and 1.2.",
    ),
    Source(
        "capital-recovery-exercise",
        Strength.PUBLISHED,
        "Engineering economy, problems 68 and 69 of a civil engineers' board examination, "
        "November 2016, with answers (public exercise pages): 50 000, 10 % left after 10 years, "
        "8 %: 7 105 a year; 100 000, 20 % left after 15 years, 10 %: 12 517.90, elsewhere printed "
        "12 517.60.",
    ),
    Source(
        "capital-recovery-two-ways",
        Strength.PUBLISHED,
        "An exercise of a textbook of engineering economy, section 6.2, as solved on a public "
        "page: 50 000, 5 000 left after 5 years, 10 %: capital recovery 12 371 a year by two "
        "equations.",
    ),
    Source(
        "grisso-fuel",
        Strength.PUBLISHED,
        "Grisso, Virginia Tech, Predicting Diesel Fuel Consumption: 0.223 L for each rated kW and "
        "hour (0.044 gal/hp-h) over a year, after ASAE EP496.3; by load (a X + b) for each kW.",
    ),
    Source(
        "illinois-2017",
        Strength.PUBLISHED,
        "University of Illinois machinery cost estimates (as quoted): 13.6 gal/h for a tractor of "
        "310 hp.",
    ),
    Source(
        "illinois-tractors",
        Strength.PUBLISHED,
        "University of Illinois farmdoc, tractor costs: wages of 13.50 an hour become 14.85, 10 % "
        "more hours than the tractor's; 33.55 an hour for 65 hp is 14.00 + 4.70 + 14.85.",
    ),
    Source(
        "colorado-3759",
        Strength.PUBLISHED,
        "Gutierrez & Dalsted, Colorado State University Extension 3.759, Break-Even Method of "
        "Investment Analysis: 21 270 over (16 + 8 - 1.75) is 956 acres; 12 000 over 14.25 is 842.",
    ),
    Source(
        "field-solie",
        Strength.PUBLISHED,
        "Field & Solie, Introduction to Agricultural Engineering Technology, tables 10.2 and "
        "10.3: 1 000 a year and 4 an acre: 24, 14, 9 and 6 an acre at 50, 100, 200 and 500 acres; "
        "at a custom rate of 21 owning pays from about 60 acres on.",
    ),
    Source(
        "minnesota-wrapping",
        Strength.PUBLISHED,
        "Rudstrom, University of Minnesota Extension, The dollars and cents of bale wrapping "
        "haylage: two rolls at 80 wrap 70 bales, with end caps 2.43 a bale; fixed cost 2.67 a "
        "bale at 1 000 bales a year of a wrapper of 20 000.",
    ),
    Source(
        "teagasc-2022",
        Strength.PUBLISHED,
        "Fahy, Teagasc (press), silage bales in 2022: 10 bales of 5 t DM/ha an acre; fertiliser 7 "
        "(70 an acre), slurry 3 (30 an acre), mow, bale and wrap 12, film 4 (a roll of over 100 "
        "does 24 to 25 bales), haulage 1: EUR 27 a bale, 37 with rent of 100 an acre.",
    ),
    Source(
        "teagasc-dm-2022",
        Strength.PUBLISHED,
        "Teagasc in the Irish Farmers Journal, 2022: EUR 45 to 50 a bale with land, EUR 226 a "
        "tonne of dry matter.",
    ),
    Source(
        "ifj-2024",
        Strength.PUBLISHED,
        "Irish Farmers Journal, 2024: nine bales an acre, fertiliser and slurry EUR 10.20 a bale, "
        "mowing to stacking about 18, in all 29 to 32.50 with VAT.",
    ),
    Source(
        "penn-state-wrapper",
        Strength.PUBLISHED,
        "Penn State forages, steps of bale silage (older): film 3 to 4 USD a bale; wrap at least "
        "100 bales a year to own a wrapper.",
    ),
    Source(
        "purdue-2023",
        Strength.PUBLISHED,
        "Purdue custom rate survey 2023, 81 producers (press): 12.70 and 13.81 USD a large round "
        "bale, wrapping 3.40 more.",
    ),
    Source(
        "iowa-2021",
        Strength.PUBLISHED,
        "Iowa State custom rate survey 2021 (press): 10.80 USD a round bale, 13.20 wrapped.",
    ),
    Source(
        "custom-2010",
        Strength.PUBLISHED,
        "Hay & Forage Grower, custom rates 2010: Iowa 9.80 USD a large bale, 11.00 wrapped; "
        "Nebraska 11.69 with net, 10.81 without.",
    ),
    Source(
        "penn-wrap",
        Strength.PUBLISHED,
        "Hartman, Penn State Extension (press), Pennsylvania custom rate report, year not told: 7 "
        "to 8 USD a bale for wrapping, film included.",
    ),
    Source(
        "irl-2019",
        Strength.PUBLISHED,
        "Irish Independent, 2019: contractors ask EUR 14 a bale with film and four layers, EUR 11 "
        "where the farmer brings the film.",
    ),
    Source(
        "minnesota-2013",
        Strength.PUBLISHED,
        "Lazarus, University of Minnesota, machinery cost estimates 2013: kept 12 years, 4 % real "
        "interest, insurance 0.85 %.",
    ),
    Source(
        "d497-values-memory",
        Strength.MEMORY,
        "ASAE D497, from memory: value left, repair factors, life of 1 500 h, PTO power and fuel "
        "of large round balers and tractors.",
    ),
    Source(
        "ep496-memory",
        Strength.MEMORY,
        "ASAE EP496, from memory: tax 1.0, housing 0.75 and insurance 0.25 % of the price a year "
        "where nothing better is known.",
    ),
)
