"""How wrapped bales keep."""

from __future__ import annotations

from typing import Final

from balewright.quantities.source import Source, Strength

ENTRIES: Final[tuple[Source, ...]] = (
    Source(
        "keles-2009",
        Strength.PUBLISHED,
        "Keles, O'Kiely, Lenehan & Forristal, Irish J. Agric. Food Res. 48:21-34, 2009 (abstract): "
        "two layers fail, four are needed, six add little (ryegrass, 295 days outdoors).",
    ),
    Source(
        "mceniry-2011",
        Strength.PUBLISHED,
        "McEniry, Forristal & O'Kiely, Irish J. Agric. Food Res. 50:175-188, 2011 (abstract): "
        "mould gone at four or more layers; six where the bale is unwilted and kept a second "
        "season.",
    ),
    Source(
        "borreani-2008",
        Strength.PUBLISHED,
        "Borreani & Tabacco, Agron. J. 2008, doi 10.2134/agronj2007.0258 (abstract): storage "
        "losses of 50 to 123 g/kg DM in wrapped lucerne.",
    ),
    Source(
        "teagasc-tips",
        Strength.PUBLISHED,
        "Teagasc advice: wrap within 2 to 3 h; four layers, six for nine months and longer.",
    ),
    Source(
        "nonaka-1999",
        Strength.PUBLISHED,
        "Nonaka, Nakui & Ohshita, Jpn J. Grassland Sci. 45(3):270-277, 1999 (abstract): timothy "
        "at 20, 40 and 50 % moisture kept 11 months under four layers or more; two layers "
        "moulded.",
    ),
    Source(
        "kentucky-botulism",
        Strength.PUBLISHED,
        "Arnold & Lehmkuhler, University of Kentucky: wrong fermentation is likely from 67 to "
        "70 % moisture and almost certain above.",
    ),
    Source(
        "wrap-delay-spread",
        Strength.PUBLISHED,
        "Time from baling to wrapping: 2 h (West Virginia), 2 to 3 h (Teagasc), 4 h and 12 h at "
        "the outside (Penn State), 24 h (Wisconsin): advice disagrees.",
    ),
    Source(
        "borreani-2010",
        Strength.PUBLISHED,
        "Trials of two barrier films on lucerne baled dry, J. Dairy Sci. 2010 (abstract; authors "
        "Borreani & Tabacco from memory): after 420 days 20 to more than 50 % of the surface "
        "mouldy under six plain layers, below 15 % under four of a film 18 times tighter, below "
        "7 % under four 370 times tighter.",
    ),
    Source(
        "wilkinson-2014",
        Strength.PUBLISHED,
        "Survey of 51 comparisons of plain and barrier film, Grass Forage Sci., doi "
        "10.1111/gfs.12087 (abstract; authors Wilkinson & Fenlon from memory): baled silage lost "
        "76.8 g/kg DM under plain film, 45.6 under barrier film (ten sets).",
    ),
    Source(
        "shinners-2009",
        Strength.PUBLISHED,
        "Shinners, Huenink, Muck & Albrecht, Trans. ASABE 52(2):401-407, 2009 (abstract): wrapped "
        "lucerne lost 3.5 % of DM at 40 to 55 % moisture, 2.3 % at 30 to 40 %.",
    ),
    Source(
        "shinners-press",
        Strength.PUBLISHED,
        "The same work as the farming press reported it: five or twelve months, losses under "
        "5 %; six to seven layers for round bales.",
    ),
    Source(
        "arkansas-dfrc",
        Strength.PUBLISHED,
        "University of Arkansas and US Dairy Forage Research Center, as reported by the press: "
        "baled silage typically loses less than 5 %.",
    ),
    Source(
        "ahdb-losses",
        Strength.PUBLISHED,
        "A levy board's silage project, as reported by the press: bales lose 0.2 to 8 % of DM.",
    ),
    Source(
        "mceniry-gas-2011",
        Strength.PUBLISHED,
        "McEniry, Forristal & O'Kiely, Grass Forage Sci. 2011, doi "
        "10.1111/j.1365-2494.2011.00788.x (abstract): two layers fail, four give air-free "
        "conditions, the benefit of more is relatively small.",
    ),
    Source(
        "muller-2005",
        Strength.PUBLISHED,
        "Muller, Grass Forage Sci. 60:109-118, 2005 (abstract): of six to ten layers the only "
        "difference was more carbon dioxide inside under ten.",
    ),
    Source(
        "muller-2011",
        Strength.PUBLISHED,
        "Muller, as reported by a grassland society, 2011: six to eight layers for haylage.",
    ),
    Source(
        "iger-layers",
        Strength.PUBLISHED,
        "Grassland institute trials, as reported by the press: six layers for four cost 0.70 "
        "pounds a bale more and bring more than 2; mould cover 0.75 % under six.",
    ),
    Source(
        "iger-flow-1999",
        Strength.PUBLISHED,
        "Grassland institute, as reported by the press in 1999: six layers could halve the flow "
        "of oxygen against four.",
    ),
    Source(
        "maize-top-2011",
        Strength.PUBLISHED,
        "Four films on maize silage, Grass Forage Sci. 2011, doi "
        "10.1111/j.1365-2494.2011.00823.x: 75, 289, 722 and 982 cm3/(m2 day) let through went "
        "with DM losses of 82, 101, 138 and 145 g/kg at the top.",
    ),
    Source(
        "biosystems-permeability",
        Strength.PUBLISHED,
        "Biosystems Engineering, table 11.2: low-density polyethylene lets through 300 to 600 "
        "cm3 mil/(100 in2 day atm) of oxygen at 25 C, 1200 to 3000 of carbon dioxide.",
    ),
    Source(
        "barrer-unit",
        Strength.PUBLISHED,
        "A handbook chapter on permeability (doi 10.1201/b13623): one barrer is 1e-10 cm3 cm/(cm2 "
        "s cmHg) or 7.5e-14 cm3 cm/(cm2 s Pa).",
    ),
    Source(
        "ldpe-temperature-1993",
        Strength.PUBLISHED,
        "Temperature effects on gas through low-density polyethylene, Polymer Int. 30:109-113, "
        "1993 (abstract): oxygen's activation energy is 31.3 kJ/mol from -16 to 40 C.",
    ),
    Source(
        "ldpe-handbook-memory",
        Strength.MEMORY,
        "Polymer handbooks, from memory: 2.9 barrer for oxygen in low-density polyethylene at "
        "25 C, activation energy 42.7 kJ/mol.",
    ),
    Source(
        "stretch-film-memory",
        Strength.MEMORY,
        "25 um stretch film lets through about 7000 cm3/(m2 day) of oxygen at 23 C and 1 bar, "
        "from memory.",
    ),
    Source(
        "victoria-dpi-2009",
        Strength.PUBLISHED,
        "Victoria Department of Primary Industries, 2009, as reported by the press: about half of "
        "a bale's silage lies within 15 cm of film; 6 to 8 times more touches it than on a clamp.",
    ),
    Source(
        "ifj-rind",
        Strength.PUBLISHED,
        "Irish Farmers Journal: more than half of the silage in a bale lies within 200 mm of the "
        "surface; 6 to 8 times more of it touches film than in a clamp.",
    ),
    Source(
        "weathered-rind",
        Strength.PUBLISHED,
        "Progressive Forage, Round bale storage tips: four inches weathered round a bale are 20 % "
        "of it at six feet across and 25 % at five.",
    ),
    Source(
        "teagasc-holes",
        Strength.PUBLISHED,
        "Teagasc estimate, as reported by the press: a hole of 1 mm costs 5 % of the silage, of "
        "3 mm 20 %.",
    ),
    Source(
        "iasri-silage",
        Strength.PUBLISHED,
        "A university course on silage: fermentation costs no more than 5 % of DM; juice as much "
        "as 10 % at 85 % moisture, little at 70 %.",
    ),
    Source(
        "akins-2018",
        Strength.PUBLISHED,
        "Akins & Coblentz, 2018: 24 h before wrapping had minimal effects, more than a day much "
        "poorer fermentation (lucerne).",
    ),
    Source(
        "west-virginia-wrap",
        Strength.PUBLISHED,
        "West Virginia advice, 2023, as reported by the press: wrap within two hours; at 25 to "
        "40 % moisture it will not ferment properly.",
    ),
    Source(
        "teagasc-daily",
        Strength.PUBLISHED,
        "Teagasc: wrap within 2 to 3 hours after baling.",
    ),
    Source(
        "wisconsin-bale-wrapping",
        Strength.PUBLISHED,
        "University of Wisconsin, as reported by the press: wrap within 24 hours of baling.",
    ),
    Source(
        "wisconsin-square-bales",
        Strength.PUBLISHED,
        "Undersander, Wood & Foster, University of Wisconsin: six mils of film or more; two mils "
        "stayed at 105 to 110 F with mould throughout; unwrapped reached 134 F (56.7 C).",
    ),
    Source(
        "agroscope-2000",
        Strength.PUBLISHED,
        "Agroscope, 2000: six layers and shelter; ten months outdoors did not change the film's "
        "permeability.",
    ),
    Source(
        "sugar-heat",
        Strength.MEMORY,
        "Burning sugar gives 2.80 MJ/mol, from memory.",
    ),
    Source(
        "huhnke-1997",
        Strength.PUBLISHED,
        "Huhnke, Muck & Payton, Appl. Eng. Agric. 1997 (summary): ryegrass and legume-grass bales "
        "at 25 to 65 % moisture under six layers, six months outside, lost 2 to 12 % of DM; the "
        "drier ones not more.",
    ),
    Source(
        "hancock-2006",
        Strength.PUBLISHED,
        "Hancock & Collins, Crop Sci. 46:688-694, 2006 (abstract): lucerne under two, four and "
        "six layers, five months: two layers kept a July harvest worse, a September harvest not; "
        "more than two are needed.",
    ),
    Source(
        "itokawa-1995",
        Strength.PUBLISHED,
        "Itokawa, Honda & Kobayashi, Jpn J. Grassland Sci. 40:478-487, 1995 (abstract): four "
        "layers do for two or three months; over a year quality fell even under six.",
    ),
    Source(
        "nath-2018",
        Strength.PUBLISHED,
        "Nath and others, Anim. Biosci. 31(8), 2018 (abstract): bermudagrass haylage under four "
        "and six layers for 30 to 90 days: both adequate.",
    ),
)
