"""What the desk says round findings: Today, a finding opened, a machine's, the fleet's."""

from __future__ import annotations

from typing import Final

"""By measure, as it stands above a chart and in a list."""

_EXPLAINS: Final = {
    "moisture_frac": "moisture",
    "feed_m3_s": "how much crop comes in",
    "speed_m_s": "ground speed",
    "pitch_frac": "slope along the travel",
    "roll_frac": "slope across the travel",
    "air_c": "air temperature",
    "oil_c": "oil temperature",
    "diameter_m": "bale diameter",
    "mass_kg": "bale mass",
    "gate_opening_mm": "how full the chamber was",
    "knives_in": "knives in work",
    "pto_share": "PTO speed",
    "pace_bales_h": "bales an hour",
    "warm_hour_share": "hour of the day",
    "warm_up_share": "whether the machine had warmed up",
    "machine": "the machine",
    "dispenser": "the dispenser",
}

_GROUPS: Final = {
    "job": "job",
    "day": "day",
    "film roll 1": "film roll on dispenser 1",
    "film roll 2": "film roll on dispenser 2",
    "both film rolls": "pair of film rolls",
    "net roll": "net roll",
}

_KINDS: Final = {
    "layers short": "Layers short", "stretch unequal": "Stretch unequal",
    "stretch off": "Stretch off", "binding short": "Binding short",
    "gate opening off": "Gate opening off", "density low": "Density low",
    "moisture outside": "Moisture outside", "wrapped late": "Wrapped late",
    "phases disordered": "Times out of order", "number missing": "Number missing",
    "number repeated": "Number repeated", "counter changed": "Counter changed",
    "wrapped twice": "Wrapped twice", "not wrapped": "Not wrapped", "burst": "Burst bales",
    "made as test": "Made as a test", "not watched": "Not watched any more",
    "phase time moved": "Cycle time moved", "pressure moved": "Pressure moved",
    "temperature moved": "Temperature moved", "metres moved": "Film or net metres moved",
    "shape moved": "Bale shape moved", "density moved": "Density moved",
    "feed moved": "Crop taken in moved", "drive moved": "Drive moved",
    "additive moved": "Additive moved", "sensor moved": "Sensor moved",
    "sensor frozen": "Sensor frozen", "sensor restless": "Sensor restless",
    "breaks more": "More film breaks", "binding missed": "Binding missed",
    "starts repeated": "Starts repeated", "overloads more": "More overloads",
    "worked by hand": "Worked by hand", "supply low": "Supply low",
    "codes more": "More diagnostic codes", "setting moved": "Setting moved",
    "cartridge stuck": "Grease cartridge", "roll worse": "Roll or batch worse",
    "unlike its kind": "Unlike its kind",
}  # fmt: skip

_TODAY: Final = {
    "desk.today.group.harm": "Stop it: spoils feed or can hurt",
    "desk.today.group.cost": "Costs as long as it lasts",
    "desk.today.group.note": "Keep an eye on",
    "desk.today.sure": "{certain_said} sure",
    "desk.today.ended": "ended",
    "desk.today.a_day": "about {money_day} a day",
    "desk.today.batches": "Film or net worse than the rest",
    "desk.today.silent": "Not watched any more",
    "desk.today.silent.what": (
        "A sensor or message these machines used to send stays away. What it told is not watched "
        "until it comes back; no news from there is not good news."
    ),
    "desk.today.closed": "No longer seen, since yesterday",
    "desk.today.closed.what": "Bales made since then show these matters gone.",
    "desk.today.waiting": (
        "{waiting:more alarm is|more alarms are} open and not told: among so many charts too many "
        "like them would be false. They are told once more bales bear them out."
    ),
    "desk.today.reviewed": "Last daily review: {when_said}.",
    "desk.today.reviewed.never": "The whole fleet has not been reviewed yet.",
    "desk.today.reviewed.due": (
        "A daily review is due. The desk begins it by itself; whoever runs it can start it at once "
        "with “balewright review”. It looks at every machine and decides over the whole fleet "
        "which alarms are told."
    ),
}

_FINDING: Final = {
    "desk.finding.title": "Finding",
    "desk.finding.state.open": "Open",
    "desk.finding.state.closed": "No longer seen",
    "desk.finding.state.set aside": "Set aside",
    "desk.finding.state.waiting": "Waiting for more bales",
    "desk.finding.state.folded": "Told by another",
    "desk.finding.state.withdrawn": "Withdrawn",
    "desk.finding.withdrawn": (
        "Records that were put right since no longer show it. Nothing was mended; it was not so."
    ),
    "desk.finding.state.joined": "Part of another",
    "desk.finding.waiting": (
        "This alarm is not told: over the whole fleet too many like it would be false. It is told "
        "once more bales bear it out."
    ),
    "desk.finding.folded": "Another finding tells the same matter and stands in the lists:",
    "desk.finding.joined": "Later bales showed that this is part of an older finding:",
    "desk.finding.at_a_glance": "At a glance",
    "desk.finding.since": "Since",
    "desk.finding.since.between": (
        "bale {since_said}; it began between {first_said} and {last_said} ({confidence_frac} sure)"
    ),
    "desk.finding.since.at": "bale {since_said}",
    "desk.finding.until": "Last seen",
    "desk.finding.bale": "bale {number}",
    "desk.finding.bales": "Bales",
    "desk.finding.bales.of": "{bales} of {looked_at} looked at",
    "desk.finding.bales.span": "{bales:bale|bales} since then, {looked_at} judged before that",
    "desk.finding.before": "Before",
    "desk.finding.planned": "By the sheet",
    "desk.finding.now": "Now",
    "desk.finding.moved": "Moved by",
    "desk.finding.others": "Others of its kind",
    "desk.finding.apart": "Apart by",
    "desk.finding.range": "{best_said} ({low_said} to {high_said})",
    "desk.finding.hundred": "{figure} in 100 bales",
    "desk.finding.percent": "{change_frac} ({low_frac} to {high_frac})",
    "desk.finding.sure": "How sure",
    "desk.finding.sure.settled": "settled by counting or geometry, not by chance",
    "desk.finding.sure.chart": "{certain_said} that it is real",
    "desk.finding.sure.most": "more than 99 %",
    "desk.finding.chance": "By chance",
    "desk.finding.chance.once": "a machine in order shows as much once in {times} such records",
    "desk.finding.chance.rarely": (
        "a machine in order shows as much less than once in a million such records"
    ),
    "desk.finding.worth": "Worth",
    "desk.finding.worth.money": "{best} a bale ({low} to {high}), in the currency of your prices.",
    "desk.finding.adjusted": "Taken out before judging",
    "desk.finding.adjusted.group": "what each {group_said} adds",
    "desk.finding.part": "Part",
    "desk.finding.chart": "Bale by bale",
    "desk.finding.chart.none": (
        "Nothing that this rests on is a number that could be drawn; the bales below show it."
    ),
    "desk.finding.whole": "Show the whole history",
    "desk.finding.near": "Show the bales where it began",
    "desk.finding.rows": "The bales",
    "desk.finding.rows.what": (
        "Bales around it in the order made, each with the values this rests on and the file they "
        "came in."
    ),
    "desk.finding.rows.first": "it begins here",
    "desk.finding.rows.last": "last seen here",
    "desk.finding.rows.within": "may have begun here",
    "desk.finding.rows.file": "File",
    "desk.finding.rows.expected": "Expected",
    "desk.finding.rows.pages": "Bales, page by page",
    "desk.finding.rows.earlier": "Earlier bales",
    "desk.finding.rows.later": "Later bales",
    "desk.finding.rows.gap": "So many bales lie between that they are left out here.",
    "desk.finding.history": "What became of it",
    "desk.finding.history.told": "First told",
    "desk.finding.history.seen": "Last found by a review",
    "desk.finding.history.start": (
        "Later records moved its start from bale {before_said} to bale {after_said}"
    ),
    "desk.finding.history.again": (
        "It stopped and came back; seen on bales {first_said} to {last_said}"
    ),
    "desk.finding.history.closed": "Bales showed it gone",
    "desk.finding.history.withdrawn": "Records that were put right no longer showed it",
    "desk.finding.history.aside": "Set aside by {by}: {reason}",
    "desk.finding.history.aside.until": "Set aside by {by} until {until_said}: {reason}",
    "desk.finding.history.ended.taken back": "Taken back by {by}: told again",
    "desk.finding.history.ended.worse": "Told again, for it had got markedly worse",
    "desk.finding.history.ended.time": "Told again, for the time was over",
    "desk.finding.shell": "the command line",
    "desk.finding.under": "Of the same matter, told with it",
    "desk.finding.beside": "Also found on the same bales",
    "desk.finding.parts": "Older findings that turned out to be part of it",
    "desk.finding.aside": "Set aside",
    "desk.finding.aside.what": (
        "It leaves Today and the lists until you take it back, the day is over, or it gets "
        "markedly worse. Your reason is kept for ever beside it."
    ),
    "desk.finding.aside.reason": "Why may it stay as it is?",
    "desk.finding.aside.reason.hint": (
        "Whoever meets it next reads this: {longest} characters at most."
    ),
    "desk.finding.aside.reason.wrong": "Say why, in {longest} characters at most.",
    "desk.finding.aside.until": "Until",
    "desk.finding.aside.until.hint": "Leave it empty to set it aside for good.",
    "desk.finding.aside.until.wrong": "A day to come, or nothing.",
    "desk.finding.aside.do": "Set it aside",
    "desk.finding.aside.done": "Set aside. The reason is kept; you can take it back at any time.",
    "desk.finding.aside.in_force": "Set aside by {by} on {when_said}",
    "desk.finding.aside.in_force.until": "Set aside by {by} on {when_said}, until {until_said}",
    "desk.finding.aside.back": "Take it back",
    "desk.finding.aside.back.done": "Taken back: it is told again.",
    "desk.finding.sources": "Sheet, events and settings",
    "desk.finding.to_machine": "The machine",
    "finding.picture.bale": "bale",
    "finding.picture.reading": "a bale's reading",
    "finding.picture.gathered": "{bales} bales each: lowest, middle and highest reading",
    "finding.picture.beyond": "{count:reading lies|readings lie} beyond the edge of the picture",
    "finding.picture.expected": "expected before the bale was seen",
    "finding.picture.limits": "limits of a single bale",
    "finding.picture.sheet": "what the sheet wants",
    "finding.picture.groups": "shaded: every other {group_said}",
    "finding.picture.middles": "the middle reading of each {group_said}",
    "finding.picture.start": "it began between bales {first_said} and {last_said}",
    "finding.picture.start.at": "it began at bale {first_said}",
    "finding.picture.told": "told",
    "finding.picture.since": "it begins",
    "finding.picture.over": "over",
    "finding.picture.hundred": "in 100 bales",
    "finding.picture.event": "when it happened: {count} times on these {bales} bales",
    "finding.picture.rate_before": "before: {hundred} in 100 bales",
    "finding.picture.rate_usual": "usual: {hundred} in 100 bales",
    "finding.picture.rate_since": "since: {hundred} ({low_hundred} to {high_hundred}) in 100 bales",
}  # fmt: skip

_MACHINE: Final = {
    "desk.machine.findings.closed": "No longer seen ({count})",
    "desk.machine.findings.aside": "Set aside ({count})",
    "desk.machine.findings.waiting": "Waiting for more bales ({count})",
    "desk.machine.findings.folded": "Told by another of the same matter ({count})",
    "desk.machine.measures": "What is watched",
    "desk.machine.measures.what": (
        "Readings with what was expected of each bale and the limits of a single one. A chart "
        "speaks up when many bales or whole jobs lie off on one side, not when one does."
    ),
    "desk.machine.measures.choose": "Look at",
    "desk.machine.measures.pick": "– choose –",
    "desk.machine.measures.show": "Show",
    "desk.machine.measures.none": "Nothing of this is known of the machine's bales.",
}

MESSAGES: Final = (
    _TODAY
    | _FINDING
    | _MACHINE
    | {f"explains.{key}": said for key, said in _EXPLAINS.items()}
    | {f"watched.group.{key}": said for key, said in _GROUPS.items()}
    | {f"finding.kind.{key}": said for key, said in _KINDS.items()}
)
