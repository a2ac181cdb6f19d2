"""`balewright layers` as a technician types it: answers, tables, refusals, exit codes."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from balewright.cli.entry import run

PLAN = (
    *("layers", "--diameter-m", "1.25", "--length-m", "1.23", "--strip-m", "0.60"),
    *("--bale-turn", "0.125", "--turns", "12", "--dispensers", "2", "--layers", "6"),
)


def asked(capsys: pytest.CaptureFixture[str], *words: str) -> dict[str, Any]:
    """The JSON answer; the command must end well."""
    assert run([*words, "--json"]) == 0
    answer: dict[str, Any] = json.loads(capsys.readouterr().out)
    return answer


def changed(**options: str | None) -> list[str]:
    """The plan's command line with some options set anew or (None) left out."""
    words = dict(zip(PLAN[1::2], PLAN[2::2], strict=True))
    for name, value in options.items():
        words["--" + name.replace("_", "-")] = value  # type: ignore[assignment]
    kept = [(name, value) for name, value in words.items() if value is not None]
    return ["layers", *(word for pair in kept for word in pair)]


@pytest.mark.derived
def test_json_carries_the_count_and_a_version(capsys: pytest.CaptureFixture[str]) -> None:
    """Twelve turns of two rolls: 6 layers, 7.33 on average, nothing short.

    Source: 4 x 12 x 0.60 / (pi x 1.25) = 7.33; layers computed twice, independently of this code.
    """
    answer = asked(capsys, *PLAN)
    assert (answer["balewright"], answer["version"]) == ("layers", 1)
    assert (answer["thinnest"], answer["short_fraction"], answer["sliver_m"]) == (6, 0.0, 0.0)
    assert answer["round_mean"] == pytest.approx(7.33, abs=5e-3)
    assert answer["flat_band_m2"] == pytest.approx(0.720, abs=5e-4)
    assert answer["film_m_bale"] is None
    assert "turns_needed" not in answer


@pytest.mark.derived
@pytest.mark.parametrize(("lost_at", "turns"), [("3", 24), ("6", 20), ("9", 16), ("11", 16)])
def test_lost_roll_adds_the_turns_needed(
    capsys: pytest.CaptureFixture[str], lost_at: str, turns: int
) -> None:
    """A roll lost at 3, 6, 9, 11 of 12 sends the other on to 24, 20, 16, 16.

    Source: computed twice, independently of this code.
    """
    assert asked(capsys, *PLAN, "--lost-at", lost_at)["turns_needed"] == turns


@pytest.mark.derived
def test_advance_stands_for_the_bale_turn(capsys: pytest.CaptureFixture[str]) -> None:
    """At an advance of 0.491 m a bale of 1.45 m has 4 layers, 26 % of it short of 6.

    Source: computed twice, independently of this code.
    """
    answer = asked(capsys, *changed(bale_turn=None, advance_m="0.491", diameter_m="1.45"))
    assert answer["thinnest"] == 4
    assert answer["short_fraction"] == pytest.approx(0.26, abs=5e-3)


@pytest.mark.derived
def test_film_off_the_roll(capsys: pytest.CaptureFixture[str]) -> None:
    """0.75 m film at 70 %: 70.0 m a bale, 21.4 bales a roll, a pair ends in bale 43.

    Source: 24 x 2(1.25 + 1.23) / 1.7 = 70.0; 1500 / 70.0 = 21.4. Grams: 70.0 x 0.75 x 25e-6 x 925.
    """
    film = changed(strip_m=None, film_width_mm="750", stretch="0.70")
    answer = asked(capsys, *film, "--film-roll-m", "1500", "--film-thickness-um", "25")
    assert answer["strip_m"] == pytest.approx(0.595, abs=5e-4)
    assert answer["film_m_bale"] == pytest.approx(70.0, abs=0.05)
    assert answer["bales_per_roll"] == pytest.approx(21.4, abs=0.05)
    assert 42 < answer["bales_per_set"] < 43
    assert answer["film_g_bale"] == pytest.approx(70.02 * 0.75 * 25e-6 * 925 * 1000, rel=1e-3)


@pytest.mark.derived
def test_binding_film_is_told_apart(capsys: pytest.CaptureFixture[str]) -> None:
    """3.4 turns of binding film add three whole layers to the round side, none to the flats."""
    without = asked(capsys, *PLAN)
    answer = asked(capsys, *PLAN, "--binding-film-turns", "3.4")
    assert (answer["thinnest"], answer["thinnest_with_binding"]) == (6, 9)
    assert answer["flat_thinnest"] == without["flat_thinnest"]


@pytest.mark.derived
def test_table_states_the_cliff(capsys: pytest.CaptureFixture[str]) -> None:
    """People read where the same turns stop being enough: at 1.35 m 9 % is short of 6.

    Source: computed twice, independently of this code.
    """
    assert run(changed(bale_turn=None, advance_m="0.491")) == 0
    said = capsys.readouterr().out.replace("\N{NO-BREAK SPACE}", " ")
    assert "No spot of the round side is short of 6 layers." in said
    assert "The cliff: a fatter bale at the same turns falls short at 1.3" in said
    row = next(line for line in said.splitlines() if line.startswith("1.35 m"))
    assert row.split()[2:5] == ["5", "9", "%"]


@pytest.mark.derived
def test_narrow_sliver_is_no_alarm(capsys: pytest.CaptureFixture[str]) -> None:
    """A bale just over the cliff is short in stretches of a few millimetres, and it says so."""
    cliff = asked(capsys, *changed(bale_turn=None, advance_m="0.491"))["cliff_diameter_m"]
    assert run(changed(bale_turn=None, advance_m="0.491", diameter_m=f"{cliff}")) == 0
    assert "which is no alarm by itself" in capsys.readouterr().out


@pytest.mark.derived
def test_unknown_neck_in_is_said_aloud(capsys: pytest.CaptureFixture[str]) -> None:
    """Without a measured neck-in the spread of the strip stands in the answer: 591 to 630 mm.

    Source: 750 x 1.7^-0.45 = 591, 750 x 1.7^-0.33 = 630.
    """
    assert run(changed(strip_m=None, film_width_mm="750", stretch="0.70")) == 0
    said = capsys.readouterr().out.replace("\N{NO-BREAK SPACE}", " ")
    assert "591 mm to 630 mm wide" in said


@pytest.mark.derived
def test_thousands_of_turns_are_answered(capsys: pytest.CaptureFixture[str]) -> None:
    """Five thousand turns are counted: 16 generators, 1250 strips on each, 2 in reach."""
    assert asked(capsys, *changed(turns="5000"))["thinnest"] == 2500


@pytest.mark.derived
def test_a_turning_that_never_covers_is_an_answer(capsys: pytest.CaptureFixture[str]) -> None:
    """A bale that always comes back to the same places has no number of turns: null, and said."""
    assert asked(capsys, *changed(bale_turn="0.5"))["turns_from_start"] is None
    assert run(changed(bale_turn="0.5")) == 0
    assert "the bale comes back to the same places" in capsys.readouterr().out


@pytest.mark.derived
@pytest.mark.parametrize(
    ("options", "said"),
    [
        ({"diameter_m": "nan"}, "--diameter-m: needs a number from 0.3 to 3, was given nan"),
        ({"diameter_m": "125"}, "Give metres, as in 1.25."),
        ({"strip_m": "-0.6"}, "--strip-m: needs a number from"),
        ({"turns": "0"}, "--turns: needs a number from 0.5"),
        ({"turns": "inf"}, "--turns: needs"),
        ({"layers": "0"}, "--layers: needs"),
        ({"bale_turn": "12.5"}, "--bale-turn: needs a number from 0.001 to 1"),
        ({"advance_m": "0.491"}, "--bale-turn: needs either it or --advance-m, was given both"),
        ({"bale_turn": None}, "--bale-turn: needs either it or --advance-m, was given neither"),
        ({"strip_m": None}, "--strip-m: needs either it or --film-width-mm, was given neither"),
        ({"strip_m": None, "film_width_mm": "750"}, "--film-width-mm: needs --stretch beside it"),
        ({"stretch": "70"}, "Give a fraction: 0.70 for 70 per cent."),
        ({"lost_at": "13"}, "--lost-at: needs a turn up to --turns (12)"),
        ({"lost_at": "3", "dispensers": "1"}, "--lost-at: needs --dispensers 2"),
        ({"diameter_m": "0.3", "strip_m": "0.5"}, "narrower than half the bale's girth"),
        ({"bale_turn": None, "advance_m": "9"}, "--advance-m: needs"),
        ({"film_roll_m": "1500"}, "--film-thickness-um and --film-roll-m together"),
        ({"svg": "no/such/folder/map.svg"}, "--svg: needs a file that can be written"),
        ({"turns": "twelve"}, "--turns: needs a number, was given 'twelve'"),
        ({"dispensers": "3"}, "--dispensers: needs one of 1, 2, was given 3"),
    ],
)
def test_bad_input_ends_with_two_and_a_cure(
    capsys: pytest.CaptureFixture[str], options: dict[str, str | None], said: str
) -> None:
    """What cannot be used is refused by its option's name, with the cure and exit code 2."""
    assert run(changed(**options)) == 2
    printed = capsys.readouterr()
    assert said in printed.err
    assert printed.out == ""
    assert "Traceback" not in printed.err


@pytest.mark.derived
def test_every_fault_is_told_at_once(capsys: pytest.CaptureFixture[str]) -> None:
    """Two bad values are two lines, not one now and one later."""
    assert run(changed(diameter_m="nan", turns="-1")) == 2
    assert capsys.readouterr().err.count(": needs ") == 2


@pytest.mark.law
def test_no_web_framework_and_no_arrays_are_loaded() -> None:
    """The command starts without Django, NumPy or the column store."""
    code = (
        "import sys; from balewright.cli.entry import run; code = run(sys.argv[1:]);"
        "heavy = {'django', 'numpy', 'pyarrow', 'duckdb'} & set(sys.modules);"
        "sys.exit(f'loaded {heavy}' if heavy else code)"
    )
    answer = subprocess.run(
        [sys.executable, "-c", code, *PLAN], capture_output=True, text=True, check=False
    )
    assert answer.returncode == 0, answer.stderr


@pytest.mark.derived
def test_map_is_drawn_where_asked(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """With --svg the layer map stands in the file, beside the answer."""
    assert run([*PLAN, "--svg", str(tmp_path / "map.svg")]) == 0
    assert (tmp_path / "map.svg").read_text(encoding="utf-8").startswith("<svg ")
    assert "fewest layers" in capsys.readouterr().out


@pytest.mark.law
def test_a_bale_that_hardly_turns_is_answered_whole(capsys: pytest.CaptureFixture[str]) -> None:
    """At the least turning no fatter bale is tried, and the answer is not broken off."""
    assert run(changed(bale_turn="0.001")) == 0
    printed = capsys.readouterr()
    assert printed.err == ""
    assert "a test bale and a look at it come first" in printed.out
    assert "surface moves 3.9" in printed.out
