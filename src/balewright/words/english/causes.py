"""Causes, what speaks for them, and the next step, in a technician's words."""

from __future__ import annotations

from typing import Final

MESSAGES: Final = {
    # whether the first cause stands out
    "cause.verdict.clear": "The first cause stands out, at {first_frac}.",
    "cause.verdict.nothing": "Nothing seen so far asks for a cause.",
    "cause.verdict.low": (
        "Not enough to tell: even the first cause comes only to {first_frac}. "
        "{checks:check|checks} could change that."
    ),
    "cause.verdict.close": (
        "Not enough to tell: the first cause comes to {first_frac}, the second to {second_frac}. "
        "{checks:check|checks} could tell."
    ),
    "cause.verdict.no_check": (
        "Not enough to tell: the first cause comes to {first_frac}, and no check is left that "
        "could change that."
    ),
    # why a cause stands where it stands
    "cause.reason.for": "It fits: {signs}.",
    "cause.reason.for_missing": "It fits that this is not so: {signs}.",
    "cause.reason.against": "Against it, because not so: {signs}.",
    "cause.reason.others": "Others explain better: {signs}.",
    "cause.reason.expected": "It would usually also show here, and nobody has looked: {signs}.",
    "cause.reason.only_prior": ("Nothing seen speaks for it; it is named for how often it arises."),
    "cause.reason.pair": (
        "{first} and {second} at once are likelier than any one cause, {times_ratio} times."
    ),
    "cause.reason.unexplained": "No cause known here explains this well: {signs}.",
    "cause.reason.conflict": (
        "What was seen does not go together well: all at once is {conflict_ratio} times rarer "
        "than if each stood by itself. Look at it again, or think of two faults."
    ),
    "cause.reason.beyond": "The chance that it is none of the causes known here is {beyond_frac}.",
    "cause.reason.left_out": "Not used, as this machine has no such thing: {signs}.",
    "cause.reason.no_number": "Not used, as it reads no number: {signs}.",
    # the next step
    "cause.next.check": (
        "Look at this first: it costs {check_money} and is expected to save {saves_money} against "
        "repairing at once. The chance that it shows a fault is {on_frac}."
    ),
    "cause.next.free": (
        "Look at this first: it costs nothing. The chance that it shows a fault is {on_frac}."
    ),
    "cause.next.send_to_check": (
        "Send somebody to look: with the way it costs {check_money} and is expected to save "
        "{saves_money} against repairing at once. The chance that it shows a fault is {on_frac}."
    ),
    "cause.next.repair": (
        "Repair this now: it is behind the trouble with a chance of {behind_frac}, costs "
        "{repair_money}, and no check is worth making first."
    ),
    "cause.next.repair_first": (
        "Put this right now: it is behind the trouble with a chance of {behind_frac} and costs "
        "{repair_money}. Whatever the next check said, this would come first; if the trouble "
        "stays, look further."
    ),
    "cause.next.send_to_repair": (
        "Send somebody to repair this: it is behind the trouble with a chance of {behind_frac}, "
        "costs {repair_money} beside the way, and no check is worth making first."
    ),
    "cause.next.swap": (
        "Swap the machine, for {swap_money}: further checks and repairs are expected to cost more."
    ),
    "cause.next.ask": (
        "Ask somebody who knows more: nothing known here is worth trying further. That and the "
        "repair are reckoned at {help_money}."
    ),
    "cause.next.no_answer": (
        "Ask somebody who knows more: what is known by now hangs together too widely to be "
        "reckoned with. Take back an answer that is not sure."
    ),
    "cause.next.nothing": "Nothing to do: nothing seen so far asks for a cause.",
    "cause.next.stop.none_open": "No check is left to make.",
    "cause.next.stop.not_worth": (
        "No check is worth making: going on without comes to {repair_money}, with the best of "
        "them to {check_money}."
    ),
    # what was not known of the costs
    "cause.assumed.hour_money": (
        "What an hour of a technician costs is not known: all amounts are in hours, without parts."
    ),
    "cause.assumed.operator_hour_money": (
        "An hour of whoever drives is taken as half an hour of a technician."
    ),
    "cause.assumed.workshop_hour_money": (
        "An hour of the workshop is taken as one of a technician."
    ),
    "cause.assumed.standing_money_h": (
        "What a standing machine costs is not known: taken as an hour of a technician for every "
        "hour."
    ),
    "cause.assumed.travel_h": "The way there and back is taken as one and a half hours.",
    "cause.assumed.travel_money": "Kilometres are not priced.",
    "cause.assumed.haul_h": (
        "Bringing the machine in is taken to be twice as long as the technician's way."
    ),
    "cause.assumed.haul_money": (
        "What bringing the machine in costs is not known: taken as a further way of a technician."
    ),
    "cause.assumed.parts_to_hand": (
        "Which parts are to hand is not known: each repair that needs one is taken to wait for it "
        "every other time."
    ),
    "cause.assumed.part_days": "A missing part is taken to come in a day.",
    "cause.assumed.bale_money": "What a bale loses in the rain is not known and not reckoned with.",
    "cause.assumed.swap_h": (
        "Another machine is taken to be there in the time of a technician's way."
    ),
    # what closed cases teach
    "cause.lesson.rate": (
        "{count:case|cases} in {bales:bale|bales} that count: from {before_per_1000} to "
        "{after_per_1000} in 1,000 bales."
    ),
    "cause.lesson.link": (
        "Seen in {seen} of {count:case|cases} asked: from {before_frac} to {after_frac}."
    ),
}
