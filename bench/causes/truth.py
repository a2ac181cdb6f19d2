"""Seasons with a known fault: is its cause first, or among the first three?

`python -m bench.causes.truth` plays the reporting seasons of `bench.findings`, plain and under
stress, watches each to its end, and ranks causes by the findings that stand; `--tuning` plays
other seeds, which may be looked at while the network is mended. A clean season has no cause.
"""

from __future__ import annotations

import argparse
import json
from collections.abc import Iterable, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import asdict, dataclass, replace
from itertools import pairwise
from pathlib import Path

import numpy as np
from bench.causes.cost import SCALES, Call, policies
from bench.causes.truth_book import CAME, SAID, causes_of
from bench.findings import playing
from bench.findings.seasons import REPORTING, TUNING, Case, plain_cases, stress_cases
from bench.findings.under_test import made_us

from balewright.cause.evidence_value import YES, Seen
from balewright.cause.facts import machine_facts
from balewright.cause.from_findings import observe_findings
from balewright.cause.laid_out import lay_out, weigh
from balewright.cause.network import Network
from balewright.cause.rank import rank_laid
from balewright.findings.episode import EpisodeState
from balewright.findings.episodes import follow
from balewright.findings.finding import Finding
from balewright.findings.judged import judge
from balewright.findings.watch.watch import WatchedMachine, watch
from balewright.flows.ask_causes import known_columns, told_beside
from balewright.readers.fault_network import shipped_network
from balewright.records.bales import BaleTable
from balewright.records.events import Event
from balewright.rehearsal.faults import FaultKind, Planted
from balewright.rehearsal.season import rehearse_season
from balewright.rehearsal.stress.pack import STRESS_PACK
from balewright.rehearsal.stress.play import advance_of

MARK = "<!-- figures: everything below is written by the bench -->"
HEAD = (
    "| seasons | n | first | first three | named cause first "
    "| with the call: first | first three | named cause first |"
)
BINS = (0.0, 0.15, 0.3, 0.45, 0.6, 0.75, 1.0001)


@dataclass(frozen=True)
class Ranked:
    """One season. place: of the first of its causes, from 1, None where the machine's network has
    none of them; strict: of the cause that the fault's sentence names; told: whether anything was
    found that stands; by_call: the same places with what the driver says; first_frac: chance stated
    of whichever cause was put first; first: its key from records
    alone; money: of each policy until it is cured (see `cost`), empty where not asked.
    """

    key: str
    fault: str
    severity: str
    mix: str
    told: bool
    place: int | None
    strict: int | None
    by_call: int | None
    by_call_strict: int | None
    first_frac: float
    by_call_frac: float
    first: str
    money: Mapping[str, float]


@dataclass(frozen=True, eq=False)
class Played:
    """A season watched to its end."""

    planted: Planted | None
    machine_key: str
    standing: tuple[Finding, ...]
    bales: BaleTable
    events: tuple[Event, ...]


def play(case: Case) -> Played | None:
    """The season of a case, and what stands at its end; None where no machine drawn can show it."""
    chance = np.random.default_rng([case.seed, 1])
    try:
        drawn = playing.draw(case, chance)
        planted = playing.plant(case, drawn, chance)
    except ValueError:
        return None
    player = replace(drawn.player, planted=() if planted is None else (planted,))
    if case.mix:
        player = replace(player, slipping=advance_of(STRESS_PACK[case.mix]))
    season = rehearse_season(
        (player,), playing.season_plan(), np.random.default_rng([case.seed, 2])
    )
    if planted is not None and season.truth[0].faults[0].first_bale is None:
        return None
    records, events = playing._records(case, season)
    bales = records.bales.take(np.argsort(made_us(records.bales), kind="stable"))
    machine = drawn.player.machine
    about = WatchedMachine("M", machine, {"s": drawn.sheet}, events, playing.kind_of(drawn.key))
    found = watch(bales, about).findings
    now_us = int(made_us(bales).max())
    episodes = follow((), found, now_us, judge("M", machine, bales))
    standing = tuple(
        one.finding
        for one in episodes
        if one.state is EpisodeState.OPEN and one.under is None and one.joined is None
    )
    return Played(planted, drawn.key, standing, bales, events)


def rank(case: Case) -> Ranked | None:
    """The place of the true cause."""
    played = None if case.fault is None else play(case)
    if played is None or played.planted is None or case.fault is None:
        return None
    network, seen = records_show(played)
    truth = causes_of(case.fault, played.planted.severity)
    call = {**seen, **_call(network, case.fault, played.planted)}
    plain, called = _order(network, seen), _order(network, call)
    places = network.cause_by_key
    return Ranked(
        case.key, case.fault.value, case.severity, case.mix, bool(played.standing),
        _place(plain, truth), _place(plain, truth[:1]), _place(called, truth),
        _place(called, truth[:1]), plain[0][1], called[0][1], plain[0][0],
        policies(Call(case.key, network, truth[0], call)) if truth[0] in places else {},
    )  # fmt: skip


def records_show(played: Played) -> tuple[Network, Mapping[str, Seen]]:
    """The machine's part of the network, and the evidence of its records."""
    columns = known_columns(played.bales)
    machine = playing.shipped_profiles()[played.machine_key]
    network = shipped_network().for_machine(machine_facts(machine, columns))
    known = columns | told_beside(played.events)
    return network, observe_findings(network, played.standing, known, played.bales.rows)


def _call(network: Network, fault: FaultKind, planted: Planted) -> dict[str, Seen]:
    """What the driver says, where one would notice, and how it came."""
    said = SAID.get(fault, ())
    if not said:
        return {}
    heard = dict.fromkeys((*said, CAME[planted.grows]), YES)
    return {key: one for key, one in heard.items() if key in network.observation_by_key}


def _order(network: Network, seen: Mapping[str, Seen]) -> list[tuple[str, float]]:
    laid = lay_out(network)
    return [(one.key, one.behind_frac) for one in rank_laid(laid, weigh(laid, seen)).causes]


def _place(order: Sequence[tuple[str, float]], truth: Sequence[str]) -> int | None:
    places = [place for place, (key, _) in enumerate(order, 1) if key in truth]
    return min(places) if places else None


def run(cases: Iterable[Case], workers: int) -> list[Ranked]:
    """Every faulty season, in the order of the cases."""
    faulty = [case for case in cases if case.fault is not None]
    with ProcessPoolExecutor(workers) as pool:
        return [one for one in pool.map(rank, faulty, chunksize=4) if one is not None]


def share(ranked: Sequence[Ranked], name: str, within: int) -> float:
    """How many have their cause in that place or before, of all."""
    places = [getattr(one, name) for one in ranked]
    return sum(place is not None and place <= within for place in places) / max(len(ranked), 1)


def main() -> None:
    """Play, and print a table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--tuning", action="store_true")
    parser.add_argument("--quick", action="store_true")
    parser.add_argument("--no-stress", action="store_true")
    parser.add_argument("--results", type=Path, help="keep every season's row here, as JSON")
    parser.add_argument("--into", type=Path, help="write the tables below the mark of this page")
    parser.add_argument("--workers", type=int, default=2)
    options = parser.parse_args()
    first = TUNING if options.tuning else REPORTING
    plain = run(plain_cases(first, options.quick), options.workers)
    stress = [] if options.no_stress else run(stress_cases(first, options.quick), options.workers)
    if options.results:
        options.results.write_text(json.dumps([asdict(one) for one in (*plain, *stress)]))
    told = "\n".join(table(plain, stress))
    if options.into:
        head = options.into.read_text().partition(MARK)[0]
        options.into.write_text(f"{head}{MARK}\n\n{told}\n")
    else:
        print(told)


def table(plain: Sequence[Ranked], stress: Sequence[Ranked]) -> list[str]:
    """Shares by kind of season, and by fault."""
    lines = [HEAD, "|---|---|---|---|---|---|---|---|"]
    rows = {
        "plain, all": plain,
        "plain, something found": [one for one in plain if one.told],
        "plain, moderate": [one for one in plain if one.severity == "moderate"],
        "plain, severe": [one for one in plain if one.severity == "severe"],
        "stress, all": stress,
        "stress, something found": [one for one in stress if one.told],
    }
    lines += [_row(name, several) for name, several in rows.items() if several]
    lines += ["", *lines[:2]]
    for fault in FaultKind:
        several = [one for one in plain if one.fault == fault.value]
        if several:
            lines.append(_row(fault.value, several))
    lines += ["", "How often the first cause is true:", "", *calibration(plain)]
    lines += ["", "Money until cured, as multiples of knowing the answer:", ""]
    lines += costs_told({"plain": plain, "stress": stress})
    return lines


def calibration(ranked: Sequence[Ranked]) -> list[str]:
    """How often the first cause was true, by the chance stated of it; then the log score."""
    lines = [
        "| stated | records alone: n | true | with the call: n | true |",
        "|---|---|---|---|---|",
    ]
    columns = (("first_frac", "place"), ("by_call_frac", "by_call"))
    for low, high in pairwise(BINS):
        cells = [f"{low:.0%} to {min(high, 1.0):.0%}"]
        for frac, place in columns:
            there = [one for one in ranked if low <= getattr(one, frac) < high]
            cells += [str(len(there)), f"{share(there, place, 1):.0%}" if there else "-"]
        lines.append("| " + " | ".join(cells) + " |")
    for name, (frac, place) in zip(("records alone", "with the call"), columns, strict=True):
        hits = np.array([getattr(one, place) == 1 for one in ranked], dtype=float)
        said = np.clip([getattr(one, frac) for one in ranked], 1e-6, 1.0 - 1e-6)
        base = np.clip(hits.mean(), 1e-6, 1.0 - 1e-6)
        scores = [-np.mean(hits * np.log(p) + (1 - hits) * np.log(1 - p)) for p in (said, base)]
        lines += ["", f"{name}: log score {scores[0]:.3f}, of the base rate {scores[1]:.3f}."]
    return lines


def costs_told(groups: Mapping[str, Sequence[Ranked]]) -> list[str]:
    """Mean money of each policy over the mean of knowing the answer, and how many were cured."""
    lines = ["| seasons | costs | step by step | cured by it | repairs by the first ranking "
             "| fixed order |", "|---|---|---|---|---|---|"]  # fmt: skip
    for group, ranked in groups.items():
        rows = [one.money for one in ranked if one.money]
        if not rows:
            continue
        for name in (*SCALES, "rates wrong"):
            known = "as they are" if name == "rates wrong" else name
            knowing = np.mean([row[f"knowing, {known}"] for row in rows])
            cells = [group, name]
            for policy in ("step by step", "cured", "first ranking", "fixed order"):
                key = f"{policy}, {name}"
                if key not in rows[0]:
                    cells.append("-")
                    continue
                mean = np.mean([row[key] for row in rows])
                cells.append(f"{mean:.0%}" if policy == "cured" else f"{mean / knowing:.2f}")
            lines.append("| " + " | ".join(cells) + " |")
    return lines


def _row(name: str, several: Sequence[Ranked]) -> str:
    figures = [
        share(several, column, within)
        for column, within in (
            ("place", 1), ("place", 3), ("strict", 1), ("by_call", 1), ("by_call", 3),
            ("by_call_strict", 1),
        )
    ]  # fmt: skip
    return f"| {name} | {len(several)} | " + " | ".join(f"{one:.0%}" for one in figures) + " |"


if __name__ == "__main__":
    main()
