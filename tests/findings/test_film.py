"""The film of many bales counted at once, against one bale at a time."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

import numpy as np
import pytest

from balewright.findings.film import ROLL_LOST, UNTOLD, count_film
from balewright.findings.planned import plan_of
from balewright.findings.watched import watch_machine
from balewright.plan.machine import Machine
from balewright.plan.sheet.sheet import Sheet
from balewright.records.bales import BaleTable, masked_table

MakeBales = Callable[..., BaleTable]


def scattered(bales: BaleTable, seed: int) -> BaleTable:
    """The bales with turns, losses, rolls, widths and diameters of every kind."""
    chance, rows = np.random.default_rng(seed), bales.rows
    values = dict(bales.values)
    known = dict(bales.known)

    def put(name: str, given: np.ndarray, where: np.ndarray) -> None:
        values[name], known[name] = given, where

    everywhere = np.ones(rows, dtype=np.bool_)
    put("wrap_turns", np.round(chance.uniform(0.0, 30.0, rows), 1), everywhere)
    put("diameter_m", chance.uniform(0.9, 1.7, rows), chance.random(rows) < 0.8)
    put("film_width_m", chance.choice([0.5, 0.75], rows), chance.random(rows) < 0.5)
    put("rolls_on", chance.choice([1, 2], rows, p=[0.2, 0.8]), everywhere)
    put("roll_lost", chance.integers(1, 3, rows), chance.random(rows) < 0.4)
    put("roll_lost_turn", np.round(chance.uniform(0.0, 20.0, rows), 1), everywhere)
    for name in ("film1_m", "film2_m"):
        known[name] = np.zeros(rows, dtype=np.bool_)
    return masked_table(rows, values, known)


@pytest.mark.reference
@pytest.mark.parametrize("dispensers", [1, 2])
def test_layers_counted_together_are_those_of_each_bale(
    make_bales: MakeBales, ring: Machine, sheets: Mapping[str, Sheet], dispensers: int
) -> None:
    """Thinnest spot, share short and widest sliver are what the plain count of the plan gives for
    the same diameter, strip and turns: lost rolls, rolls not on, odd half turns and all.
    """
    assert ring.wrapper is not None
    machine = replace(ring, wrapper=replace(ring.wrapper, dispensers=dispensers))
    bales = scattered(make_bales(250), dispensers)
    plans = plan_of(sheets, machine)
    film = count_film(
        watch_machine("R", machine, bales, plans), plans["s1"], np.ones(250, dtype=np.bool_)
    )
    causes = set(film.cause.tolist())
    assert ROLL_LOST in causes
    told = 0
    for row in range(250):
        laid = film.laid(row)
        if laid is None or max(laid.turns) < 0.5:
            continue
        plain = plans["s1"].count(laid.diameter_m, laid.strip_m, laid.turns)
        assert film.thinnest[row] == plain.thinnest
        assert film.short_frac[row] == pytest.approx(plain.short_frac, abs=1e-9)
        assert film.sliver_m[row] == pytest.approx(plain.sliver_m, abs=1e-8)
        told += 1
    assert told > 200


@pytest.mark.law
def test_a_strip_too_wide_for_the_bale_read_is_not_counted(
    make_bales: MakeBales, ring: Machine, sheets: Mapping[str, Sheet]
) -> None:
    """A diameter read as 0.35 m makes no layers of that bale, and does not stop the others."""
    plans = plan_of(sheets, ring)
    watched = watch_machine("R", ring, make_bales(20, {(7, 8): {"diameter_m": 0.35}}), plans)
    film = count_film(watched, plans["s1"], np.ones(20, dtype=np.bool_))
    assert np.flatnonzero(film.cause == UNTOLD).tolist() == [7]
    assert (film.thinnest[film.told] >= 6).all()
