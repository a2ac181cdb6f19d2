"""`balewright findings`: where bales differ from their sheet, from the register or from a file."""

from __future__ import annotations

import argparse
import os
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, Final

from balewright.cli.answer import print_json
from balewright.cli.entry import FOUND, GOOD
from balewright.findings.finding import Finding, Weight
from balewright.quantities.errors import BadInput, Fault
from balewright.quantities.reason import Reason

_RANK: Final = {weight: place for place, weight in enumerate(Weight)}


def fill_parser(parser: argparse.ArgumentParser) -> None:
    """Options of `findings`."""
    parser.add_argument("file", nargs="?", type=Path, help="bales in a file, not in the register")
    parser.add_argument("--profile", help="with FILE: key or file of the machine's profile")
    parser.add_argument("--sheet", type=Path, help="with FILE: the sheet in force, as JSON")
    parser.add_argument("--machine", help="only this serial")
    parser.add_argument("--since", help="only what began on or after this day (2031-05-20, UTC)")
    parser.add_argument(
        "--fail-on",
        choices=[weight.value for weight in Weight],
        help="end with 1 when there is a finding of this weight or worse",
    )
    parser.add_argument("--json", action="store_true", help="one JSON object with a version in it")
    parser.set_defaults(answer=_answer)


def _answer(options: argparse.Namespace) -> int:
    since_us = _since_us(options.since)
    findings, untold = _from_file(options) if options.file else _from_register(options)
    findings = [
        finding
        for finding in findings
        if options.machine in (None, finding.machine)
        and (since_us is None or (finding.since_us is not None and finding.since_us >= since_us))
    ]
    if options.json:
        print_json(
            "findings",
            {
                "findings": [_as_json(finding) for finding in findings],
                "cannot_tell": {serial: _said(reasons) for serial, reasons in untold.items()},
            },
        )
    else:
        _print(findings, untold)
    fail_on = options.fail_on
    fails = fail_on and any(_RANK[f.weight] <= _RANK[Weight(fail_on)] for f in findings)
    return FOUND if fails else GOOD


def _from_file(options: argparse.Namespace) -> tuple[list[Finding], dict[str, tuple[Reason, ...]]]:
    from balewright.flows.find_in_file import find_in_file

    if options.profile is None:
        cure = "Give --profile KEY or --profile FILE.toml."
        raise BadInput(Fault("--profile", "the machine's profile with a file", "none", cure))
    seen = find_in_file(options.file, options.profile, options.sheet)
    if seen.refusals and not options.json:
        first = seen.refusals[0]
        print(f"{seen.refused} rows refused, the first: {first.place}: {first.reason}")
    return list(seen.findings), {options.file.name: seen.untold}


def _from_register(
    options: argparse.Namespace,
) -> tuple[list[Finding], dict[str, tuple[Reason, ...]]]:
    from balewright.flows.review_machine import review_machine
    from balewright.settings import load_settings, open_workplace

    for name in ("profile", "sheet"):
        if getattr(options, name) is not None:
            cure = "Name the file of bales too, or leave it out."
            raise BadInput(Fault(f"--{name}", "a FILE it belongs to", "no file", cure))
    workplace = open_workplace(load_settings(os.environ))
    serials = [entry.serial for entry in workplace.register.load_machines()]
    if options.machine is not None:
        serials = [options.machine]
    reviews = [review_machine(workplace, serial) for serial in serials]
    found = [finding for review in reviews for finding in review.findings]
    return found, {review.entry.serial: review.untold for review in reviews}


def _since_us(given: str | None) -> int | None:
    if given is None:
        return None
    try:
        day = datetime.strptime(given, "%Y-%m-%d").replace(tzinfo=UTC)
    except ValueError:
        cure = "Write it as 2031-05-20."
        raise BadInput(Fault("--since", "a day", repr(given), cure)) from None
    return round(day.timestamp()) * 1_000_000


def _said(reasons: tuple[Reason, ...]) -> list[str]:
    from balewright.words.say import say

    return [say(reason) for reason in reasons]


def _as_json(finding: Finding) -> dict[str, Any]:
    seen = finding.seen
    return {
        "machine": finding.machine,
        "kind": finding.kind.value,
        "weight": finding.weight.value,
        "since_bale": finding.since_bale,
        "until_bale": finding.until_bale,
        "since": _iso(finding.since_us),
        "bales": finding.bales,
        "looked_at": finding.looked_at,
        "planned": finding.planned,
        "seen": None if seen is None else {
            "low": seen.low, "best": seen.best, "high": seen.high, "confidence": seen.confidence,
        },
        "unit": finding.unit,
        "evidence": list(finding.evidence),
        "sheet": finding.sheet,
        "sentence": _said((finding.words,))[0],
    }  # fmt: skip


def _iso(value_us: int | None) -> str | None:
    if value_us is None:
        return None
    moment = datetime.fromtimestamp(value_us // 1_000_000, UTC)
    return moment.strftime("%Y-%m-%dT%H:%M:%SZ")


def _print(findings: list[Finding], untold: dict[str, tuple[Reason, ...]]) -> None:
    for finding in findings:
        began = (_iso(finding.since_us) or "time unknown").replace("T", " ")[:16]
        print(f"{finding.weight.value:<5}{finding.machine:<10}{began:<18}{finding.kind.value}")
        print(f"     {_said((finding.words,))[0]}")
    if not findings:
        no_machine = Reason("command.findings.no_machine")
        print("No findings." if untold else _said((no_machine,))[0])
    for serial, reasons in untold.items():
        for sentence in _said(reasons):
            print(f"not told about {serial}: {sentence}")
