"""The film each bale got, by its own record."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import numpy as np
import pytest

from balewright.findings.recorded import record_film
from balewright.plan.machine import Machine
from balewright.plan.sheet.sheet import Sheet
from balewright.records.bales import BaleTable

MakeBales = Callable[..., BaleTable]


@pytest.mark.law
def test_bales_that_keep_the_sheet_have_the_layers_wanted(
    make_bales: MakeBales, ring: Machine, sheets: Mapping[str, Sheet]
) -> None:
    """Every bale has at least the six layers its sheet wants, and none is called short."""
    film = record_film(make_bales(60, {}), ring, sheets, 600)
    assert (film.wanted == 6).all()
    assert (film.thinnest >= 6).all()
    assert not film.short.any()


@pytest.mark.derived
def test_a_bale_that_lost_a_roll_is_short_and_is_the_one_drawn(
    make_bales: MakeBales, ring: Machine, sheets: Mapping[str, Sheet]
) -> None:
    """Hand arithmetic: the two dispensers lay turns of 5 and 14 on 1.25 m, not 14 and 14, so
    that the mean on the round side falls by 19 / 28 where the advance stays the same.
    """
    bales = make_bales(60, {(59, 60): {"roll_lost": 1, "roll_lost_turn": 5.0, "diameter_m": 1.25}})
    film = record_film(bales, ring, sheets, 600)
    assert film.short.tolist() == [False] * 59 + [True]
    assert film.newest is not None
    assert film.newest.bale_no == 159
    assert film.newest.wrapping.turns == (5.0, 14.0)
    assert film.newest.count.thinnest == film.thinnest[-1] < 6
    whole = 2 * (14 + 14) * 0.60 / (np.pi * 1.25)
    assert film.newest.count.round_mean == pytest.approx(whole * 19 / 28, rel=1e-4)


@pytest.mark.law
def test_what_a_bale_does_not_tell_stays_unknown(
    make_bales: MakeBales, ring: Machine, sheets: Mapping[str, Sheet]
) -> None:
    """No turns and no metres: no number; a nominal diameter: not drawn; no sheet: nothing."""
    silent = {"wrap_turns": None, "film1_m": None, "film2_m": None, "film_m": None}
    bales = make_bales(
        60, {(57, 59): {"diameter_m": 1.25, "diameter_how": "nominal"}, (59, 60): silent}
    )
    film = record_film(bales, ring, sheets, 10)
    assert np.isnan(film.thinnest).tolist() == [False] * 9 + [True]
    assert film.newest is not None
    assert film.newest.bale_no == 156
    assert film.newest.sized
    untold = record_film(bales, ring, {}, 10)
    assert np.isnan(untold.thinnest).all()
    assert np.isnan(untold.wanted).all()
    assert untold.newest is None


@pytest.mark.law
def test_layers_do_not_depend_on_the_order_of_the_table(
    make_bales: MakeBales, ring: Machine, sheets: Mapping[str, Sheet]
) -> None:
    """The same bales backwards have the same layers backwards."""
    bales = make_bales(40, {(30, 34): {"wrap_turns": 9.0, "film1_m": 26.0, "film2_m": 26.0}})
    forward = record_film(bales, ring, sheets, 40)
    backward = record_film(bales.take(np.arange(40)[::-1]), ring, sheets, 40)
    assert forward.thinnest.tolist() == backward.thinnest.tolist()[::-1]
    assert forward.short.any()


@pytest.mark.law
def test_where_no_diameter_is_measured_the_planned_one_is_drawn_and_said(
    make_bales: MakeBales, ring: Machine, sheets: Mapping[str, Sheet]
) -> None:
    """A machine without that sensor still shows the turns of its newest bale, and says so."""
    bales = make_bales(20, {(0, 20): {"diameter_m": None}, (19, 20): {"wrap_turns": 11.0}})
    newest = record_film(bales, ring, sheets, 20).newest
    assert newest is not None
    assert (newest.bale_no, newest.sized, newest.bale.diameter_m) == (119, False, 1.25)
    assert newest.wrapping.turns == (11.0, 11.0)
