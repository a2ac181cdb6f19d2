"""`balewright review`: the daily review of the whole fleet."""

from __future__ import annotations

import argparse
import os
from dataclasses import asdict
from typing import TYPE_CHECKING

from balewright.cli.answer import print_json
from balewright.cli.entry import GOOD
from balewright.cli.moving import moving_line
from balewright.quantities.reason import ReasonValue, because

if TYPE_CHECKING:
    from balewright.flows.review_fleet import FleetReview


def fill_parser(parser: argparse.ArgumentParser) -> None:
    """Options of `review`."""
    parser.add_argument(
        "--false-share",
        type=float,
        metavar="FRAC",
        help="from now on let at most this share of the alarms told be false, such as 0.1",
    )
    parser.add_argument(
        "--dependence",
        choices=["positive", "any"],
        help="with --false-share: how charts hang together when all is well",
    )
    parser.add_argument(
        "--hour",
        type=int,
        metavar="H",
        help="from now on the desk begins it by itself at this hour, 0 to 23 (until then 5)",
    )
    parser.add_argument(
        "--zone", help="with --hour: whose clock, such as Etc/UTC; else that of most machines"
    )
    parser.add_argument("--json", action="store_true", help="one JSON object with a version in it")
    parser.set_defaults(answer=_answer)


def _answer(options: argparse.Namespace) -> int:
    from balewright.findings.admission import Dependence
    from balewright.flows.admit_findings import DiscoveryRule, set_discovery_rule
    from balewright.flows.daily_review import DailyRule, daily_rule, set_daily_rule, zone_of
    from balewright.flows.review_fleet import review_fleet
    from balewright.quantities.errors import BadInput, Fault
    from balewright.settings import load_settings, open_workplace

    if options.dependence is not None and options.false_share is None:
        cure = "Add --false-share 0.1, or the share that shall hold."
        raise BadInput(Fault("--dependence", "a --false-share it belongs to", "none", cure))
    if options.zone is not None and options.hour is None:
        raise BadInput(Fault("--zone", "an --hour it belongs to", "none", "Add --hour 5."))
    workplace = open_workplace(load_settings(os.environ), moving_line(options.json))
    if options.hour is not None:
        set_daily_rule(workplace, DailyRule(options.hour, options.zone))
    if options.false_share is not None:
        dependence = Dependence(options.dependence or "positive")
        set_discovery_rule(workplace, DiscoveryRule(options.false_share, dependence))
    review = review_fleet(workplace)
    if options.json:
        print_json("review", asdict(review))
        return GOOD
    _print(review)
    if options.hour is not None:
        rule = daily_rule(workplace)
        told = {"hour_said": f"{rule.hour}:00", "zone": zone_of(workplace, rule)}
        print(_say("command.review.hour", **told))
    return GOOD


def _print(review: FleetReview) -> None:
    from balewright.words.say import say

    if not review.machines and not review.faults:
        print(say(because("command.review.empty")))
        return
    told, waiting = review.told, review.waiting
    changed = len(review.changed)
    looked = {"machines": review.machines, "changed": changed, "charts": review.charts}
    opened = {"open_alarms": review.open_alarms, "folded": review.folded}
    said = [
        because("command.review.looked", **looked),
        because("command.review.told", told=told, waiting=waiting, **opened),
        because("command.review.rate", rate_frac=review.rule.rate_frac),
    ]
    if review.set_aside:
        said.append(because("command.review.aside", set_aside=review.set_aside))
    said += [one.words for one in review.batches]
    said += [because("command.review.left_out", fault=str(fault)) for fault in review.faults]
    for reason in said:
        print(say(reason))


def _say(key: str, **values: ReasonValue) -> str:
    from balewright.words.say import say

    return say(because(key, **values))
