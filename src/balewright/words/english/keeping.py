"""How a wrapped bale keeps: what the command and the pictures say."""

from typing import Final

MESSAGES: Final = {
    "keeping.caution": (
        "Do not feed what is mouldy, torn open or smells wrong; horses are most at risk. A look "
        "into the bale, and a vet, come before any of these numbers."
    ),
    "keeping.asked": (
        "Bale {diameter_m} across and {length_m} long, {dry_matter_kg} of dry matter at "
        "{moisture_frac} moisture, under {layers} layers of {layer_um} film for {stay_months}, "
        "climate {climate}, wrapped in month {start_month}."
    ),
    "keeping.column.loss": "loss, per cent of dry matter",
    "keeping.column.best": "best",
    "keeping.column.range": "from to",
    "keeping.row.delay": "lying unwrapped",
    "keeping.row.juice": "juice",
    "keeping.row.hole": "open holes",
    "keeping.row.film_alone": "oxygen through film alone (part of the rows below)",
    "keeping.row.base": "{school}: fermentation and what film does not change",
    "keeping.row.film": "{school}: oxygen through film, seams and tack",
    "keeping.row.lost": "{school}: lost in storage",
    "keeping.row.cover": "{school}: per cent of the surface under mould",
    "keeping.row.total": "{school}: lost, and thrown away under mould",
    "keeping.row.both": "both: lost, and thrown away under mould",
    "keeping.school.well_made": "well made",
    "keeping.school.barrier_trials": "barrier trials",
    "keeping.spread": (
        "The two schools of trials disagree. Well made: {well_sources}. Barrier trials: "
        "{barrier_sources}. The best of both is only their middle; nobody measured it."
    ),
    "keeping.doubt.poor_fermentation": (
        "Under 40 % moisture a source warns of poor fermentation; what that loses is unknown here."
    ),
    "keeping.doubt.clostridia": (
        "From 67 % moisture a source warns of clostridia; what that loses is unknown here."
    ),
    "keeping.mould": "Mould under whole film, as each trial supports it: {band}.",
    "keeping.column.source": "source",
    "keeping.column.says": "says",
    "keeping.seen.clean": "clean",
    "keeping.seen.some": "some mould, or worse",
    "keeping.seen.mouldy": "mouldy",
    "keeping.seen.unknown": "nothing it saw reaches this case",
    "keeping.trial.keles-2009": "Keles 2009: ryegrass, 295 days",
    "keeping.trial.mceniry-2011": "McEniry 2011: grass, 7 and 18 months",
    "keeping.trial.nonaka-1999": "Nonaka 1999: dry timothy, 11 months",
    "keeping.trial.borreani-2010": "Borreani 2010: dry lucerne, 420 days",
    "keeping.trial.borreani-2008": "Borreani 2008: lucerne, barrier film",
    "keeping.band.low": "low",
    "keeping.band.some": "some",
    "keeping.band.high": "high",
    "keeping.band.disputed": "disputed",
    "keeping.band.unknown": "not shown",
    "keeping.holes": (
        "Film is not whole: round a tear a trial saw mould within {rip_days} and {rip_c}. Close "
        "holes the day they are found."
    ),
    "keeping.wait.kept": "Waiting {waited_h} keeps the advice of {sources}.",
    "keeping.wait.none": "Waiting {waited_h} keeps the advice of no source.",
    "keeping.advice": "Layers that sources ask for: {advice}.",
    "keeping.column.layers": "layers",
    "keeping.column.film": "film, money a bale",
    "keeping.column.cost": "film and feed lost: {school}",
    "keeping.optimum": (
        "{school}: {layers} layers cost least; {near} cost within {near_frac} of it; over the "
        "spread of losses the least lies at {least}."
    ),
    "keeping.optimum.floor": (
        "{school}: {layers} layers cost least of those advised, and fewer than that are never "
        "advised; {near} cost within {near_frac} of it; over the spread of losses the least lies "
        "at {least}."
    ),
    "keeping.advised": (
        "So {least_low} to {least_high} layers, depending on which trials hold. Costs count dry "
        "matter only: better feed, work and waste film are not in them."
    ),
    "keeping.advised.one": (
        "So {least_low} layers, whichever trials hold. Costs count dry matter only: better feed, "
        "work and waste film are not in them."
    ),
    # the pictures
    "keeping.chart.title": "What is lost under how many layers, and what it costs",
    "keeping.chart.told": (
        "Under {layers} layers: {well_frac} lost and thrown away as well made bales keep, "
        "{barrier_frac} as the barrier trials lost."
    ),
    "keeping.chart.loss": "Dry matter lost and thrown away",
    "keeping.chart.cost": "Film and lost feed, a bale",
    "keeping.chart.x": "layers",
    "keeping.chart.per_cent": "%",
    "keeping.chart.money": "money",
    "keeping.chart.floor": "not advised",
    "keeping.chart.film": "film, without the feed",
    "keeping.chart.spread": "line: best; field: low to high end",
    "keeping.chart.flat": "thick: costs nearly as little as the least",
    "keeping.chart.asked": "asked: {layers}",
    "keeping.chart.least": "least: {layers}",
    "keeping.mould.title": "Mould by source: layers against months",
    "keeping.mould.told": (
        "Climate {climate}. Under {layers} layers after {stay_months}: {said}. Each field is one "
        "source's trials carried over by oxygen dose."
    ),
    "keeping.mould.heading": "What each trial says, {climate}",
    "keeping.mould.axis": "months in store",
    "keeping.mould.layers": "layers",
    "keeping.mould.asked": "the bale asked for",
    "keeping.oxygen.title": "Oxygen through {layers} layers of whole film, by month",
    "keeping.oxygen.heading": "Oxygen come through {layers} layers",
    "keeping.oxygen.x": "months since wrapping in June",
    "keeping.oxygen.y": "mol/m²",
    "keeping.oxygen.spread": "line: best; field: spread of permeability, {climate}",
    "keeping.oxygen.told": "{climate}: {dose} mol/m² after a year",
    # short names of sources
    "keeping.source.uk-baleage-q14": "University of Kentucky",
    "keeping.source.teagasc-tips": "Teagasc",
    "keeping.source.teagasc-daily": "Teagasc",
    "keeping.source.wisconsin-square-bales": "University of Wisconsin",
    "keeping.source.wisconsin-bale-wrapping": "University of Wisconsin",
    "keeping.source.en-14932": "EN 14932",
    "keeping.source.agroscope-2000": "Agroscope",
    "keeping.source.penn-state-baleage": "Penn State",
    "keeping.source.shinners-press": "Shinners, in the press",
    "keeping.source.muller-2011": "Muller 2011",
    "keeping.source.itokawa-1995": "Itokawa 1995",
    "keeping.source.west-virginia-wrap": "West Virginia",
    "keeping.source.akins-2018": "Akins & Coblentz 2018",
    "keeping.source.shinners-2009": "Shinners 2009",
    "keeping.source.keles-2009": "Keles 2009",
    "keeping.source.mceniry-2011": "McEniry 2011",
    "keeping.source.nonaka-1999": "Nonaka 1999",
    "keeping.source.borreani-2008": "Borreani & Tabacco 2008",
    "keeping.source.borreani-2010": "Borreani & Tabacco 2010",
    "keeping.source.wilkinson-2014": "Wilkinson & Fenlon 2014",
}
