"""`balewright senders`: let a device send a machine's records by itself, and end it again."""

from __future__ import annotations

import argparse
import os
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from balewright.cli.answer import print_json, print_table
from balewright.cli.entry import BAD_INPUT, GOOD
from balewright.quantities.errors import BadInput, Fault
from balewright.quantities.reason import ReasonValue, because

if TYPE_CHECKING:
    from balewright.flows.workplace import Workplace
    from balewright.store.arriving import SenderEntry


_DEEDS = {"list": 0, "make": 0, "withdraw": 1}
"""What can be done, and how many senders it names."""


def fill_parser(parser: argparse.ArgumentParser) -> None:
    """Options of `senders`."""
    parser.add_argument("deed", metavar="DEED", help=", ".join(_DEEDS))
    parser.add_argument(
        "sender", metavar="SENDER", nargs="?", help="with withdraw: its key, as list shows it"
    )
    parser.add_argument("--machine", metavar="SERIAL", help="with make: whose records it sends")
    parser.add_argument("--label", default="", metavar="TEXT", help="with make: which device it is")
    parser.add_argument("--json", action="store_true", help="one JSON object with a version in it")
    parser.set_defaults(answer=_answer)


def _answer(options: argparse.Namespace) -> int:
    from balewright.settings import load_settings, open_workplace

    deeds = {"list": _list, "make": _make, "withdraw": _withdraw}
    if options.deed not in deeds:
        need = f"one of {', '.join(_DEEDS)}"
        raise BadInput(Fault("DEED", need, repr(options.deed), "Name one of them."))
    if (options.sender is not None) != bool(_DEEDS[options.deed]):
        need = "a sender's key with withdraw, none with the others"
        given = repr(options.sender) if options.sender else "none"
        raise BadInput(Fault("SENDER", need, given, "See `balewright senders list`."))
    return deeds[options.deed](open_workplace(load_settings(os.environ)), options)


def _list(workplace: Workplace, options: argparse.Namespace) -> int:
    senders = workplace.register.load_senders()
    if options.json:
        print_json("senders", {"senders": [_as_json(sender) for sender in senders]})
    elif not senders:
        print(_say("senders.none"))
    else:
        headings = [_say(f"senders.column.{name}") for name in ("key", "machine", "label", "seen")]
        print_table(headings, [_row(sender) for sender in senders])
    return GOOD


def _make(workplace: Workplace, options: argparse.Namespace) -> int:
    from balewright.flows.known_machine import known_machine
    from balewright.flows.senders import make_sender

    if options.machine is not None:
        known_machine(workplace, options.machine)
    made = make_sender(workplace, options.machine or "", options.label)
    if options.json:
        print_json("senders", {"sender": _as_json(made.entry), "token": made.token})
    else:
        print(_say("senders.made", label=made.entry.label, machine=made.entry.machine))
        print(_say("senders.address", path=f"/in/{made.entry.key}"))
        print(_say("senders.token", token=made.token))
    return GOOD


def _withdraw(workplace: Workplace, options: argparse.Namespace) -> int:
    from balewright.flows.senders import withdraw_sender

    done = withdraw_sender(workplace, options.sender)
    if options.json:
        print_json("senders", {"withdrawn": done})
    else:
        print(_say("senders.withdrawn" if done else "senders.unknown", sender=options.sender))
    return GOOD if done else BAD_INPUT


def _row(sender: SenderEntry) -> list[str]:
    seen = "–" if sender.seen_at is None else f"{sender.seen_at:%Y-%m-%d %H:%M}"
    label = sender.label
    if sender.withdrawn_at is not None:
        label = _say("senders.ended", label=label)
    return [sender.key, sender.machine, label, seen]


def _as_json(sender: SenderEntry) -> dict[str, Any]:
    moments = {
        name: None if value is None else value.isoformat()
        for name, value in (
            ("made_at", sender.made_at),
            ("withdrawn_at", sender.withdrawn_at),
            ("seen_at", sender.seen_at),
        )
    }
    return {**asdict(sender), **moments}


def _say(key: str, **values: ReasonValue) -> str:
    from balewright.words.say import say

    return say(because(key, **values))
