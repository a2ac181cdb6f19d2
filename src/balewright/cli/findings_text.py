"""Findings as lines for people."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from balewright.cli.answer import print_table
from balewright.cli.findings_json import iso_time
from balewright.findings.episode import Episode, EpisodeState
from balewright.findings.finding import Finding
from balewright.quantities.reason import Reason, because

if TYPE_CHECKING:
    from balewright.flows.open_finding import OpenedFinding

_ROWS = 12
"""Bales shown on each side of the first one; --json has them all."""


def print_findings(
    findings: Sequence[Finding], untold: Mapping[str, tuple[Reason, ...]], keys: Mapping[int, str]
) -> None:
    """Two lines each, with the key where it has one; then what cannot be told.

    keys: by the place of a finding in the list.
    """
    for place, finding in enumerate(findings):
        began = _minute(finding.since_us)
        print(f"{finding.weight.value:<5}{finding.machine:<10}{began:<18}{finding.kind.value}")
        print(f"     {_say(finding.words)}")
        if place in keys:
            print(f"     {keys[place]}")
    if not findings:
        print("No findings." if untold else _say(because("command.findings.no_machine")))
    for serial, reasons in untold.items():
        for reason in reasons:
            print(f"not told about {serial}: {_say(reason)}")


def print_opened(opened: OpenedFinding) -> None:
    """One finding: sentence, state, certainty, then the bales where it begins."""
    episode, finding = opened.episode, opened.episode.finding
    print(f"{finding.weight.value:<5}{finding.machine:<10}{finding.kind.value}, {where(episode)}")
    print(f"     {_say(finding.words)}")
    for name, said in _facts(finding):
        print(f"     {name}: {said}")
    for aside in (*episode.aside_before, *([episode.set_aside] if episode.set_aside else [])):
        by = aside.by or "the command line"
        print(f"     set aside {_minute(aside.at_us)} by {by}: {aside.reason}")
    for one in opened.under:
        print(f"     told with it: {one.key}")
    evidence = opened.evidence
    near = [
        place
        for place, ordinal in enumerate(evidence.ordinals)
        if abs(ordinal - evidence.first) <= _ROWS
    ]
    rows = []
    for place in near:
        number, ordinal = evidence.bales.cell(place, "bale_no"), evidence.ordinals[place]
        cells = [evidence.bales.cell(place, name) for name in evidence.columns]
        files = ", ".join(evidence.files.get(one, one[:12]) for one in evidence.sources[place])
        rows.append(
            [
                ">" if ordinal == evidence.first else "",
                evidence.keys[place] if number is None else str(number),
                *("-" if cell is None else f"{cell:g}" if isinstance(cell, float) else str(cell)
                  for cell in cells),
                files,
            ]
        )  # fmt: skip
    if rows:
        print_table(["", "bale", *evidence.columns, "file"], rows)


def where(episode: Episode) -> str:
    """Where it stands, in a word."""
    if episode.withdrawn:
        return "withdrawn"
    if episode.state is EpisodeState.OPEN and episode.under is not None:
        return "told by another"
    if episode.state is EpisodeState.OPEN and not episode.admitted:
        return "waiting for more bales"
    return episode.state.value


def _facts(finding: Finding) -> list[tuple[str, str]]:
    from balewright.words.say import say_value

    start, told = finding.start, []
    if start is not None and start.first_bale is not None:
        told.append(("began", f"between bale {start.first_bale} and {start.last_bale}"))
    if finding.certain_frac is not None:
        told.append(("sure", say_value("certain_frac", min(finding.certain_frac, 0.999))))
    if finding.chance_frac is not None:
        told.append(("by chance", f"{finding.chance_frac:.2g} of machines in order"))
    if finding.adjusted_for:
        told.append(("taken out before", ", ".join(finding.adjusted_for)))
    return told


def _minute(value_us: int | None) -> str:
    return (iso_time(value_us) or "time unknown").replace("T", " ")[:16]


def _say(reason: Reason) -> str:
    from balewright.words.say import say

    return say(reason)
