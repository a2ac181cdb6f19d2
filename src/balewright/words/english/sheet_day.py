"""Words around a sheet's settings: conflicts, first measures, roll changes, until when it holds."""

from typing import Final

MESSAGES: Final = {
    "card.conflicts": "Two things at once",
    "card.measures": "Measure on the first five bales",
    "card.rolls": "Roll changes",
    "card.sources": "Where it comes from",
    "card.valid_until": "valid until {valid_until}",
    "card.sheet_id": "sheet {sheet_id}",
    "card.scan": "Open this sheet on a phone",
    "card.no_signal": "This page needs no signal and asks nothing of any other place.",
    "day.conflict": "{line}: {wants} {settled}",
    "day.measure": "{what}: {target}. {why}",
    "day.measure_within": "{what}: {target} ({low} to {high}). {why}",
    "day.measure_look": "{what}. {why}",
    "day.roll": "{roll} ends during bale {bales}.",
    "day.bale_within": "{best} ({low} to {high})",
    "day.and_so_on": "and so on",
    "day.lost": "One film roll lost: reach turn {reaches}.",
    "day.lost_at": "{reach_turn} if at turn {at_turn}",
    "roll.film_1": "Film roll 1",
    "roll.film_2": "Film roll 2",
    "roll.net": "The net roll",
    "message.first": "Manual first. Before reaching in: PTO off, engine stopped, key out.",
    "message.more": "All cautions and reasons: {link}",
    "message.more_on_sheet": "All cautions and reasons stand on the sheet.",
    "task.name": "Baling {crop}",
    "task.crop": "{crop}",
    "task.first": "Manual first. PTO off, key out.",
}
