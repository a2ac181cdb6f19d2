"""An answer on causes as lines for people: cautions and the next step first."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from balewright.cause.network import NO_CAUTION
from balewright.cli.answer import print_table
from balewright.cli.causes_json import listed_of
from balewright.quantities.reason import Reason, because

if TYPE_CHECKING:
    from balewright.cause.heard import Heard
    from balewright.cause.network import Network
    from balewright.flows.purse import Purse
    from balewright.flows.tell_causes import ToldCauses

_LOOKS = 5
"""Checks shown; --json has all."""


def print_heard(network: Network, heard: Iterable[Heard], language: str) -> None:
    """Reports that words may mean, the likeliest first."""
    rows = [[one.key, network.observation(one.key).words.in_language(language)] for one in heard]
    if rows:
        print_table([_say("causes.column.key"), _say("causes.column.words")], rows[:8])
    else:
        print(_say("causes.nothing_heard"))


def print_listed(network: Network, listed: str, language: str) -> None:
    """What a machine can show, or have."""
    rows = [list(pair) for pair in listed_of(network, listed, language)]
    print_table([_say("causes.column.key"), _say("causes.column.words")], rows)


def print_asked(told: ToldCauses, language: str, purse: Purse) -> None:
    """What is next, with its cautions first; then the causes with their reasons; then checks."""
    print(_say("caution.manual_first"))
    _print_next(told, language, purse)
    for one in told.about:
        print(_said(one))
    for place, cause in enumerate(told.causes, 1):
        behind = _say("causes.behind", behind_frac=cause.ranked.behind_frac)
        print(f"{place}. {cause.name} ({cause.cause.side.value}; {behind}) [{cause.cause.key}]")
        print(f"   {cause.tells}")
        for reason in cause.why:
            print(f"   {_said(reason)}")
    if told.looks:
        heads = ("check", "asks", "who", "on", "saves", "moves")
        rows = [
            [
                *(one.look.key, one.asks, one.look.who.value, f"{one.look.on_frac:.0%}"),
                *(purse.said(one.look.saves_money), f"{one.look.moves_frac:.0%}"),
            ]
            for one in told.looks[:_LOOKS]
        ]
        print_table([_say(f"causes.column.{name}") for name in heads], rows)
    for one in told.asked.advice.assumed:
        print(_said(one))


def _print_next(told: ToldCauses, language: str, purse: Purse) -> None:
    step, network = told.asked.advice.step, told.asked.at.network
    for key in step.cautions:
        if key != NO_CAUTION:
            print("! " + _say(key))
    deed = _say(f"causes.deed.{step.deed.name.lower()}", who=step.who.value)
    print(f"{deed} {purse.tell(step.why, 'en')}")
    if step.check is not None:
        one = network.observation(step.check)
        if one.check is not None:
            print(f"   {one.check.asks.in_language(language)} [{step.check}]")
            print(f"   {one.check.how.in_language(language)}")
    if step.cause is not None:
        cause = network.cause(step.cause)
        print(f"   {cause.name.in_language(language)}: {cause.repair.words.in_language(language)}")
    if step.kit is not None:
        names = [network.part_by_key[key].name.in_language(language) for key in step.kit.parts]
        names += [network.tool_by_key[key].name.in_language(language) for key in step.kit.tools]
        kit = ", ".join(names) or "-"
        print("   " + _say("causes.kit", kit=kit, covers_frac=step.kit.covers_frac))


def _say(key: str, **values: str | float) -> str:
    return _said(because(key, **values))


def _said(reason: Reason) -> str:
    from balewright.words.say import say

    return say(reason)
