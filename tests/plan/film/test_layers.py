"""Layers on a bale: the trade's numbers, hand values, laws, and a count on random points."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balewright.plan.film.layers import Bale, Wrapping, bale_turn_from_advance, count_layers
from balewright.quantities.errors import BadInput

BALE = Bale(diameter_m=1.25, length_m=1.23)
PLAN = Wrapping(strip_m=0.60, bale_turn=0.125, turns=(12.0, 12.0), need_layers=6)

BALES = st.builds(Bale, st.floats(0.9, 1.6), st.just(1.23))
TURNS = st.integers(1, 30).map(lambda halves: halves / 2)
WRAPPINGS = st.builds(
    Wrapping,
    strip_m=st.floats(0.3, 0.9),
    bale_turn=st.floats(0.03, 0.3),
    turns=st.one_of(st.tuples(TURNS), st.tuples(TURNS, TURNS)),
    need_layers=st.integers(1, 8),
    bale_turn_one_roll=st.one_of(st.none(), st.floats(0.03, 0.3)),
)


@pytest.mark.practice
@pytest.mark.check(model="film.layers", source="practice")
@pytest.mark.parametrize(
    ("turns", "layers"), [((12, 12), 6), ((16, 16), 8), ((24,), 6), ((32,), 8), ((12,), 2)]
)
def test_layers_are_half_the_turns_with_two_rolls(turns: tuple[int, ...], layers: int) -> None:
    """12 turns of two rolls give 6 layers and 16 give 8; one roll takes twice the turns.

    Common practice, no source; at an eighth of a bale turn and a strip of 0.60 m. 12 turns of one
    roll give 2 and not 3: computed twice, independently.
    """
    wrapping = replace(PLAN, turns=tuple(map(float, turns)))
    assert count_layers(BALE, wrapping).thinnest == layers


@pytest.mark.published
@pytest.mark.check(model="film.layers", source="stankiewicz-2019")
@pytest.mark.parametrize(("overlap", "layers"), [(1 / 2, 2), (2 / 3, 3), (3 / 4, 4)])
def test_overlaps_that_waste_no_film(overlap: float, layers: int) -> None:
    """At overlaps of 1/2, 2/3 and 3/4 every strip counts: 2, 3, 4 layers all over, none wasted.

    Source: Stankiewicz, Agriculture 9(12):248, 2019 (abstract): least film at irreducible
    fractions whose dividend is the divisor less one, and no robustness there: a little less
    overlap loses a layer, while film that a little more overlap costs is wasted.
    """

    def wrapped(overlap: float) -> tuple[int, float]:
        strips = 32  # evenly round the bale, so 16 turns of one roll in one turn of the bale
        strip_m = math.pi * 1.25 / strips / (1.0 - overlap)
        count = count_layers(BALE, Wrapping(strip_m, 1 / 16, (16.0,), need_layers=layers))
        return count.thinnest, count.round_mean

    thinnest, mean = wrapped(overlap)
    assert thinnest == layers
    assert mean == pytest.approx(layers, abs=1e-6)
    assert wrapped(overlap - 0.01)[0] == layers - 1
    assert wrapped(overlap + 0.01)[0] == layers
    assert wrapped(overlap + 0.01)[1] > layers + 0.03


@pytest.mark.published
@pytest.mark.check(model="film.layers", source="uk-baleage-q14")
@pytest.mark.parametrize("strips", [16, 20, 32])
def test_two_and_two(strips: int) -> None:
    """At half overlap one turn of the bale lays two layers and the second two more: four.

    Source: University of Kentucky Forages, baleage question 14, the "2+2 system". So many strips
    of one roll go round the bale in its turn; a hundredth less overlap leaves a layer less.
    """

    def after(bale_turns: int, overlap: float) -> int:
        strip_m = math.pi * 1.25 / strips / (1.0 - overlap)
        turns = strips / 2  # each wrap turn lays two strips
        wrapping = Wrapping(strip_m, 1 / turns, (turns * bale_turns,), need_layers=4)
        return count_layers(BALE, wrapping).thinnest

    assert [after(1, 0.50), after(2, 0.50)] == [2, 4]
    assert after(1, 0.49) == 1


@pytest.mark.derived
def test_mean_by_area() -> None:
    """The mean on the round side is 4 x turns x w / (pi D) = 7.33."""
    mean = count_layers(BALE, PLAN).round_mean
    assert mean == pytest.approx(4 * 12 * 0.60 / (math.pi * 1.25), abs=1e-9)
    assert mean == pytest.approx(7.33, abs=5e-3)


@pytest.mark.derived
@pytest.mark.parametrize(
    ("diameter_m", "strip_m", "thinnest", "mean", "short_frac"),
    [
        (1.25, 0.60, 6, 7.33, 0.0),
        (1.35, 0.60, 5, 6.79, 0.09),
        (1.45, 0.60, 4, 6.32, 0.26),
        (1.45, 0.55, 4, 5.80, 0.39),
    ],
)
def test_cliff_at_the_surface_advance_of_a_machine(
    diameter_m: float, strip_m: float, thinnest: int, mean: float, short_frac: float
) -> None:
    """A fatter bale or a narrower strip falls off a cliff at the same 12 turns.

    Source: computed twice, independently of this code, at an advance of 0.491 m.
    """
    turn = bale_turn_from_advance(0.491, diameter_m)
    count = count_layers(Bale(diameter_m, 1.23), replace(PLAN, strip_m=strip_m, bale_turn=turn))
    assert count.thinnest == thinnest
    assert count.round_mean == pytest.approx(mean, abs=5e-3)
    assert count.short_frac == pytest.approx(short_frac, abs=5e-3)


@pytest.mark.derived
def test_cliff_at_a_held_eighth() -> None:
    """Held at k = 1/8, 1.45 m with a strip of 0.55 m has 3 layers and 6.8 % short of 6.

    Source: computed twice, independently of this code. By hand: 48 crossings on 16 generators,
    three on each; two strips of 0.55 m overlap except where they leave 16 gaps.
    """
    count = count_layers(Bale(1.45, 1.23), replace(PLAN, strip_m=0.55))
    assert count.thinnest == 3
    assert count.short_frac == pytest.approx(0.068, abs=5e-4)
    girth_m = math.pi * 1.45
    assert count.sliver_m == pytest.approx(girth_m / 8 - 0.55, abs=1e-9)
    assert count.short_frac == pytest.approx(16 * (girth_m / 8 - 0.55) / girth_m, abs=1e-9)


@pytest.mark.derived
def test_even_spread_by_hand() -> None:
    """At k = 1/8 one roll returns to 16 generators; the thin spot lies where strips only meet.

    Hand: 24 turns are 48 crossings, three on each of 16 generators 1/16 apart. A strip is
    2.4446/16 of the girth wide, so every place has 2 or 3 generators in reach: 6 or 9 layers,
    9 on the share 0.4446.
    """
    count = count_layers(BALE, replace(PLAN, turns=(24.0,)))
    assert set(count.arcs.layers) == {6, 9}
    wide = 0.60 / (math.pi * 1.25) * 16 - 2
    nines = zip(count.arcs.layers, count.arcs.lengths(), strict=True)
    assert math.fsum(length for n, length in nines if n == 9) == pytest.approx(wide, abs=1e-9)


@pytest.mark.derived
def test_binding_film_helps_the_round_side_only() -> None:
    """Three layers of binding film make 4 into 7 on the round side; the flat sides keep theirs."""
    turn = bale_turn_from_advance(0.491, 1.45)
    fat, bare = Bale(1.45, 1.23), replace(PLAN, bale_turn=turn)
    without, bound = count_layers(fat, bare), count_layers(fat, replace(bare, binding_layers=3))
    assert (without.thinnest_with_binding, bound.thinnest_with_binding) == (4, 7)
    assert (without.thinnest, without.short_frac) == (bound.thinnest, bound.short_frac)
    assert (bound.bound_short_frac, bound.bound_sliver_m) == (0.0, 0.0)
    assert without.flats == bound.flats


@pytest.mark.derived
def test_thin_spot_is_where_it_says() -> None:
    """The place given for the thin spot has the fewest layers of the round side."""
    turn = bale_turn_from_advance(0.491, 1.35)
    count = count_layers(Bale(1.35, 1.23), replace(PLAN, bale_turn=turn))
    assert count.arcs.at(count.thin_at_frac) == count.thinnest == 5


@pytest.mark.derived
def test_thousands_of_turns() -> None:
    """2000 turns of two rolls at k = 1/8 lie like twelve: 500 on each of 16 generators.

    Hand: 2 or 3 generators are in reach of every place, so there are 1000 or 1500 layers.
    """
    count = count_layers(BALE, replace(PLAN, turns=(2000.0, 2000.0)))
    assert set(count.arcs.layers) == {1000, 1500}
    assert count.round_mean == pytest.approx(8000 * 0.60 / (math.pi * 1.25), rel=1e-9)


@pytest.mark.derived
def test_strip_round_half_the_bale_is_refused() -> None:
    """A strip that reaches round half of the bale is refused, with the limit named."""
    with pytest.raises(BadInput, match=r"narrower than half the bale's girth \(0\.942 m\)"):
        count_layers(Bale(0.6, 1.2), replace(PLAN, strip_m=0.95))


@pytest.mark.law
@given(BALES, WRAPPINGS)
def test_film_laid_is_the_integral_of_layers(bale: Bale, wrapping: Wrapping) -> None:
    """On the round side the strips' area is the mean number of layers times the side."""
    crossings = sum(int(2 * turns) for turns in wrapping.turns)
    laid = crossings * wrapping.strip_m / (math.pi * bale.diameter_m)
    assert count_layers(bale, wrapping).round_mean == pytest.approx(laid, abs=1e-6)


@pytest.mark.law
@given(BALES, WRAPPINGS, st.sampled_from(["turns", "width", "second roll"]), st.floats(0, 1))
def test_layers_never_fall_with_more_film(
    bale: Bale, wrapping: Wrapping, more: str, place: float
) -> None:
    """More turns, a wider strip or a second roll take no layer from any place or side."""
    held = replace(wrapping, bale_turn_one_roll=None)
    if more == "turns":
        richer = replace(held, turns=tuple(turns + 0.5 for turns in held.turns))
    elif more == "width":
        richer = replace(held, strip_m=held.strip_m * 1.1)
    else:
        held = replace(held, turns=held.turns[:1])
        richer = replace(held, turns=held.turns * 2)
    before, after = count_layers(bale, held), count_layers(bale, richer)
    edges = (*before.arcs.starts, *after.arcs.starts)
    if all(abs((place - edge + 0.5) % 1.0 - 0.5) > 1e-8 for edge in edges):
        assert after.arcs.at(place) >= before.arcs.at(place)
    assert after.thinnest >= before.thinnest
    assert after.short_frac <= before.short_frac + 1e-9
    for richer_flat, flat in zip(after.flats, before.flats, strict=True):
        assert richer_flat.thinnest >= flat.thinnest
        assert richer_flat.short_frac <= flat.short_frac + 1e-9


@pytest.mark.law
@given(BALES, WRAPPINGS)
def test_which_roll_is_lost_changes_nothing(bale: Bale, wrapping: Wrapping) -> None:
    """Swapping the two rolls turns the round side by half and swaps the flat sides, no more."""
    one = count_layers(bale, wrapping)
    other = count_layers(bale, replace(wrapping, turns=wrapping.turns[::-1]))
    assert one.thinnest == other.thinnest
    assert one.short_frac == pytest.approx(other.short_frac, abs=1e-7)
    mirrored = other.flats if len(wrapping.turns) == 1 else other.flats[::-1]
    for mine, theirs in zip(one.flats, mirrored, strict=True):
        assert mine.short_frac == pytest.approx(theirs.short_frac, abs=1e-7)


@pytest.mark.law
@settings(max_examples=40, deadline=None)
@given(BALES, WRAPPINGS, st.integers(0, 2**32 - 1))
def test_exact_count_agrees_with_random_points(bale: Bale, wrapping: Wrapping, seed: int) -> None:
    """Random points, turned with the bale under a ring that stands in space, count the same.

    The points know nothing of arcs or critical radii: at every half turn each one is put where
    the bale has carried it, and its distance to the strip's plane is measured. Means and shares
    agree within five standard errors (a share of 10 points in the sample at least).
    """
    points = 1500
    random = np.random.default_rng(seed)
    side, flat = _count_points(bale, wrapping, random, points)
    count = count_layers(bale, wrapping)
    for layers, mean, share in (
        (side, count.round_mean, count.short_frac),
        (flat, count.flats[0].mean, count.flats[0].short_frac),
    ):
        assert abs(layers.mean() - mean) <= 5 * layers.std() / math.sqrt(points) + 1e-6
        error = math.sqrt(max(share * (1 - share), 10 / points) / points)
        assert abs((layers < wrapping.need_layers).mean() - share) <= 5 * error


def _count_points(
    bale: Bale, wrapping: Wrapping, random: np.random.Generator, points: int
) -> tuple[np.ndarray, np.ndarray]:
    """Layers on random points of the round side and of the first flat side, event by event."""
    radius_m = bale.diameter_m / 2
    around = random.uniform(0, 2 * math.pi, points)
    on_flat = random.uniform(0, 2 * math.pi, points), radius_m * np.sqrt(random.random(points))
    side, flat = np.zeros(points), np.zeros(points)
    one_roll = wrapping.bale_turn_one_roll
    later = wrapping.bale_turn if one_roll is None else one_roll
    lost = min(wrapping.turns) if len(wrapping.turns) == 2 else math.inf
    for which, turns in enumerate(wrapping.turns):
        for half in range(int(2 * turns)):
            turned = [
                2 * math.pi * (wrapping.bale_turn * min(at, lost) + later * max(0.0, at - lost))
                for at in (half / 2, half / 2 + 0.25)
            ]
            generator = math.pi * (half + which)  # in space: opposite ends of the ring's plane
            off = np.angle(np.exp(1j * (around + turned[0] - generator)))
            side += np.abs(off) * radius_m < wrapping.strip_m / 2
            if (half + which) % 2 == 0:
                off_m = on_flat[1] * np.sin(on_flat[0] + turned[1])
                flat += np.abs(off_m) <= wrapping.strip_m / 2
    return side, flat
