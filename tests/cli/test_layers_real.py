"""`balewright layers` for a real bale: options, table, JSON, refusals."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from balewright.cli.entry import run

BALE = ("layers", "--diameter-m", "1.45", "--length-m", "1.23", "--strip-m", "0.55")
WRAP = ("--advance-m", "0.491", "--turns", "12")
PLAIN = (*BALE, *WRAP)


def asked(capsys: pytest.CaptureFixture[str], *more: str) -> dict[str, object]:
    """The JSON answer to the plain bale with these options beside it."""
    assert run([*PLAIN, *more, "--json"]) == 0
    answer: dict[str, object] = json.loads(capsys.readouterr().out)
    return answer


@pytest.mark.law
def test_a_shoulder_of_nothing_is_the_plain_answer(capsys: pytest.CaptureFixture[str]) -> None:
    """`--shoulder-m 0` goes the way of a real bale and finds what the plain count finds."""
    real, plain = asked(capsys, "--shoulder-m", "0"), asked(capsys)
    side = real["sides"][0]  # type: ignore[index]
    assert side["thinnest"] == plain["thinnest"] == 4
    assert side["short_fraction"] == pytest.approx(plain["short_fraction"], abs=1e-9)
    assert real["sides"][1]["short_fraction"] == pytest.approx(  # type: ignore[index]
        plain["flat_short_fraction"], abs=1e-9
    )
    assert real["plain_cylinder"]["short_fraction"] == plain["short_fraction"]  # type: ignore[index]
    assert real["short_error_m2"] == 0.0


@pytest.mark.derived
def test_everything_at_once_is_counted_and_said(capsys: pytest.CaptureFixture[str]) -> None:
    """Each option has its sentence, each side its column, the thinnest spot its place in words."""
    shape = ("--diameter-left-m", "1.40", "--diameter-right-m", "1.42", "--shoulder-m", "0.08")
    laid = ("--off-height-m", "-0.05", "--tilt-deg", "2", "--skew", "--slip", "0.1")
    more = ("--tail-half-turns", "2", "--band-turns", "3", "--binding-film-turns", "3.4")
    assert run([*PLAIN, *shape, *laid, *more]) == 0
    said = capsys.readouterr().out.replace("\N{NO-BREAK SPACE}", " ")
    for words in (
        "1.4 m across at the left end",
        "Film runs 50 mm below mid-height.",
        "The ring leans by 2 °",
        "Strips lie askew",
        "at the end it turns 10 % less",
        "a tail of 50 % of its width for 2 half wrap turns",
        "bands round the girth first: 3.",
        "3.4 turns of binding film",
        "left shoulder",
        "The thinnest spot has ",
        "fewest, with the binding film",
        "Counted as a plain cylinder under straight strips it would have 4 layers",
    ):
        assert words in said


@pytest.mark.derived
def test_json_says_where_and_how_surely(capsys: pytest.CaptureFixture[str]) -> None:
    """Areas add up, the error is told, every side has its spot, and binding film its own count."""
    answer = asked(capsys, "--diameter-ends-m", "1.38", "--skew", "--binding-film-turns", "3")
    sides = answer["sides"]
    assert isinstance(sides, list)
    assert [one["side"] for one in sides] == ["round", "left_flat", "right_flat"]
    assert answer["short_m2"] == pytest.approx(sum(one["short_m2"] for one in sides))
    assert 0.0 < answer["short_error_m2"] < 1e-2  # type: ignore[operator]
    assert answer["thinnest"] == min(one["thinnest"] for one in sides)
    assert sum(sides[0]["layers_m2"]) == pytest.approx(sides[0]["area_m2"], rel=1e-6)
    bound = answer["with_binding"]["sides"][0]  # type: ignore[index]
    assert bound["thinnest"] == sides[0]["thinnest"] + 3
    assert answer["shape"] == {
        "left_m": 1.38, "middle_m": 1.45, "right_m": 1.38, "length_m": 1.23, "shoulder_m": 0.0,
    }  # fmt: skip


@pytest.mark.derived
def test_what_makes_it_good_is_said(capsys: pytest.CaptureFixture[str]) -> None:
    """More turns are named, fewer where a sliver may stay; height and shape are told apart."""
    faults = ("--off-height-m", "0.05", "--diameter-ends-m", "1.38")
    strict, lax = asked(capsys, *faults), asked(capsys, *faults, "--allow-sliver-mm", "60")
    assert 0 < lax["more_turns"] < strict["more_turns"]  # type: ignore[operator]
    assert {one["amiss"] for one in strict["put_right"]} == {"shape", "off_height"}  # type: ignore[attr-defined]
    assert run([*PLAIN, *faults]) == 0
    said = capsys.readouterr().out
    assert "more wrap turns leave no spot of it short" in said
    assert "the film's height" in said
    assert "If it is already tipped: mark it and use it first." in said
    assert strict["tipped"]["verdict"] == "use first"  # type: ignore[index]
    assert run([*PLAIN, "--off-height-m", "0.30"]) == 0
    assert "128 more wrap turns do not make it good" in capsys.readouterr().out


@pytest.mark.derived
def test_events_and_a_real_shape_go_together(capsys: pytest.CaptureFixture[str]) -> None:
    """A roll that breaks leaves the real bale less film than without the event."""
    whole = asked(capsys, "--shoulder-m", "0.08")
    broken = asked(capsys, "--shoulder-m", "0.08", "--event", "roll 2 breaks at 5.3")
    assert broken["film_m2"] < 0.8 * whole["film_m2"]  # type: ignore[operator]
    assert broken["short_m2"] > whole["short_m2"]  # type: ignore[operator]


@pytest.mark.derived
def test_the_map_is_drawn(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """`--svg` writes the map of the real bale; a folder that is not there is refused."""
    file = tmp_path / "bale.svg"
    assert run([*PLAIN, "--skew", "--svg", str(file)]) == 0
    assert "Fewest layers along the bale" in file.read_text(encoding="utf-8")
    assert run([*PLAIN, "--skew", "--svg", str(tmp_path / "none" / "bale.svg")]) == 2
    assert "--svg" in capsys.readouterr().err


@pytest.mark.law
@pytest.mark.parametrize(
    ("more", "words"),
    [
        (("--diameter-left-m", "145"), "--diameter-left-m: needs a number from 0.3 to 3"),
        (("--shoulder-m", "nan"), "--shoulder-m: needs a number from 0 to 0.3"),
        (("--off-height-m", "inf"), "--off-height-m: needs a number"),
        (("--off-height-m", "0.7"), "--off-height-m: needs film that runs within"),
        (("--tilt-deg", "45"), "--tilt-deg: needs a number from -28 to 28"),
        (("--slip", "1"), "--slip: needs a number from -0.9 to 0.9"),
        (("--tail-width", "0.5"), "--tail-half-turns beside it"),
        (("--tail-half-turns", "1.5"), "--tail-half-turns: needs a whole number"),
        (("--skew", "--allow-sliver-mm", "nan"), "--allow-sliver-mm: needs a number from 0"),
        (("--band-turns", "2.5"), "--band-turns: needs a whole number"),
        (("--diameter-ends-m", "1.4", "--diameter-left-m", "1.4"), "needs either it or"),
        (("--diameter-left-m", "0.5"), "--diameter-left-m: needs diameters that differ by less"),
        (("--skew", "--lost-at", "3", "--event", "stop at 3"), "no --lost-at beside it"),
        (("--skew", "--chance", "0.9"), "--chance: needs no options of a real bale beside it"),
        (("--skew", "--event", "nonsense"), "--event: needs"),
    ],
)
def test_slips_are_refused_by_option(
    capsys: pytest.CaptureFixture[str], more: tuple[str, ...], words: str
) -> None:
    """A slip is answered with exit code 2 and the option that it stands in."""
    assert run([*PLAIN, *more]) == 2
    assert words in capsys.readouterr().err


@pytest.mark.own
def test_one_narrow_sliver_is_no_alarm(capsys: pytest.CaptureFixture[str]) -> None:
    """A bale with enough film everywhere is told so."""
    bale = ("layers", "--diameter-m", "1.25", "--length-m", "1.23", "--strip-m", "0.60")
    assert run([*bale, *WRAP, "--shoulder-m", "0.06"]) == 0
    assert "No spot of the bale is short of 6 layers." in capsys.readouterr().out
