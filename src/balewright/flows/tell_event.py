"""What a bale got whose wrapping did not go to plan, and how to make it good."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from balewright.flows.outlook import Outlook, Told
from balewright.plan.film.count_course import count_course
from balewright.plan.film.events import Running, Story, tell_story
from balewright.plan.film.from_here import Need, WayOn, ways_on
from balewright.plan.film.layers import LayerCount, bale_turn_from_advance
from balewright.plan.film.tipped import judge_tipped
from balewright.quantities.reason import Reason, because


@dataclass(frozen=True)
class EventTold:
    """story, count: what the rolls did and what that left, None where no film is laid."""

    told: Told
    story: Story | None = None
    count: LayerCount | None = None


def tell_event(outlook: Outlook) -> EventTold | None:
    """Layers after what happened, each way to go on, and what to do with a bale that is tipped.

    None where nothing happened. Raises BadInput for events that the wrapping cannot have had.
    """
    events = outlook.asked.events
    wrapper, turns, strip_m = outlook.machine.wrapper, outlook.wrap_turns, outlook.strip_m
    if not events:
        return None
    if wrapper is None or turns is None or strip_m is None or outlook.need_layers is None:
        return EventTold(Told(because("outlook.went.no_film")))
    one_m, across_m = wrapper.advance_one_roll_m, outlook.bale.diameter_m
    plan = Running(
        turns,
        wrapper.dispensers,
        bale_turn_from_advance(wrapper.advance_m, across_m),
        None if one_m is None else bale_turn_from_advance(one_m, across_m),
    )
    story, need = tell_story(plan, events), Need(outlook.need_layers)
    count = count_course(outlook.bale, strip_m, story.course, need.layers, 0)
    tipped = judge_tipped(outlook.bale, count, need)
    values = {"thinnest": count.thinnest_anywhere, "layers": need.layers}
    key = "short" if count.short_frac > 0.0 else "round_enough"
    told = Told(
        because(f"outlook.went.{key}", short_frac=count.short_frac, **values),
        (
            *_onward(ways_on(outlook.bale, strip_m, plan, story, need)),
            because(f"outlook.went.{tipped.verdict.name.lower()}"),
            *tipped.reasons[:-2],
        ),
        ("geometry", "uk-baleage-q14", "mceniry-2011", "keles-2009"),
        tipped.reasons[-2:],
        tipped.cautions,
    )
    return EventTold(told, story, count)


def _onward(ways: tuple[WayOn, ...]) -> Iterator[Reason]:
    """One sentence for each way to go on that is still needed."""
    for way in ways:
        rolls = "one" if len(way.running) == 1 else "both"
        if len(way.running) > 1 and not all(way.running):
            rolls = str(way.running.index(True) + 1)
        if way.turns_from_now is None:
            yield because(f"outlook.went.never.{rolls}")
        elif way.turns_from_now > 0:
            yield because(
                f"outlook.went.onward.{rolls}",
                more_turns=way.turns_from_now,
                turns_needed=way.good_at_turn or 0.0,
            )
