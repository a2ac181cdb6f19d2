"""Findings that live on: one matter is one episode, however and whenever it is seen again."""

from __future__ import annotations

import itertools
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balewright.findings.episodes import (
    AsideEnd,
    Episode,
    EpisodeState,
    follow,
    set_aside,
    take_back,
)
from balewright.findings.finding import Finding, FindingKind, Start, Weight
from balewright.findings.judged import Judged
from balewright.findings.outbreaks import REOPENS_BALES
from balewright.findings.runs import APART
from balewright.findings.same_matter import tells
from balewright.quantities.interval import Interval
from findings.episodes_by_hand import MACHINE, by_chart, found, judged_bales, made_us

DAY_US = 86_400_000_000
NOW_US = made_us(100_000)
GATE, LAYERS = FindingKind.GATE_OPENING_OFF, FindingKind.LAYERS_SHORT


def _one(episodes: tuple[Episode, ...]) -> Episode:
    assert len(episodes) == 1
    return episodes[0]


@pytest.mark.derived
def test_an_episode_lives_from_its_first_telling_to_its_end() -> None:
    """It is told, seen again as the same one, closed by the bale that is one too many, and opened
    again when it comes back soon; a return after that is another one."""
    first = _one(follow((), [found(100, 120)], NOW_US, judged_bales(120)))
    assert (first.state, first.number, first.told_us) == (EpisodeState.OPEN, 1, NOW_US)
    later = NOW_US + DAY_US
    again = _one(follow((first,), [found(100, 150)], later, judged_bales(150 + APART)))
    assert again == replace(
        first, finding=found(100, 150), seen_us=later, outbreaks=again.outbreaks
    )
    bales = judged_bales(151 + APART)
    closed = _one(follow((again,), [found(100, 150)], later, bales))
    assert (closed.key, closed.state) == (first.key, EpisodeState.CLOSED)
    assert not closed.withdrawn
    assert closed.closed_us == made_us(151 + APART)
    back = [found(100, 150), found(150 + REOPENS_BALES, 700)]
    opened = _one(follow((closed,), back, later, judged_bales(700)))
    assert (opened.key, opened.opened_again) == (first.key, 1)
    assert (opened.state, opened.closed_us) == (EpisodeState.OPEN, None)


@pytest.mark.derived
def test_what_comes_back_after_long_is_another_episode() -> None:
    """More bales than REOPENS and more than a fortnight between: the next number, told anew."""
    gap = 14 * 24 * 60 + 1
    seen = [found(100, 150), found(150 + gap, 170 + gap)]
    old, new = follow((), seen, NOW_US, judged_bales(170 + gap))
    assert (old.number, old.state) == (1, EpisodeState.CLOSED)
    assert (new.number, new.state, new.opened_again) == (2, EpisodeState.OPEN, 0)
    assert old.key != new.key


@pytest.mark.derived
def test_a_sensor_that_fell_silent_cures_nothing() -> None:
    """However many bales follow, an episode stays open while nobody could have seen it, whether
    the review still finds it or not; a speaking sensor closes it."""
    seen = [found(100, 150)]
    silent = judged_bales(2000, silent_from=151)
    quiet = _one(follow((), seen, NOW_US, silent))
    assert quiet.state is EpisodeState.OPEN
    silent = replace(silent, first_new=1000)
    assert _one(follow((quiet,), [], NOW_US, silent)).state is EpisodeState.OPEN
    gone = _one(follow((quiet,), [], NOW_US, judged_bales(152)))
    assert (gone.state, gone.withdrawn) == (EpisodeState.CLOSED, True)


@pytest.mark.derived
def test_forty_bales_part_outbreaks() -> None:
    """As runs are joined: with forty judged bales between they are one outbreak, with forty-one
    the same episode opened again."""
    bales = judged_bales(210)
    near = _one(follow((), [found(100, 150), found(191, 200)], NOW_US, bales))
    assert [(one.since_bale, one.until_bale) for one in near.outbreaks] == [(100, 200)]
    apart = _one(follow((), [found(100, 150), found(192, 200)], NOW_US, bales))
    assert [(one.since_bale, one.until_bale) for one in apart.outbreaks] == [(100, 150), (192, 200)]
    assert (near.opened_again, apart.opened_again) == (0, 1)


@pytest.mark.derived
def test_a_bale_is_judged_on_what_the_last_bad_one_knew() -> None:
    """Where mass was never weighed, the gate alone shows the trouble gone."""
    seen = [found(100, 150, evidence=("gate_opening_mm", "mass_kg"))]
    assert _one(follow((), seen, NOW_US, judged_bales(300))).state is EpisodeState.CLOSED


@pytest.mark.derived
def test_an_outbreak_that_moves_away_is_the_same_while_it_is_near() -> None:
    """Seen at 160 to 170, later told as 100 to 150: one outbreak with its start revised."""
    first = follow((), [found(160, 170)], NOW_US, judged_bales(180))
    moved = _one(follow(first, [found(100, 150)], NOW_US + 1, judged_bales(180)))
    assert [(one.since_bale, one.until_bale) for one in moved.outbreaks] == [(100, 150)]
    assert [one.since_bale_before for one in moved.revisions] == [160]


@pytest.mark.derived
def test_a_start_that_moves_is_a_revision_of_the_same_episode() -> None:
    """Later records move the likeliest first bale: the key stays, both starts are kept."""
    start = Start(95, 110, made_us(95), made_us(110), 0.9)
    first = _one(follow((), [replace(found(100, 150), start=start)], NOW_US, judged_bales(150)))
    moved = _one(follow((first,), [found(60, 180)], NOW_US + 1, judged_bales(180)))
    assert moved.key == first.key
    assert len(moved.revisions) == 1
    told = moved.revisions[0]
    assert (told.at_us, told.since_bale_before, told.since_bale_after) == (NOW_US + 1, 100, 60)
    assert (told.start_before, told.start_after) == (start, None)


@pytest.mark.derived
def test_episodes_that_late_records_join_are_told_as_the_older() -> None:
    """A finding that spans two makes them one; the younger is kept, closed, and says which."""
    far = 40_000
    two = follow((), [found(100, 150), found(far, far + 50)], NOW_US, judged_bales(far + 50))
    assert [one.number for one in two] == [1, 2]
    old, young = follow(two, [found(100, far + 60)], NOW_US, judged_bales(far + 60))
    assert (old.key, old.state) == (two[0].key, EpisodeState.OPEN)
    assert (young.key, young.joined) == (two[1].key, old.key)
    assert young.state is EpisodeState.CLOSED


@pytest.mark.derived
def test_what_is_set_aside_is_quiet_until_worse_or_its_time() -> None:
    """Seen again, also after a break, it stays aside; half as much again, more weight, the time
    that was set, or taking back end that, and what was said is kept."""
    bales = judged_bales(160)
    told = _one(follow((), [found(100, 150)], NOW_US, bales))
    aside = set_aside(told, "the gate is set like that", NOW_US, "ann", NOW_US + DAY_US)
    assert aside.set_aside is not None
    still = _one(follow((aside,), [found(100, 155, off=11.9)], NOW_US, bales))
    assert (still.state, still.set_aside) == (EpisodeState.SET_ASIDE, aside.set_aside)
    worse = _one(follow((aside,), [found(100, 155, off=12.0)], NOW_US, bales))
    heavy = replace(found(100, 155), weight=Weight.HARM)
    heavier = _one(follow((aside,), [heavy], NOW_US, bales))
    late = _one(follow((aside,), [found(100, 150)], NOW_US + DAY_US, bales))
    back = take_back(aside, NOW_US, "ben")
    ends = [one.aside_before[0].ended_why for one in (worse, heavier, late, back)]
    assert ends == [AsideEnd.WORSE, AsideEnd.WORSE, AsideEnd.TIME, AsideEnd.TAKEN_BACK]
    assert {one.state for one in (worse, heavier, late, back)} == {EpisodeState.OPEN}
    assert back.aside_before[0].reason == "the gate is set like that"
    gone = _one(follow((aside,), [found(100, 150)], NOW_US, judged_bales(300)))
    assert gone.state is EpisodeState.CLOSED
    returned = [found(100, 150), found(310, 320)]
    again = _one(follow((gone,), returned, NOW_US, judged_bales(320)))
    assert again.state is EpisodeState.SET_ASIDE


@pytest.mark.derived
def test_the_same_fact_is_told_once() -> None:
    """A gate measure that moved lies under the gate that is off; once that has ended, or speaks of
    other bales, the measure tells of itself."""
    chart = by_chart(found(90, 150, FindingKind.SHAPE_MOVED), "gate_mm")
    off = found(100, 150)
    bales = judged_bales(150)
    plan, moved = follow((), [chart, off], NOW_US, bales)
    assert (plan.finding.kind, plan.under) == (GATE, None)
    assert moved.under == plan.key
    assert not moved.is_told
    lasts = by_chart(found(90, 250, FindingKind.SHAPE_MOVED), "gate_mm")
    plan, moved = follow((plan, moved), [lasts, off], NOW_US, judged_bales(250))
    assert plan.state is EpisodeState.CLOSED
    assert moved.under is None
    both_over = follow((plan, moved), [chart, off], NOW_US, judged_bales(400))
    assert [one.state for one in both_over] == [EpisodeState.CLOSED] * 2
    assert both_over[1].under == plan.key
    other = replace(chart, evidence=("diameter_left_m",))
    assert [one.under for one in follow((), [other, off], NOW_US, bales)] == [None, None]


@pytest.mark.derived
@pytest.mark.parametrize(("moved_s", "is_told_by"), [(-1.5, True), (1.5, False)])
def test_fewer_turns_take_less_time_and_never_more(moved_s: float, is_told_by: bool) -> None:
    """Binding short of turns says that binding became quicker, and not that it became slower."""
    times = ("bind_start_at", "bind_end_at")
    quick = replace(
        by_chart(found(100, 150, FindingKind.PHASE_TIME_MOVED, evidence=times), "bind_s"),
        moved=Interval(moved_s - 0.1, moved_s, moved_s + 0.1),
    )
    assert tells(found(100, 150, FindingKind.BINDING_SHORT), quick) is is_told_by


@pytest.mark.law
def test_telling_for_another_never_goes_round() -> None:
    """Over all kinds, resting on the same columns: no row of tellings comes back to its start."""
    seen = [
        replace(found(1, 2), kind=kind, measure="m", evidence=("film_m", "gate_opening_mm"))
        for kind in FindingKind
    ]
    reach = {one.kind: {other.kind for other in seen if tells(one, other)} for one in seen}
    for _ in FindingKind:
        reach = {kind: met.union(*(reach[other] for other in met)) for kind, met in reach.items()}
    assert all(kind not in met for kind, met in reach.items())


@pytest.mark.derived
def test_two_sensors_that_stop_apart_are_two_matters() -> None:
    """Silent columns share a kind, yet each has its own episode; one that speaks again leaves the
    other where it was."""

    def silent(since: int, *columns: str) -> Finding:
        return found(since, 400, FindingKind.NOT_WATCHED, evidence=columns)

    bales = judged_bales(400, silent_from=100)
    both = follow((), [silent(100, "gate_opening_mm"), silent(300, "mass_kg")], NOW_US, bales)
    assert [one.state for one in both] == [EpisodeState.OPEN] * 2
    left = follow(both, [silent(300, "mass_kg")], NOW_US, judged_bales(410))
    assert [one.state for one in left] == [EpisodeState.CLOSED, EpisodeState.OPEN]


spans = st.lists(
    st.tuples(
        st.integers(1, 2400), st.integers(0, 300), st.sampled_from([GATE, LAYERS]),
    ),
    max_size=7,
)  # fmt: skip


def _findings(drawn: list[tuple[int, int, FindingKind]]) -> list[Finding]:
    return [found(since, since + length, kind) for since, length, kind in drawn]


def _open(episodes: tuple[Episode, ...]) -> set[tuple[FindingKind, int | None, int | None]]:
    return {
        (one.finding.kind, one.outbreaks[-1].since_bale, one.outbreaks[-1].until_bale)
        for one in episodes
        if one.state is EpisodeState.OPEN
    }


BALES = judged_bales(2700)


@pytest.mark.law
@settings(max_examples=60)
@given(before=spans, now=spans)
def test_following_twice_changes_nothing_and_loses_nothing(
    before: list[tuple[int, int, FindingKind]], now: list[tuple[int, int, FindingKind]]
) -> None:
    """Idempotent; every earlier key is still there; no two lasting episodes of one matter meet."""
    first = follow((), _findings(before), NOW_US, BALES)
    once = follow(first, _findings(now), NOW_US + 1, BALES)
    assert follow(once, _findings(now), NOW_US + 1, BALES) == once
    assert {one.key for one in first} <= {one.key for one in once}
    assert len({one.key for one in once}) == len(once)
    lasting = [one for one in once if one.state is EpisodeState.OPEN]
    for one, other in itertools.combinations(lasting, 2):
        if one.finding.kind is other.finding.kind:
            ends = sorted(BALES.places_of(own.outbreaks[-1]) for own in (one, other))
            assert ends[1][0] - ends[0][1] > APART


@pytest.mark.law
@settings(max_examples=40)
@given(drawn=spans, order=st.randoms(use_true_random=False))
def test_the_order_of_findings_does_not_matter(
    drawn: list[tuple[int, int, FindingKind]], order: object
) -> None:
    """Any order of the same findings gives the same episodes with the same keys."""
    seen = _findings(drawn)
    shuffled = list(seen)
    order.shuffle(shuffled)  # type: ignore[attr-defined]
    assert follow((), shuffled, NOW_US, BALES) == follow((), seen, NOW_US, BALES)


@pytest.mark.law
@settings(max_examples=40)
@given(drawn=spans, cuts=st.lists(st.integers(1, 2600), max_size=4))
def test_many_reviews_end_with_what_one_review_finds_open(
    drawn: list[tuple[int, int, FindingKind]], cuts: list[int]
) -> None:
    """Reviewed as the bales came, each time with what could be found until then, the same matters
    are open at the end, since and until the same bales, under the same keys."""
    seen = _findings(drawn)
    at_once = follow((), seen, NOW_US, BALES)
    episodes: tuple[Episode, ...] = ()
    for place, cut in enumerate([*sorted(cuts), 2700]):
        known = [
            found(one.since_bale, min(one.until_bale, cut), one.kind)
            for one in seen
            if one.since_bale is not None and one.until_bale is not None and one.since_bale <= cut
        ]
        episodes = follow(episodes, known, NOW_US + place, _first(cut))
    assert _open(episodes) == _open(at_once)
    live = [one for one in episodes if one.joined is None]
    assert [one.outbreaks for one in live] == [one.outbreaks for one in at_once]


def _first(count: int) -> Judged:
    return BALES if count >= 2700 else judged_bales(count)


@pytest.mark.law
@settings(max_examples=30)
@given(drawn=spans, late=st.frozensets(st.integers(1, 2700), max_size=80))
def test_late_records_revise_and_never_double(
    drawn: list[tuple[int, int, FindingKind]], late: frozenset[int]
) -> None:
    """Bales that come in after a review leave the episodes that a review of all bales has."""
    seen = _findings(drawn)
    early = follow((), seen, NOW_US, judged_bales(2700, without=late))
    after = follow(early, seen, NOW_US, BALES)
    at_once = follow((), seen, NOW_US, BALES)
    assert _open(after) == _open(at_once)
    live = [one for one in after if one.joined is None]
    assert len(live) <= len(early)
    assert {one.outbreaks[-1] for one in at_once} <= {one.outbreaks[-1] for one in live} | {
        out for one in live for out in one.outbreaks
    }


@pytest.mark.law
def test_other_machines_episodes_come_back_as_given() -> None:
    """A review of one machine touches no other's, and keys of odd serials never meet."""
    other = replace(found(100, 150), machine="HAZE:1")
    theirs = replace(_one(follow((), [found(100, 150)], NOW_US, BALES)), finding=other, key="k")
    both = follow((theirs,), [found(100, 150)], NOW_US, BALES)
    assert theirs in both
    assert {one.finding.machine for one in both} == {MACHINE, "HAZE:1"}
