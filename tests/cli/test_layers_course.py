"""`balewright layers --event`: what a disturbed bale got, in a shell."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from balewright.cli.entry import run

LINE = ["layers", "--diameter-m", "1.25", "--length-m", "1.23", "--strip-m", "0.60"]
LINE += ["--advance-m", "0.491", "--turns", "12"]


def answered(capsys: pytest.CaptureFixture[str], *more: str) -> dict[str, object]:
    """The JSON answer."""
    assert run([*LINE, *more, "--json"]) == 0
    return dict(json.loads(capsys.readouterr().out))


@pytest.mark.derived
@pytest.mark.parametrize(("lost", "total"), [(3, 24), (6, 20), (9, 16), (11, 16)])
def test_lost_rolls_of_the_check_table(
    lost: int, total: int, capsys: pytest.CaptureFixture[str]
) -> None:
    """Lost after 3, 6, 9, 11 turns: the other must reach 24, 20, 16, 16."""
    said = answered(capsys, "--event", f"roll 2 runs out at {lost}")
    ways = said["ways_on"]
    assert isinstance(ways, list)
    assert [way["good_at_turn"] for way in ways if way["running"] == [True, False]] == [total]


@pytest.mark.derived
def test_text_says_how_to_go_on_and_what_is_not_known(capsys: pytest.CaptureFixture[str]) -> None:
    """Both ways on with metres, the verdict, the caution before the reasons."""
    film = [*LINE[:5], "--film-width-mm", "750", "--stretch", "0.7", *LINE[7:]]
    assert run([*film, "--event", "roll 2 breaks at 6.2", "--event", "cut at 8"]) == 0
    said = capsys.readouterr().out.replace("\N{NO-BREAK SPACE}", " ")
    assert "- roll 2 breaks at turn 6.2" in said
    assert "Roll 1 alone:" in said
    assert "Both rolls:" in said
    assert "of film off the rolls" in said
    assert said.index("Never try to stop a rolling bale") < said.index("Not known here")


@pytest.mark.derived
def test_one_dispenser_with_everything_lost_and_never_back(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """The only roll out: the one way on is to put it back."""
    said = answered(capsys, "--dispensers", "1", "--event", "roll 1 out at 2")
    assert said["bare_turns"] == 10.0
    assert [way["running"] for way in said["ways_on"]] == [[True]]  # type: ignore[attr-defined]


@pytest.mark.law
@pytest.mark.parametrize(
    ("more", "words"),
    [
        (["--event", "roll 2 breakes at 3"], "roll 2 breakes at 3"),
        (["--event", "roll 2 out at 13"], "up to the last one"),
        (["--event", "roll 2 out at nan"], "an event such as"),
        (["--event", "roll 2 back at 3"], "lost before"),
        (["--event", "roll 2 out at 3", "--lost-at", "4"], "--lost-at"),
        (["--event", "cut at 3", "--allow-sliver-mm", "nan"], "--allow-sliver-mm"),
        (["--event", "cut at 3", "--allow-sliver-mm", "-1"], "--allow-sliver-mm"),
        (["--event", "cut at 3", "--svg", "/no/such/folder/x.svg"], "--svg"),
    ],
)
def test_slips_are_refused(more: list[str], words: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Exit code 2 and what to write instead."""
    assert run([*LINE, *more]) == 2
    assert words in capsys.readouterr().err


@pytest.mark.own
def test_picture_is_written(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """`--svg` draws the rolls above the map."""
    file = tmp_path / "bale.svg"
    assert run([*LINE, "--event", "roll 2 out at 6", "--svg", str(file)]) == 0
    assert 'class="course-map"' in file.read_text(encoding="utf-8")


@pytest.mark.own
def test_cautions_come_first_and_a_trace_is_no_nothing(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """Who reads one line reads the one that keeps hands whole; a sliver is not said as 0."""
    assert run([*LINE, "--event", "stop at 6 and the bale rolls 0.4"]) == 0
    said = capsys.readouterr().out
    assert said.startswith("! PTO off, engine stopped, key out")
    assert said.index("Never try to stop a rolling bale") < said.index("What happened:")
    short = next(line for line in said.splitlines() if line.startswith("share short"))
    assert "under 0.1 %" in short
    area = next(line for line in said.splitlines() if line.startswith("area short"))
    assert "cm²" in area
