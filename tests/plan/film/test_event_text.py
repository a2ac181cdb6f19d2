"""Events as people write them."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balewright.plan.film.event_text import FORMS, read_events, write_event
from balewright.plan.film.events import Happening, What
from balewright.quantities.errors import BadInput


@pytest.mark.derived
@pytest.mark.parametrize(
    ("line", "event"),
    [
        ("roll 2 runs out at 5", Happening(5.0, What.RUNS_OUT, 2)),
        ("Roll 2  out at 5", Happening(5.0, What.RUNS_OUT, 2)),
        ("roll 1 breaks at 5.3", Happening(5.3, What.BREAKS, 1)),
        ("roll 2 out from the start", Happening(0.0, What.RUNS_OUT, 2)),
        ("roll 2 back at 8", Happening(8.0, What.BACK, 2)),
        ("stop at 6", Happening(6.0, What.STOP)),
        ("stop at 6 and the bale rolls -0.4", Happening(6.0, What.STOP, None, -0.4)),
        ("cut at 6", Happening(6.0, What.CUT)),
        ("cut roll 1 at 6.5", Happening(6.5, What.CUT, 1)),
    ],
)
def test_a_line_is_read(line: str, event: Happening) -> None:
    """Spaces and capitals do not matter."""
    assert read_events([line]) == (event,)


@pytest.mark.derived
def test_back_after_counts_from_that_rolls_last_loss() -> None:
    """Roll 2 lost at 5.3 and back after 3 is back at 8.3; the other roll's loss is not meant."""
    lines = ["roll 2 breaks at 5.3", "roll 1 breaks at 6", "roll 2 back after 3"]
    assert read_events(lines)[-1].at_turn == pytest.approx(8.3)


@pytest.mark.law
@settings(max_examples=60)
@given(
    at=st.integers(0, 40_000).map(lambda half: half / 2),
    what=st.sampled_from(list(What)),
    roll=st.integers(1, 2),
    rolled=st.integers(-40, 40).map(lambda eighth: eighth / 8),
)
def test_what_is_written_is_read_back(at: float, what: What, roll: int, rolled: float) -> None:
    """An event told again is the same event."""
    stop = what is What.STOP
    event = Happening(min(at, 20_000.0), what, None if stop else roll, rolled if stop else 0.0)
    assert read_events([write_event(event)]) == (event,)


@pytest.mark.law
def test_every_form_that_help_shows_is_read() -> None:
    """The forms listed are forms that work, told after a loss of that roll."""
    for form in FORMS:
        assert len(read_events(["roll 2 out at 1", form])) == 2


@pytest.mark.law
@pytest.mark.parametrize(
    "line",
    [
        *("", "roll", "roll 3 breaks at 2", "roll 2 breaks", "roll 2 breaks at soon"),
        *("stop at -1", "roll 2 breaks at nan", "cut at inf", "roll 2 back after 1"),
        *("stop at 6 and the bale rolls 99", "roll 2 breaks at 99999999"),
    ],
)
def test_what_cannot_be_read_is_refused_with_its_line(line: str) -> None:
    """The refusal quotes the line and says how one is written."""
    with pytest.raises(BadInput) as refused:
        read_events(["roll 1 out at 2", line])
    (fault,) = refused.value.faults
    assert fault.place == "event 2"
    assert fault.given == repr(line)


@pytest.mark.law
def test_every_bad_line_is_told_at_once() -> None:
    """Two slips, two faults."""
    with pytest.raises(BadInput) as refused:
        read_events(["roll 2 brakes at 3", "roll 2 out at 3", "stop"])
    assert [fault.place for fault in refused.value.faults] == ["event 1", "event 3"]
