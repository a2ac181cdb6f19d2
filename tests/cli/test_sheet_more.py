"""What nobody has to say to `balewright sheet`, typed as a technician does."""

from __future__ import annotations

import json
from typing import Any

import pytest

from balewright.cards.sheet_json import sheet_from_json
from balewright.cli.entry import run
from balewright.plan.sheet.sheet import Sheet

JOB = (
    *("sheet", "--profile", "mossgrinder-m2", "--crop", "grass-silage", "--moisture", "62%"),
    *("--windrow-kg-m", "4", "--json"),
)
HAY = (
    *("sheet", "--profile", "plainrow-p0", "--crop", "hay", "--moisture", "24%"),
    *("--windrow-kg-m", "3", "--json"),
)


def asked(capsys: pytest.CaptureFixture[str], *options: str) -> Sheet:
    """The sheet of the JSON answer."""
    assert run(list(options)) == 0
    answer: dict[str, Any] = json.loads(capsys.readouterr().out)
    return sheet_from_json(answer["sheet"])


@pytest.mark.own
def test_what_is_known_reaches_the_sheet(capsys: pytest.CaptureFixture[str]) -> None:
    """Climate, row, spread, readings, additive and scale become conditions in SI."""
    sheet = asked(
        capsys,
        *JOB,
        *("--climate", "cool-moist", "--row-width-m", "1.0", "--diameter-spread-m", "0.015"),
        *("--gate", "22,18,20", "--gate", "24.5, 18, heavy", "--left-m", "700", "1500"),
        *("--rate-l-t", "2", "--tank-l", "200", "--weighed"),
    )
    given = sheet.conditions
    assert (given.climate, given.row_width_m, given.weighed) == ("cool-moist", 1.0, True)
    assert given.diameter_spread_m == pytest.approx(0.015)
    assert given.rolls_left_m == (700.0, 1500.0)
    assert [reading.feed_t_h for reading in given.gate_readings] == [20.0, None]
    assert str(given.gate_readings[1].row) == "heavy"
    assert sheet.number("additive_l_t") == 2.0
    assert sheet.number("layers") == 4


@pytest.mark.own
def test_acid_follows_the_moisture(capsys: pytest.CaptureFixture[str]) -> None:
    """The product's strength and density turn kilograms of acid into litres a tonne."""
    sheet = asked(capsys, *HAY, "--active", "0.5", "--density-kg-l", "1.0")
    assert sheet.number("additive_l_t") == pytest.approx(10.0)


@pytest.mark.own
def test_a_binding_is_asked_for(capsys: pytest.CaptureFixture[str]) -> None:
    """Twine on a baler that has net too; what if tells it beside the other."""
    sheet = asked(capsys, *HAY, "--binding", "twine")
    line = sheet.line("binding")
    assert line is not None
    assert (line.value, sheet.conditions.binding) == ("twine", "twine")
    assert run([*HAY[:-1], "--what-if", "binding=twine"]) == 0
    said = capsys.readouterr().out
    assert "Binding asked for" in said
    assert "twine" in said


@pytest.mark.own
@pytest.mark.parametrize(
    ("options", "said"),
    [
        (("--climate", "arctic"), "--climate: needs one of cool-moist, warm-dry, cold-winter"),
        (("--gate", "22,18"), "--gate: needs OPENING,SETTING,FEED"),
        (("--gate", "22,18,lots"), "--gate: needs OPENING,SETTING,FEED"),
        (("--gate", "nan,18,20"), "--gate: needs OPENING,SETTING,FEED"),
        (("--gate", "22,18,900"), "gate_readings[0].feed_t_h: needs a number from 0.5 to 200"),
        (("--binding", "wire"), "--binding: needs one of net, film, twine"),
        (("--binding", "twine"), "binding: needs net or film, which this machine binds with"),
        (("--row-width-m", "nan"), "--row-width-m: needs a number from 0.2 to 6"),
        (("--diameter-spread-m", "-1"), "--diameter-spread-m: needs a number from 0 to 0.3"),
        (("--rate-l-t", "2", "--active", "0.5"), "additive: needs --rate-l-t, or"),
        (("--active", "0.5"), "additive: needs --rate-l-t, or --active together"),
    ],
)
def test_nonsense_is_refused(
    options: tuple[str, ...], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Wrong options end with exit code 2 and name the option, the need and the cure."""
    assert run([*JOB, *options]) == 2
    assert said in capsys.readouterr().err
