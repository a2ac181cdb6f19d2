"""What the desk says where machines, rolls and people stand side by side."""

from __future__ import annotations

from typing import Final

MESSAGES: Final = {
    "desk.site.fleet": (
        "machines of a make on one measure, adjusted for their fields; film and net by batch."
    ),
    "desk.fleet.title": "Machines side by side",
    "desk.fleet.what": (
        "Machines of one make on one measure, as the daily review knows them: what field, crop and "
        "weather explain is taken out, and each value has the interval it is known to."
    ),
    "desk.fleet.ways": "What is compared",
    "desk.fleet.machines": "Machines",
    "desk.fleet.rolls": "Film and net by batch",
    "desk.fleet.people": "Drivers",
    "desk.fleet.profile": "Make",
    "desk.fleet.measure": "Measure",
    "desk.fleet.show": "Compare",
    "desk.fleet.empty": "No machine of a known make is in the register yet.",
    "desk.fleet.unwatched": (
        "{unwatched:machine of this make is|machines of this make are} left out: not recorded "
        "there, not reviewed yet, or fewer than 60 bales."
    ),
    "desk.fleet.unwatched.all": (
        "No machine of this make has been watched for long enough yet: take records in, or start "
        "the daily review."
    ),
    "desk.fleet.apart": (
        "{apart:machine stands|machines stand} apart from the others: more than three times as far "
        "from the middle as machines of this make usually are."
    ),
    "desk.fleet.alike": "No machine stands apart: they differ as machines of a make do.",
    "desk.fleet.few": (
        "With fewer than five machines nobody can say how far machines of a make differ: look, "
        "but call none of them odd."
    ),
    "desk.fleet.rates": (
        "Where little happened a rate is drawn towards what is usual, and its interval is wide."
    ),
    "desk.fleet.adjusted": "Taken out before comparing: {adjusted}.",
    "desk.fleet.caption": "Highest first; the middle of them is {middle_said}.",
    "desk.fleet.machine": "Machine",
    "desk.fleet.bales": "Bales judged",
    "desk.fleet.bales.short": "bales",
    "desk.fleet.stands": "Against the others",
    "desk.fleet.stands.apart": "stands apart",
    "desk.fleet.hundred": "in 100 bales",
    "desk.fleet.rolls.what": (
        "Each batch is held only against other film or net on the same dispenser of the same "
        "machine, so that a machine that breaks any film does not speak against it. Of net, "
        "further tries at binding are counted."
    ),
    "desk.fleet.rolls.none": (
        "Nothing to compare yet: a batch needs 40 bales of its own, and other film or net beside "
        "it on the same machine. Batches come from roll changes that note them, and the daily "
        "review compares them."
    ),
    "desk.fleet.rolls.at": "As the daily review of {when_said} UTC found them, worst first.",
    "desk.fleet.rolls.left_out": "{left_out} more, which are no worse, are left out.",
    "desk.fleet.batch": "Batch",
    "desk.fleet.driver": "Driver",
    "desk.fleet.events": "Breaks or tries",
    "desk.fleet.events.short": "happened",
    "desk.fleet.expected": "Expected",
    "desk.fleet.expected.short": "expected",
    "desk.fleet.times.head": "Against the rest",
    "desk.fleet.times": "{best} times as often ({low} to {high})",
    "desk.fleet.times.only": "only here",
    "desk.fleet.told": "beyond chance",
    "desk.fleet.people.is_off": (
        "Comparing people is off. No driver's name and no figure of theirs is read here until a "
        "manager says what it is for; the purpose then stands above every figure, and each look "
        "is noted. Ask first whether local rules and those it is about allow it."
    ),
    "desk.fleet.people.purpose": "What is it for?",
    "desk.fleet.people.purpose.hint": "As you would say it to those it is about.",
    "desk.fleet.people.purpose.wrong": "Say what it is for, in {longest} characters at most.",
    "desk.fleet.people.allow": "Switch it on for this purpose",
    "desk.fleet.people.forbid": "Switch it off",
    "desk.fleet.people.on": "Comparing people is on. Its purpose stands above every figure.",
    "desk.fleet.people.off": "Comparing people is off.",
    "desk.fleet.people.for": "Compared for:",
    "desk.fleet.people.set": "Set by {by}, {when_said} UTC. Each look at this page is noted.",
    "desk.fleet.people.what": (
        "Each driver is held only against others on the same machine in the same job: what one "
        "alone drove says nothing here. A difference is no judgement: shift, hour and headland "
        "are not known."
    ),
    "desk.fleet.people.none": (
        "Nothing to compare: no two drivers shared a job on a machine, or too few bales."
    ),
    "desk.fleet.people.film_breaks": "Film breaks",
    "desk.fleet.people.binding_tries": "Further tries at binding",
    "desk.fleet.people.overloads": "Overload trips",
    "fleet.picture.title": "Machines side by side, each with its interval",
    "fleet.picture.middle": "middle of all",
}
