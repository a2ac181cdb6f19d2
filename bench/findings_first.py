"""How well the first findings do on rehearsed seasons whose truth is known.

    python bench/findings_first.py [--seeds N] [--tuning]

Reporting seeds begin at 90,000 and were not used while the limits were set; tuning seeds begin at
1,000. Prints two tables in Markdown: false findings on clean seasons, and the faults found.
"""

from __future__ import annotations

import argparse
import sys
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from balewright.findings.against_plan import find_against_plan
from balewright.findings.finding import Finding, FindingKind, Weight
from balewright.flows.set_targets import set_targets
from balewright.plan.crop import Crop
from balewright.plan.film.strip import Film
from balewright.plan.machine import Machine, MetresCounted
from balewright.plan.sheet.rules import plan_bale
from balewright.plan.sheet.sheet import Conditions, Sheet
from balewright.readers.profile import shipped_profiles
from balewright.records.bales import BaleTable, masked_table
from balewright.rehearsal.days import SeasonPlan, Site
from balewright.rehearsal.faults import Confuser, ConfuserKind, FaultKind, Planted
from balewright.rehearsal.season import Player, Truth, rehearse_season

REPORTING, TUNING = 90_000, 1_000
BALES = 900
START_US = 1_900_000_000_000_000 - 1_900_000_000_000_000 % 86_400_000_000
POOR = frozenset(
    {
        *("gate_opening_mm", "chamber_bar", "binding_turns", "film1_m", "film2_m", "film_m"),
        *("mass_kg", "moisture_frac", "diameter_m", "bind_start_at", "bind_end_at"),
        *("gate_open_at", "on_wrapper_at", "wrap_start_at"),
    }
)
"""What the poor twin of each make does not record."""

KINDS = {
    FaultKind.STRETCH: {FindingKind.STRETCH_UNEQUAL, FindingKind.STRETCH_OFF},
    FaultKind.WRAP_TURNS: {FindingKind.LAYERS_SHORT},
    FaultKind.BINDING_TURNS: {FindingKind.BINDING_SHORT},
    FaultKind.GATE: {FindingKind.GATE_OPENING_OFF, FindingKind.DENSITY_LOW},
    FaultKind.WAITING: {FindingKind.WRAPPED_LATE},
    FaultKind.COUNTER: {
        FindingKind.COUNTER_CHANGED,
        FindingKind.NUMBER_MISSING,
        FindingKind.NUMBER_REPEATED,
    },
}
# fault, what it is called in the table, severity, bales over which it grows
FAULTS = (
    ("stretch slips by 6 points", FaultKind.STRETCH, -0.06, 0),
    ("stretch slips by 12 points", FaultKind.STRETCH, -0.12, 0),
    ("stretch 12 points too high, over 200 bales", FaultKind.STRETCH, 0.12, 200),
    ("1 wrap turn missing", FaultKind.WRAP_TURNS, 1, 0),
    ("3 wrap turns missing", FaultKind.WRAP_TURNS, 3, 0),
    ("0.3 binding turns missing", FaultKind.BINDING_TURNS, 0.3, 0),
    ("0.8 binding turns missing", FaultKind.BINDING_TURNS, 0.8, 0),
    ("gate opens 5 mm less, over 200 bales", FaultKind.GATE, 5, 200),
    ("gate opens 12 mm less, over 200 bales", FaultKind.GATE, 12, 200),
    ("bales wait 40 s", FaultKind.WAITING, 40, 0),
    ("bales wait 150 s, over 100 bales", FaultKind.WAITING, 150, 100),
    ("counter reset", FaultKind.COUNTER, 1, 0),
    ("numbers left out", FaultKind.COUNTER, 2, 0),
    ("numbers given twice", FaultKind.COUNTER, 3, 0),
)


@dataclass(frozen=True)
class Case:
    """One rehearsed machine-season with what was found in it."""

    label: str
    truth: Truth
    findings: tuple[Finding, ...]
    bales: BaleTable
    machine: Machine
    sheets: dict[str, Sheet]


def put(line: str) -> None:
    """Print one line at once."""
    sys.stdout.write(line + "\n")
    sys.stdout.flush()


@dataclass(frozen=True)
class How:
    """What a season is like: confusers on some jobs, rough records."""

    confused: bool = True
    rough: bool = False


def season(machine: Machine, poor: bool, seed: int, planted: tuple[Planted, ...], how: How) -> Case:
    """One machine's season under drawn conditions."""
    chance = np.random.default_rng([seed, sum(machine.key.encode()), int(poor)])
    wraps = machine.wrapper is not None
    crop = Crop(
        chance.choice(["grass silage", "haylage", "lucerne"] if wraps else ["hay", "straw"])
    )
    moisture = chance.uniform(0.45, 0.6) if wraps else chance.uniform(0.12, 0.15)
    film = Film(0.75, 25e-6, 1500.0, 0.70) if wraps else None
    conditions = Conditions(
        crop, round(moisture, 2), chance.uniform(2.0, 6.0), 2.5, 0.0, False, False, film, 3000.0,
        6.0, BALES,
    )  # fmt: skip
    sheets = {"s": plan_bale(machine, conditions, None, "bench")}
    confusers: tuple[Confuser, ...] = ()
    if how.confused:
        confusers = (
            Confuser(ConfuserKind.FAT_BALES, 4, float(chance.uniform(0.04, 0.12))),
            Confuser(ConfuserKind.WET_MORNING, 8, 0.10),
            Confuser(ConfuserKind.NEW_ROLL, 6, float(chance.normal(0.0, 0.03))),
        )
    sites = (Site("a", 8.0, -38.0), Site("b", 8.1, -38.0))
    player = Player(
        "M", machine, set_targets(machine, sheets["s"]), sites,
        "s", 1, planted, confusers, (), POOR if poor else frozenset(),
    )  # fmt: skip
    played = rehearse_season((player,), SeasonPlan(START_US, BALES), chance)
    bales = roughen(played.bales, chance) if how.rough else played.bales
    findings = find_against_plan(bales, machine, sheets)
    label = machine.title + (", poor sensors" if poor else "")
    return Case(label, played.truth[0], findings, bales, machine, sheets)


ROUGH = {
    "gate_opening_mm": 1.5, "binding_turns": 0.06, "binding_m": 0.3, "mass_kg": 20.0,
    "moisture_frac": 0.015, "film1_m": 0.6, "film2_m": 0.6, "film_m": 1.2, "diameter_m": 0.012,
}  # fmt: skip
"""Scale of the added noise in rough records, in the column's unit."""


def roughen(bales: BaleTable, chance: np.random.Generator) -> BaleTable:
    """The same bales with noise that no sensor model promised: heavy tails (t, 3 degrees of
    freedom) that last from bale to bale (autocorrelation 0.5)."""
    values = dict(bales.values)
    for name, scale in ROUGH.items():
        if not bales.has(name):
            continue
        fresh = chance.standard_t(3, bales.rows)
        for row in range(1, bales.rows):
            fresh[row] = 0.5 * fresh[row - 1] + 0.866 * fresh[row]
        values[name] = np.maximum(values[name] + scale * fresh, 0.0)
    return masked_table(bales.rows, values, bales.known)


def rows_of(case: Case, finding: Finding) -> tuple[int, int]:
    """First and last bale of the season that a finding speaks of (numbers may repeat)."""
    since_us = (finding.since_us or 0) + 100_000  # records are rounded to tenths of a second
    first = int(np.searchsorted(case.truth.closed_us, since_us, side="right")) - 1
    return max(first, 0), min(max(first, 0) + finding.looked_at, BALES)


def is_true(case: Case, finding: Finding) -> bool:
    """Whether the truth bears a finding out although nothing was planted for it."""
    span = slice(*rows_of(case, finding))
    if finding.kind is FindingKind.LAYERS_SHORT:
        return bool(np.median(case.truth.short_frac[span]) > 0.01)
    if finding.kind is FindingKind.MOISTURE_OUTSIDE and finding.planned is not None:
        wet = finding.words.key.endswith("wet")
        level = float(np.median(case.truth.moisture_frac[span]))
        return level > finding.planned - 0.01 if wet else level < finding.planned + 0.01
    return False


def fleet() -> Iterator[tuple[Machine, bool]]:
    """Every shipped make, with its own sensors and with few."""
    for machine in shipped_profiles().values():
        for poor in (False, True):
            yield machine, poor


def can_have(machine: Machine, kind: FaultKind) -> bool:
    """Whether the fault can happen to the machine at all."""
    if kind in (FaultKind.STRETCH, FaultKind.WRAP_TURNS, FaultKind.WAITING):
        return machine.wrapper is not None
    return True


def clean_table(first: int, seeds: int, how: How) -> None:
    """False findings that cost or harm, per 1,000 machine-weeks."""
    for machine, poor in fleet():
        weeks, false, true, kinds = 0, 0, 0, Counter[str]()
        label = ""
        for seed in range(first, first + seeds):
            case = season(machine, poor, seed, (), how)
            label, weeks = case.label, weeks + case.truth.weeks
            for finding in case.findings:
                if finding.weight is Weight.NOTE:
                    continue
                if is_true(case, finding):
                    true += 1
                else:
                    false, kinds = false + 1, kinds + Counter([finding.words.key])
        which = ", ".join(f"{key} {n}" for key, n in kinds.most_common(4)) or "-"
        rate = 1000 * false / weeks
        put(f"| {label} | {weeks} | {false} | {rate:.0f} | {true} | {which} |")


def first_alarm(case: Case, kinds: set[FindingKind], start: int) -> int | None:
    """How many bales after the start the finding first stood (records cut short, by halving)."""

    def stands(count: int) -> bool:
        bales = case.bales.take(np.arange(count))
        found = find_against_plan(bales, case.machine, case.sheets)
        return any(f.kind in kinds and rows_of(case, f)[0] >= start - 40 for f in found)

    low, high = start, BALES
    if not stands(high):
        return None
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if stands(middle) else (middle, high)
    return high - start


def fault_row(name: str, planted: tuple[FaultKind, float, int], seeds: range, how: How) -> None:
    """One fault over machines that can show it: found, start error, bales to the finding."""
    kind, severity, growth = planted
    for machine, poor in fleet():
        if not can_have(machine, kind) or blind(machine, poor, kind):
            continue
        found, errors, delays, label = 0, [], [], ""
        for seed in seeds:
            start = int(np.random.default_rng(seed).integers(250, 450))
            planted_here = (Planted(kind, start, severity, growth),)
            case = season(machine, poor, seed, planted_here, how)
            label = case.label
            hits = [
                rows_of(case, f)[0] - start
                for f in case.findings
                if f.kind in KINDS[kind] and rows_of(case, f)[0] >= start - 40
                and not (f.kind is FindingKind.LAYERS_SHORT and f.words.key.endswith("fat"))
            ]  # fmt: skip
            found += bool(hits)
            errors += [hits[0]] if hits else []
            if hits and seed < seeds.start + 5:
                delays += [first_alarm(case, KINDS[kind], start) or 0]
        said = f"{np.median(errors):+.0f}" if errors else "-"
        late = f"{np.median(delays):.0f}" if delays else "-"
        put(f"| {name} | {label} | {found} of {len(seeds)} | {said} | {late} |")


def blind(machine: Machine, poor: bool, kind: FaultKind) -> str:
    """Why a fault cannot show in this machine's records; empty where it can."""
    needs = {
        FaultKind.STRETCH: {"film1_m", "film2_m", "film_m"},
        FaultKind.WRAP_TURNS: {"wrap_turns"},
        FaultKind.BINDING_TURNS: {"binding_turns", "binding_m"},
        FaultKind.GATE: {"gate_opening_mm", "mass_kg"},
    }.get(kind)
    sensed = {sensor.column for sensor in machine.sensors} - (POOR if poor else frozenset())
    if needs is not None and not needs & sensed:
        return "not sensed"
    after = machine.wrapper and machine.wrapper.metres_counted is MetresCounted.AFTER_STRETCH
    return "counted after the stretch" if kind is FaultKind.STRETCH and after else ""


def main() -> None:
    """Print the tables."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seeds", type=int, default=20)
    parser.add_argument("--clean-seeds", type=int, default=50)
    parser.add_argument("--tuning", action="store_true")
    parser.add_argument("--only", choices=("clean", "faults"))
    options = parser.parse_args()
    first = TUNING if options.tuning else REPORTING
    for title, how in (
        ("no confusers", How(confused=False)),
        ("with confusers", How()),
        ("with confusers, rough records", How(rough=True)),
    ):
        if options.only == "faults":
            break
        put(f"\n| machine, {title} | weeks | false | per 1,000 | true, unplanted | which |")
        put("|---|---|---|---|---|---|")
        clean_table(first, options.clean_seeds, how)
    for title, how in (("plain", How()), ("rough", How(rough=True))):
        if options.only == "clean":
            break
        put(f"\n| fault, {title} records | machine | found | start error | bales to finding |")
        put("|---|---|---|---|---|")
        for name, kind, severity, growth in FAULTS:
            if how.rough and kind in (FaultKind.COUNTER, FaultKind.WAITING):
                continue  # roughness touches neither numbers nor times
            seeds = range(first, first + options.seeds)
            fault_row(name, (kind, severity, growth), seeds, how)


if __name__ == "__main__":
    main()
