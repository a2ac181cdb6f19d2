"""`balewright findings`: what is wrong with which machine, from the register or from a file; one
finding with its evidence; setting one aside."""

from __future__ import annotations

import argparse
import os
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Final

from balewright.cli.answer import print_json
from balewright.cli.entry import FOUND, GOOD
from balewright.cli.findings_json import episode_json, finding_json, opened_json
from balewright.cli.findings_text import print_findings, print_opened, where
from balewright.findings.episode import Episode
from balewright.findings.finding import Finding, FindingKind, Weight
from balewright.quantities.errors import BadInput, Fault

if TYPE_CHECKING:
    from balewright.flows.workplace import Workplace

_RANK: Final = {weight: place for place, weight in enumerate(Weight)}
_OF_REGISTER: Final = ("key", "set_aside", "take_back", "reason", "until", "which")


def fill_parser(parser: argparse.ArgumentParser) -> None:
    """Options of `findings`."""
    parser.add_argument("file", nargs="?", type=Path, help="bales in a file, not in the register")
    parser.add_argument("--profile", help="with FILE: key or file of the machine's profile")
    parser.add_argument("--sheet", type=Path, help="with FILE: the sheet in force, as JSON")
    parser.add_argument("--machine", help="only this serial")
    parser.add_argument(
        "--kind", choices=[kind.value for kind in FindingKind], metavar="KIND",
        help="only this kind, such as 'layers short'",
    )  # fmt: skip
    parser.add_argument(
        "--weight", choices=[weight.value for weight in Weight], help="only this weight or worse"
    )
    parser.add_argument("--since", help="only what began on or after this day (2031-05-20, UTC)")
    which = parser.add_mutually_exclusive_group()
    for name, what in (
        ("open", "only what lasts"),
        ("closed", "only what bales show gone"),
        ("all", "also what waits for more bales, is set aside, or is told by another"),
    ):
        which.add_argument(f"--{name}", dest="which", action="store_const", const=name, help=what)
    one = parser.add_mutually_exclusive_group()
    one.add_argument("--key", help="one finding with its evidence")
    one.add_argument("--set-aside", metavar="KEY", help="let one be quiet, with --reason")
    one.add_argument("--take-back", metavar="KEY", help="let one be told again")
    parser.add_argument("--reason", help="with --set-aside: why, kept for ever")
    parser.add_argument("--until", help="with --set-aside: the last day of it (2031-05-20, UTC)")
    parser.add_argument(
        "--fail-on",
        choices=[weight.value for weight in Weight],
        help="end with 1 when there is a finding of this weight or worse",
    )
    parser.add_argument("--json", action="store_true", help="one JSON object with a version in it")
    parser.set_defaults(answer=_answer)


def _answer(options: argparse.Namespace) -> int:
    for name in ("reason", "until"):
        if getattr(options, name) is not None and options.set_aside is None:
            cure = "Add --set-aside KEY, or leave it out."
            raise BadInput(Fault(f"--{name}", "a --set-aside it belongs to", "none", cure))
    if options.file is not None:
        return _of_file(options)
    for name in ("profile", "sheet"):
        if getattr(options, name) is not None:
            cure = "Name the file of bales too, or leave it out."
            raise BadInput(Fault(f"--{name}", "a FILE it belongs to", "no file", cure))
    if options.key is not None:
        return _open(options)
    if options.set_aside is not None or options.take_back is not None:
        return _change(options)
    return _of_register(options)


def _of_file(options: argparse.Namespace) -> int:
    from balewright.flows.find_in_file import find_in_file

    for name in _OF_REGISTER:
        if getattr(options, name) is not None:
            said = f"--{name.replace('_', '-')}" if name != "which" else f"--{options.which}"
            cure = "Take the file in first (balewright take-in), or leave it out."
            raise BadInput(Fault(said, "findings of the register", "a file", cure))
    if options.profile is None:
        cure = "Give --profile KEY or --profile FILE.toml."
        raise BadInput(Fault("--profile", "the machine's profile with a file", "none", cure))
    is_asked = _filter(options)
    seen = find_in_file(options.file, options.profile, options.sheet)
    if seen.refusals and not options.json:
        first = seen.refusals[0]
        print(f"{seen.refused} rows refused, the first: {first.place}: {first.reason}")
    findings = [one for one in seen.findings if is_asked(one)]
    untold = {options.file.name: seen.untold}
    if options.json:
        _print_json([finding_json(one) for one in findings], untold)
    else:
        print_findings(findings, untold, {})
    return _code(options, findings)


def _of_register(options: argparse.Namespace) -> int:
    from balewright.findings.against_plan import worst_first
    from balewright.flows.list_findings import Which, list_findings

    is_asked = _filter(options)
    which = Which(options.which or Which.SHOWN.value)
    listed = list_findings(_workplace(options), options.machine, which)
    by_finding: dict[Finding, list[Episode]] = {}
    for episode in listed.episodes:
        if is_asked(episode.finding):
            by_finding.setdefault(episode.finding, []).append(episode)
    findings = worst_first(list(by_finding))
    episodes = [episode for finding in findings for episode in by_finding[finding]]
    if options.json:
        _print_json([episode_json(one) for one in episodes], listed.untold)
    else:
        keys = {place: f"{one.key} ({where(one)})" for place, one in enumerate(episodes)}
        print_findings([one.finding for one in episodes], listed.untold, keys)
    return _code(options, findings)


def _open(options: argparse.Namespace) -> int:
    from balewright.flows.open_finding import open_finding

    opened = open_finding(_workplace(options), options.key)
    if options.json:
        print_json("findings", {"finding": opened_json(opened)})
    else:
        print_opened(opened)
    return _code(options, [opened.episode.finding])


def _change(options: argparse.Namespace) -> int:
    from balewright.flows.set_aside_finding import set_aside_finding, take_back_aside

    workplace = _workplace(options)
    if options.take_back is not None:
        changed = take_back_aside(workplace, options.take_back, None)
    else:
        until = _day("--until", options.until)
        until = None if until is None else until + timedelta(days=1)
        changed = set_aside_finding(workplace, options.set_aside, options.reason or "", None, until)
    if options.json:
        print_json("findings", {"finding": episode_json(changed)})
    else:
        print(f"{changed.key}: {where(changed)}")
    return GOOD


def _workplace(options: argparse.Namespace) -> Workplace:
    from balewright.cli.moving import moving_line
    from balewright.settings import load_settings, open_workplace

    return open_workplace(load_settings(os.environ), moving_line(options.json))


def _filter(options: argparse.Namespace) -> Callable[[Finding], bool]:
    """Whether a finding is among those asked for. Raises BadInput for a day that is none."""
    since = _day("--since", options.since)
    since_us = None if since is None else round(since.timestamp()) * 1_000_000
    worst = None if options.weight is None else _RANK[Weight(options.weight)]

    def is_asked(finding: Finding) -> bool:
        return (
            options.machine in (None, finding.machine)
            and options.kind in (None, finding.kind.value)
            and (worst is None or _RANK[finding.weight] <= worst)
            and (since_us is None or (finding.since_us or -1) >= since_us)
        )

    return is_asked


def _day(option: str, given: str | None) -> datetime | None:
    if given is None:
        return None
    try:
        return datetime.strptime(given, "%Y-%m-%d").replace(tzinfo=UTC)
    except ValueError:
        cure = "Write it as 2031-05-20."
        raise BadInput(Fault(option, "a day", repr(given), cure)) from None


def _print_json(findings: list[dict[str, object]], untold: object) -> None:
    from balewright.words.say import say

    assert isinstance(untold, dict)
    told = {serial: [say(reason) for reason in reasons] for serial, reasons in untold.items()}
    print_json("findings", {"findings": findings, "cannot_tell": told})


def _code(options: argparse.Namespace, findings: list[Finding] | tuple[Finding, ...]) -> int:
    fail_on = options.fail_on
    fails = fail_on and any(_RANK[f.weight] <= _RANK[Weight(fail_on)] for f in findings)
    return FOUND if fails else GOOD
