"""`balewright pace` as a manager types it: answers, refusals, pictures, exit codes."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any
from xml.etree import ElementTree as ET

import pytest

from balewright.cli.entry import run

BARE = ("--fill-s", "48", "--bind-s", "8", "--gate-s", "4", "--wrap-s", "57", "--bale-kg", "600")
MAKE = (
    *("--profile", "mossgrinder-m2", "--crop", "grass-silage", "--moisture", "55%"),
    *(
        "--windrow-kg-m",
        "4",
        "--gathered-m",
        "6",
        "--film-width-mm",
        "750",
        "--film-thickness-um",
        "25",
    ),
    *("--film-roll-m", "1500", "--stretch", "70%", "--runs", "20", "--bales", "50"),
)


def asked(capsys: pytest.CaptureFixture[str], *words: str) -> dict[str, Any]:
    """The JSON answer; the command must end well."""
    assert run(["pace", *words, "--json"]) == 0
    answer: dict[str, Any] = json.loads(capsys.readouterr().out)
    return answer


def refused(capsys: pytest.CaptureFixture[str], *words: str) -> list[str]:
    """The places that are refused; the command must end with 2."""
    assert run(["pace", *words, "--json"]) == 2
    faults = json.loads(capsys.readouterr().out)["faults"]
    return [fault["place"] for fault in faults]


@pytest.mark.derived
def test_bare_times(capsys: pytest.CaptureFixture[str]) -> None:
    """48 + 8 + 4 s beside 57 s: 60 bales/h of 600 kg, 36 t/h; a second of filling is worth one
    bale an hour, a second of wrapping nothing. Worked out by hand.
    """
    answer = asked(capsys, *BARE)
    assert (answer["balewright"], answer["version"]) == ("pace", 1)
    assert (answer["pace_bales_h"], answer["throughput_t_h"]) == pytest.approx((60.0, 36.0))
    worth = {one["phase"]: one["saved_bales_h"] for one in answer["seconds"]}
    assert (worth["fill_s"], worth["wrap_s"]) == pytest.approx((1.0, 0.0))
    assert (answer["effects"], answer["by_speed"], answer["area_ha_h"]) == ([], [], None)
    assert sum(answer["shares"].values()) == pytest.approx(1.0)
    assert answer["chance"]["bales"] == 200


@pytest.mark.law
def test_a_make_in_a_field(capsys: pytest.CaptureFixture[str]) -> None:
    """A make comes with its settings' effects, its service as stops and the field it clears."""
    answer = asked(capsys, *MAKE)
    settings = {effect["setting"] for effect in answer["effects"]}
    assert {"speed_m_s", "windrow_kg_m", "wrap_turns", "wrap_rpm", "binding_turns"} <= settings
    assert {"film rolls", "grease-cartridge"} <= {stop["key"] for stop in answer["stops"]}
    area = answer["pace_bales_h"] * answer["mass_kg"] / 4.0 * 6.0 / 10_000
    assert answer["area_ha_h"] == pytest.approx(area)
    slower = asked(capsys, *MAKE, "--wrap-rpm", "12", "--turns", "24")
    assert slower["held_back_by"] == "wrapping"
    assert slower["driver_waits_s"] > 0.0
    assert slower["phases"]["wrap_s"] > answer["phases"]["wrap_s"]


@pytest.mark.law
def test_a_field_is_so_many_bales(capsys: pytest.CaptureFixture[str]) -> None:
    """A field of 10 ha is as many bales as it holds, the last one perhaps not full."""
    answer = asked(capsys, *MAKE, "--field-ha", "10")
    bale_m2 = answer["mass_kg"] / 4.0 * 6.0
    assert answer["chance"]["bales"] == -(-100_000 // bale_m2)


@pytest.mark.law
def test_the_same_seed_the_same_answer(capsys: pytest.CaptureFixture[str]) -> None:
    """Chance comes from the seed alone."""
    one, two = (asked(capsys, *BARE, "--seed", "5", "--runs", "30") for _ in range(2))
    assert one == two
    assert one["chance"] != asked(capsys, *BARE, "--seed", "6", "--runs", "30")["chance"]


@pytest.mark.own
def test_the_table_starts_with_the_caution(capsys: pytest.CaptureFixture[str]) -> None:
    """Caution first, then the pace, then where the time goes and what chance does."""
    assert run(["pace", *MAKE]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[0].startswith("! Before anyone reaches in")
    text = "\n".join(lines)
    assert text.index("In steady work") < text.index("a second saved") < text.index("9 of 10")
    assert "wrapping speed" in text


@pytest.mark.own
def test_the_picture_is_written(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """--svg writes a picture that stands alone; a folder that is not there is refused."""
    file = tmp_path / "pace.svg"
    asked(capsys, *MAKE, "--svg", str(file))
    assert ET.fromstring(file.read_text()).tag.endswith("svg")
    assert refused(capsys, *BARE, "--svg", str(tmp_path / "no" / "pace.svg")) == ["--svg"]


@pytest.mark.own
@pytest.mark.parametrize(
    ("words", "places"),
    [
        ((), ["--profile"]),
        ((*BARE, "--profile", "mossgrinder-m2"), ["--profile"]),
        (("--fill-s", "48"), ["--bale-kg"]),
        ((*BARE[:2], "--bale-kg", "nan"), ["--bale-kg"]),
        (("--fill-s", "0", "--bale-kg", "-1"), ["--fill-s", "--bale-kg"]),
        ((*BARE, "--break-bales", "0"), ["--break-bales"]),
        ((*BARE, "--runs", "0"), ["--runs"]),
        ((*BARE, "--bales", "0"), ["--bales"]),
        ((*BARE, "--seed", "-1"), ["--seed"]),
        ((*BARE, "--field-ha", "5"), ["--field-ha"]),
        ((*BARE, "--fill-spread", "inf"), ["--fill-spread"]),
        (("--profile", "mossgrinder-m2"), ["--crop", "--moisture"]),
        (("--profile", "nobody", "--crop", "hay", "--moisture", "15%"), ["profile"]),
        (("--profile", "plainrow-p0", "--crop", "hay", "--moisture", "15%"), ["windrow"]),
        (
            (*MAKE[:6], "--windrow-kg-m", "4", "--turns", "12"),
            ["--turns"],
        ),
    ],
)
def test_what_cannot_be_is_refused(
    capsys: pytest.CaptureFixture[str], words: tuple[str, ...], places: list[str]
) -> None:
    """Bad input ends with 2 and names every option that is wrong."""
    assert refused(capsys, *words) == places


@pytest.mark.law
def test_json_fields_are_named_on_the_page(capsys: pytest.CaptureFixture[str]) -> None:
    """Every field of the answer stands in the command's section of docs/commands.md."""
    page = (Path(__file__).parents[2] / "docs" / "commands.md").read_text()
    section = page.split("\n## pace\n", 1)[1].split("\n## ", 1)[0]
    answer = asked(capsys, *MAKE)
    names = set(answer) - {"balewright", "version"}
    names |= set(answer["chance"]) | set(answer["seconds"][0]) | set(answer["stops"][0])
    names |= set(answer["effects"][0]) | set(answer["by_speed"][0])
    assert {name for name in names if f"`{name}`" not in section} == set()


@pytest.mark.own
def test_stops_too_rare_for_the_job_are_said(capsys: pytest.CaptureFixture[str]) -> None:
    """A job that ends before a stop falls due is faster than steady work, and says why."""
    line = ["pace", *BARE, "--net-bales", "500", "--net-change-s", "3600"]
    assert run([*line, "--bales", "100"]) == 0
    assert "some do not fall due" in capsys.readouterr().out
    assert run([*line, "--bales", "2000"]) == 0
    assert "some do not fall due" not in capsys.readouterr().out


@pytest.mark.own
def test_too_many_draws_are_refused_with_how_many_may_be(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """Bales times draws has a bound; the cure is a number of draws that is taken."""
    assert run(["pace", *BARE, "--bales", "100000", "--runs", "10000"]) == 2
    assert "With 100000 bales give --runs 200 or fewer." in capsys.readouterr().err
