"""How long the checks against the plan take, a check at a time.

    python bench/plan_checks.py [--bales N] [--rounds N] [--broken]

One machine with every sensor the checks read, drawn from a fixed seed: by default a season in
order, with `--broken` one on which something of everything is wrong (findings cost more than bales
in order). Prints milliseconds of processor time for 1,000 bales by check (the fastest round), and
in the same run the ratio to the plain twins of what is compiled or counted once: runs bale by
bale, layers one kind of bale at a time. The first round, which loads or compiles the kernels, is
not counted.
"""

from __future__ import annotations

import argparse
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np

from balewright.findings import against_plan
from balewright.findings.film import Film, count_film
from balewright.findings.planned import PlannedBale, plan_of
from balewright.findings.runs import supported_runs
from balewright.findings.watched import watch_machine
from balewright.plan.crop import Crop
from balewright.plan.film.layers import Bale, count_layers
from balewright.plan.film.strip import Film as FilmRoll
from balewright.plan.sheet.rules import plan_bale
from balewright.plan.sheet.sheet import Conditions, Sheet
from balewright.readers.profile import shipped_profiles
from balewright.records.bales import BaleTable, bale_table

sys.path.insert(0, str(Path(__file__).parents[1] / "tests" / "findings"))
from plain_runs import plain_supported_runs

SEED = 7
START_US = 1_900_000_000_000_000
RING = "mossgrinder-m2"


def put(line: str) -> None:
    """Print one line at once."""
    sys.stdout.write(line + "\n")
    sys.stdout.flush()


def sheet_of_bench() -> Sheet:
    """A sheet by the rules for grass silage of middling rows."""
    film = FilmRoll(0.75, 25e-6, 1500.0, 0.70)
    conditions = Conditions(
        Crop.GRASS_SILAGE, 0.55, 4.0, 2.5, 0.0, False, False, film, 3000.0, 6.0, 1200
    )
    return plan_bale(shipped_profiles()[RING], conditions, None, "bench")


def number(sheet: Sheet, key: str) -> float:
    """A line of the sheet that it must have."""
    value = sheet.number(key)
    assert value is not None
    return value


def season(count: int, broken: bool) -> BaleTable:
    """Bales of one machine with a full set of sensors; scatter as of common sensors."""
    chance = np.random.default_rng(SEED)
    sheet = sheet_of_bench()
    turns = number(sheet, "wrap_turns")
    diameter = sheet.expected.diameter_m.best + 0.012 * chance.standard_t(5, count)
    way_m = 2.0 * (diameter + sheet.expected.length_m)
    at = START_US + np.cumsum(chance.integers(55, 80, count)) * 1_000_000
    volume = np.pi / 4.0 * diameter**2 * sheet.expected.length_m
    moisture = np.clip(0.55 + 0.03 * chance.standard_normal(count), 0.3, 0.75)
    dry = (sheet.expected.dry_matter_kg.best / volume.mean()) * volume
    columns: dict[str, Any] = {
        "machine": ["RING-1"] * count, "bale_no": np.arange(100, 100 + count),
        "sheet": ["s"] * count, "status": ["ok"] * count, "mode": ["automatic"] * count,
        "job": [f"field {row // 90}" for row in range(count)],
        "crop": ["grass silage"] * count, "tip_side": ["round"] * count,
        "binding": ["net"] * count, "diameter_how": ["sensed"] * count,
        "mass_how": ["sensed"] * count, "moisture_how": ["sensed"] * count,
        "wrap_turns": np.full(count, turns), "rolls_on": np.full(count, 2),
        "wrap_rpm": np.full(count, number(sheet, "wrap_rpm")),
        "wrap_bale_turns": turns * 0.475 / (np.pi * diameter),
        "binding_turns": np.full(count, number(sheet, "binding_turns")),
        "gate_opening_mm": 20.0 + chance.standard_normal(count),
        "chamber_bar": number(sheet, "chamber_bar") + 3.0 * chance.standard_normal(count),
        "diameter_m": diameter, "diameter_left_m": diameter + 0.005, "moisture_frac": moisture,
        "diameter_right_m": diameter - 0.005, "mass_kg": dry / (1.0 - moisture),
        "said_layers": np.full(count, 6.0), "said_stretch_frac": np.full(count, 0.70),
        "knife_bar": np.full(count, 38.0), "speed_m_s": np.full(count, 2.5),
        "supply_min_v": 12.6 + 0.1 * chance.standard_normal(count),
        "oil_c": 50.0 + chance.standard_normal(count), "air_c": np.full(count, 22.0),
    }  # fmt: skip
    columns["binding_m"] = columns["binding_turns"] * np.pi * diameter
    for name in ("film1_m", "film2_m"):
        columns[name] = turns * way_m / 1.70 * (1.0 + 0.008 * chance.standard_normal(count))
    columns["film_m"] = columns["film1_m"] + columns["film2_m"]
    wrap_s = 60.0 * turns / columns["wrap_rpm"] + 3.0
    for name, after_s in (
        ("closed_at", 0.0), ("full_at", 38.0), ("bind_start_at", 41.0), ("bind_end_at", 49.0),
        ("gate_open_at", 50.0), ("on_wrapper_at", 54.0), ("wrap_start_at", 56.0),
    ):  # fmt: skip
        columns[name] = at + int(after_s * 1e6)
    columns["wrap_end_at"] = columns["wrap_start_at"] + (wrap_s * 1e6).astype(np.int64)
    columns["tipped_at"] = columns["wrap_end_at"] + 4_000_000
    if broken:
        break_it(columns, count)
    return bale_table(count, columns)


def break_it(columns: dict[str, Any], count: int) -> None:
    """Something of everything: each fault on a twelfth of the season."""
    part = count // 12
    for place, (name, factor) in enumerate(
        (("wrap_turns", 0.8), ("film1_m", 0.88), ("binding_turns", 0.7), ("gate_opening_mm", 0.5),
         ("mass_kg", 0.7), ("moisture_frac", 1.35), ("diameter_m", 1.12), ("bale_no", 2)),
    ):  # fmt: skip
        rows = slice(place * part, (place + 1) * part)
        columns[name] = np.array(columns[name])
        columns[name][rows] = columns[name][rows] * factor


def milliseconds(work: Callable[[], object], rounds: int) -> float:
    """Processor time of the fastest of some rounds after one that does not count."""
    took = []
    for _ in range(rounds + 1):
        began = time.process_time()
        work()
        took.append(time.process_time() - began)
    return 1000.0 * min(took[1:])


def counted_one_by_one(film: Film, plan: PlannedBale) -> None:
    """Every kind of bale once, as the plan counts one bale."""
    known = {}
    for row in np.flatnonzero(film.told):
        laid = film.laid(int(row))
        if laid is not None and laid not in known:
            bale = Bale(laid.diameter_m, plan.bale.length_m)
            known[laid] = count_layers(
                bale, plan.wrapping(laid.diameter_m, laid.strip_m, laid.turns)
            )


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--bales", type=int, default=1200)
    parser.add_argument("--rounds", type=int, default=7)
    parser.add_argument("--broken", action="store_true")
    options = parser.parse_args()
    machine = shipped_profiles()[RING]
    sheets = {"s": sheet_of_bench()}
    bales = season(options.bales, options.broken)
    scale = 1000.0 / options.bales
    plans = plan_of(sheets, machine)

    def watched() -> Any:
        return watch_machine("RING-1", machine, bales, plans)

    put("| check | ms for 1,000 bales | findings |")
    put("|---|---|---|")
    ordering = milliseconds(watched, options.rounds)
    put(f"| putting bales in order | {scale * ordering:.3f} | |")
    for check in against_plan.CHECKS:
        took = milliseconds(lambda check=check: list(check(watched())), options.rounds) - ordering
        put(f"| {check.__name__} | {scale * took:.3f} | {len(list(check(watched())))} |")
    whole = milliseconds(
        lambda: against_plan.find_against_plan(bales, machine, sheets), options.rounds
    )
    found = against_plan.find_against_plan(bales, machine, sheets)
    put(f"| all, as called | {scale * whole:.3f} | {len(found)} |")
    put(f"\n{options.bales} bales of one machine: {whole:.2f} ms")
    put("\n| against its plain twin | ms for 1,000 bales | plain | ratio |")
    put("|---|---|---|---|")
    out = np.random.default_rng(SEED).random(options.bales) < 0.3
    judged = np.ones(options.bales, dtype=np.bool_)
    plan = plans["s"]
    for name, quick, plain in (
        ("runs", lambda: supported_runs(out, judged), lambda: plain_supported_runs(out, judged)),
        (
            "layers",
            lambda: count_film(watched(), plan, judged),
            lambda: counted_one_by_one(count_film(watched(), plan, judged), plan),
        ),
    ):
        ours, twin = (scale * milliseconds(work, options.rounds) for work in (quick, plain))
        put(f"| {name} | {ours:.3f} | {twin:.2f} | {twin / ours:.0f} |")


if __name__ == "__main__":
    main()
