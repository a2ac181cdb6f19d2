"""The page "What is behind it?": what is known, how likely each cause is, what to do next."""

from __future__ import annotations

from typing import Final

_PAGE: Final = {
    "title": "What is behind it?",
    "no_records": "a machine that is not kept here, so no records speak",
    "other_type": "Another type",
    "languages": "Language of names and steps",
    "language.en": "English",
    "language.de": "Deutsch",
    "language.fr": "Français",
    "language.pl": "Polski",
    "cautions": "First of all",
    "refused": "This cannot be answered exactly",
    "refused.cure": "Take an answer back that is least sure, and look again.",
    # what somebody says
    "say": "What does it do?",
    "say.more": "Say more",
    "said": "In your own words",
    "said.hint": "A few words as they were said, in English, German, French or Polish.",
    "said.do": "Find what it may mean",
    "heard": "This may be meant. Tick what is so.",
    "heard.none": "None of these words is known here. All reports stand in the list below.",
    "heard.take": "Take what is ticked",
    "all_reports": "Choose from all reports",
    # the card
    "deed.check": "Look at this next",
    "deed.repair": "Repair this next",
    "deed.send.look": "Send a technician, who looks at this first",
    "deed.send.repair": "Send a technician, who repairs this",
    "deed.bring.look": "Bring the machine to the workshop, which looks at this first",
    "deed.bring.repair": "Bring the machine to the workshop, which repairs this",
    "deed.swap": "Use another machine",
    "deed.ask": "Ask somebody who knows more",
    "deed.nothing": "Nothing to do",
    "who.operator": "whoever drives",
    "who.technician": "a technician",
    "who.workshop": "the workshop",
    "fact.who": "Who",
    "fact.minutes": "Takes",
    "fact.tools": "Tools",
    "fact.parts": "Parts",
    "fact.costs": "Costs",
    "fact.rest": "Machine",
    "minutes": "{minutes} min",
    "tools.none": "none",
    "machine_rests": "PTO off, engine stopped",
    "machine_may_run": "from the seat or the screen",
    "machine_runs_after_fitting": "fitted at rest, then run from the seat, everybody away",
    "risk": "What it risks:",
    "answers": "Answer",
    "yes": "Yes",
    "no": "No",
    "cannot": "Cannot tell",
    "read": "Or what was read, in {unit}",
    "read.do": "Keep the number",
    "read.wrong": "Write a number, such as 12.5.",
    "limit.down": "Below {limit} shows the fault.",
    "limit.up": "Above {limit} shows the fault.",
    "limit.either": "Away from {limit} shows the fault.",
    "chosen": "You chose to look at this",
    "chosen.saves": (
        "It is expected to save {amount} against repairing at once. The chance that it shows a "
        "fault is {on_frac}."
    ),
    "chosen.costs": (
        "It is expected to cost {amount} more than it saves. The chance that it shows a fault is "
        "{on_frac}."
    ),
    "chosen.back": "Back to the step that costs least",
    "repaired.helped": "It is done, and it bales well",
    "repaired.helped.keep": "It helped: keep it as a case",
    "repaired.tell": "It was something else: tell what was found",
    "repaired.still": "It is done, and the trouble goes on",
    "reader": "Only technicians and managers write into a case.",
    "kit": "Take along",
    "kit.part": "(about {money}, assumed)",
    "kit.covers": "Enough for the cause with a chance of {covers_frac}. It is for:",
    "time.hours": "{figure} h",
    "time.days": "{figure} days",
    "swap.dearer": (
        "Another machine would come to {swap_said}; going on here is expected to come to "
        "{going_on_said}."
    ),
    "swap.cheaper": (
        "Another machine would come to {swap_said}, less than the {going_on_said} that going on "
        "here is expected to come to."
    ),
    # the ranking
    "ranking": "Likely causes",
    "ranking.what": (
        "The figure is the chance that the cause is there and that what was seen would not have "
        "come about without it. Several may be there at once."
    ),
    "why": "Why",
    "repair.by": "By {who_said}, {minutes} min.",
    "put_right": "Put right already, and the trouble went on: {names}.",
    "side.machine": "machine",
    "side.operator": "operator",
    "side.crop": "crop",
    "side.roll": "roll",
    "side.tractor": "tractor",
    "looks": "What would change this most",
    "looks.what": "Any of these can be looked at instead; the bar is how much it moves.",
    "look.moves": (
        "Moves {moves_frac} of the chance; another cause would then stand first with a chance of "
        "{first_frac}."
    ),
    "look.moves.same": "Moves {moves_frac} of the chance; the first cause would stay first.",
    "look.costs": "costs {amount}",
    "less_likely": "Less likely: {count}",
    # what is known
    "known": "What is known",
    "not_here": "Left out, as this machine has no such thing: {keys}.",
    "disagree": "“{text}”: yes and no were both said. It counts as unknown until one goes back.",
    "no_answers": "Nothing was reported or looked at yet.",
    "answer.yes": "yes",
    "answer.no": "no",
    "answer.unknown": "cannot tell",
    "before_repair": "before the repair, no longer counts",
    "take_back": "Take back",
    "take_back.this": "Take back: {text}",
    "records": "What the records say by themselves",
    "records.none": "{bales:bale was|bales were} watched, and nothing stands out.",
    "records.no_bales": "No bales of this machine are recorded, so they say nothing.",
    "records.overruled": "“{text}”: what was answered counts before what the records say.",
    "records.others": "Found too, and no cause is known to show in it:",
    "records.quiet": "Would show in the records, and does not: {count}",
    # costs
    "costs": "What it is expected to cost",
    "costs.total": "Until the machine bales well again: {total_said}.",
    "costs.hours": "Counted in a technician's hours, as no hour is priced.",
    "costs.assumed": "Assumed, as nobody said: {count}",
    "costs.set": "Say what service costs here",
    "costs.who": "A manager can say what service costs here.",
    "now.there": "Who is with the machine",
    "now.bales": "Bales that lie open",
    "now.rain": "Hours until it rains",
    "now.do": "Reckon anew",
    # the case
    "case": "Keep this as a case",
    "case.what": (
        "A case keeps every answer with who gave it, guides on a phone without a signal, and later "
        "bales prove the cure. Without one nothing of this page is kept."
    ),
    "case.complaint": "What was said",
    "case.findings": "Findings it is about",
    "case.open": "Open a case",
    "case.in": "Answers on this page are kept in the case.",
    "case.to": "To the case",
    "case.closed": "This case is closed. Open it again to write into it:",
    "case.unknown": "A case can be opened for machines that are kept here.",
    # by type
    "profile.what": "Choose the machine, so that its records speak too; or only its type.",
    "profile.wrong": "There is no such type.",
    "profile.known": "Machines kept here",
    "profile.none": "None yet.",
    "profile.types": "Only the type",
    "of_finding": "What is behind it?",
    "of_machine": "What is behind it?",
}

MESSAGES: Final = {f"desk.causes.{name}": text for name, text in _PAGE.items()}
