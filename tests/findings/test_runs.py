"""When bales that break their plan are a run."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balewright.findings.runs import APART, NET, episodes, supported_runs

from .plain_runs import plain_episodes, plain_supported_runs


def bools(word: str) -> np.ndarray:
    """`x` breaks, `.` keeps."""
    return np.array([letter == "x" for letter in word])


@pytest.mark.law
def test_a_single_reading_is_no_run() -> None:
    """One bale, or fewer than the run needs, is not believed."""
    for length in (1, NET - 1):
        out = bools("." * 30 + "x" * length + "." * 30)
        assert supported_runs(out, np.ones(len(out), bool)) == ()


@pytest.mark.law
def test_a_run_begins_with_the_first_bale_that_breaks() -> None:
    """It begins and ends with breaking bales, and counts the kept ones between them."""
    out = bools("." * 10 + "xx.xxxxxx.xxxxxxxxxxx" + "." * 30)
    (run,) = supported_runs(out, np.ones(len(out), bool))
    assert (run.rows[0], run.rows[-1]) == (10, 30)
    assert (len(run.rows), run.looked_at) == (19, 21)


@pytest.mark.law
def test_bales_that_cannot_be_judged_neither_help_nor_harm() -> None:
    """Unjudged bales between breaking ones leave the run as it is."""
    out = bools("x" * 30)
    judged = bools("x." * 15)
    (run,) = supported_runs(out, judged)
    assert len(run.rows) == run.looked_at == 15


@pytest.mark.derived
def test_chance_alone_seldom_makes_a_run() -> None:
    """One reading in five outside by chance: expected about 0.2 x 0.25^11 x 0.75 runs a bale
    (gambler's ruin), so none in 200,000 bales."""
    out = np.random.default_rng(4).random(200_000) < 0.2
    assert supported_runs(out, np.ones(len(out), bool)) == ()


@pytest.mark.law
def test_far_episodes_stay_apart() -> None:
    """Single bales near each other are one episode, far ones two."""
    near = bools("x" + "." * APART + "x")
    far = bools("x" + "." * (APART + 1) + "x")
    assert len(episodes(near, np.ones(len(near), bool))) == 1
    assert len(episodes(far, np.ones(len(far), bool))) == 2


BALES = st.lists(
    st.tuples(st.sampled_from(".xu"), st.integers(1, 30)), min_size=1, max_size=40
).map(lambda parts: "".join(letter * count for letter, count in parts))


@pytest.mark.reference
@settings(max_examples=300, deadline=None)
@given(word=BALES)
def test_compiled_runs_are_those_of_the_plain_count(word: str) -> None:
    """The compiled pass, and the gathering by columns, give what counting bale by bale gives,
    whatever lies where (`u`: not judged)."""
    out, judged = bools(word), np.array([letter != "u" for letter in word])
    for quick, plain in (
        (supported_runs(out, judged), plain_supported_runs(out, judged)),
        (episodes(out, judged), plain_episodes(out, judged)),
    ):
        assert [(run.rows.tolist(), run.looked_at) for run in quick] == [
            (run.rows.tolist(), run.looked_at) for run in plain
        ]
