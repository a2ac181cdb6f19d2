"""`balewright heating`, `additive` and `dry-matter` as somebody types them."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from balewright.cli.entry import run

PAGE = (Path(__file__).parents[2] / "docs" / "commands.md").read_text()
HOT = ("heating", "--reading", "0:47", "--reading", "12:50", "--reading", "24:53")
RISING = (*HOT, "--reading", "36:56")
ACID = ("additive", "--moisture", "24%", "--active", "65%", "--density-kg-l", "1.08")
JOB = ("--feed-t-h", "18", "--bale-kg", "420", "--tank-l", "200", "--day-bales", "180")
DRYING = (
    "dry-matter",
    *(word for pair in ("0:100", "3:62", "4:49") for word in ("--weighing", pair)),
)
SAMPLES = ("dry-matter", "--sample", "31%", "--sample", "0.335", "--sample", "29.8%")
PAIRS = tuple(
    word
    for pair in ("12%:14%", "14%:15%", "17%:18%", "21%:23%", "24%:25%", "27%:29%")
    for word in ("--pair", pair)
)


def asked(capsys: pytest.CaptureFixture[str], *words: str) -> dict[str, Any]:
    """The JSON answer; the command must end well."""
    assert run([*words, "--json"]) == 0
    answer: dict[str, Any] = json.loads(capsys.readouterr().out)
    return answer


def said(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    """The printed answer with plain spaces; the command must end well."""
    assert run(list(words)) == 0
    return capsys.readouterr().out.replace("\N{NO-BREAK SPACE}", " ")


@pytest.mark.derived
def test_heating_tells_action_rate_and_next_reading(capsys: pytest.CaptureFixture[str]) -> None:
    """A quarter of a degree an hour: rising, watched, next reading within the day."""
    answer = asked(capsys, *RISING)
    assert (answer["balewright"], answer["version"]) == ("heating", 1)
    assert (answer["action"], answer["trend"]) == ("watch", "rising")
    assert answer["rate_c_h"]["best"] == pytest.approx(0.25)
    assert answer["next_reading_h"] <= 24.0
    assert answer["storage"] is None


@pytest.mark.derived
def test_heating_takes_fahrenheit(capsys: pytest.CaptureFixture[str]) -> None:
    """165 F is 73.9 C: the fire service is called, though five of seven sources would wait."""
    answer = asked(capsys, "heating", "--reading", "0:165", "--fahrenheit")
    assert answer["temperature_c"] == pytest.approx(73.889, abs=1e-3)
    assert answer["action"] == "call"
    assert len(answer["asked_by"]) == 2


@pytest.mark.own
def test_cautions_come_before_the_answer(capsys: pytest.CaptureFixture[str]) -> None:
    """The first lines of every answer that can hurt are its cautions."""
    assert said(capsys, *RISING).startswith("Hot hay can burst into flames")
    assert "toxic" in said(capsys, *RISING, "--acid").split("Now ")[0]
    assert said(capsys, *ACID).startswith("Acid burns skin")
    assert said(capsys, *DRYING).startswith("A dry sample burns")


@pytest.mark.own
def test_heating_words_for_every_case(capsys: pytest.CaptureFixture[str]) -> None:
    """Falling, not shown, too few, at an alarm already, burning, dry and damp hay."""
    falling = (
        "--reading",
        "0:60",
        "--reading",
        "12:56",
        "--reading",
        "24:52",
        "--reading",
        "36:48",
    )
    assert "It is falling" in said(capsys, "heating", *falling, "--thermometer", "0.5")
    assert "not shown yet" in said(capsys, *HOT)
    assert "unknown" in said(capsys, "heating", "--reading", "0:30")
    assert "nobody goes near" in said(capsys, "heating", "--reading", "0:95")
    near = ("--reading", "0:64", "--reading", "1:66", "--reading", "2:62")
    assert "may be at 65.6 °C" in said(capsys, "heating", *near, "--thermometer", "0.1")
    for moisture, words in (("12%", "dry enough"), ("17%", "disagree"), ("25%", "too damp")):
        assert words in said(capsys, *HOT, "--moisture", moisture)


@pytest.mark.derived
def test_additive_by_the_hour_and_the_bale(capsys: pytest.CaptureFixture[str]) -> None:
    """5 kg/t of 65 % at 1.08 kg/l: 7.12 l/t, 128 l/h at 18 t/h, 2.99 l a bale, 66 to a tank."""
    answer = asked(capsys, *ACID, *JOB)
    assert answer["acid_kg_t"]["best"] == 5.0
    assert answer["rate_l_t"] == pytest.approx(7.1225, abs=1e-4)
    assert answer["rate_l_h"] == pytest.approx(128.2, abs=0.05)
    assert answer["rate_l_bale"] == pytest.approx(2.991, abs=1e-3)
    assert (answer["tank_bales"], answer["tank_changes"]) == (66, 2)


@pytest.mark.own
def test_additive_is_silent_where_sources_are(capsys: pytest.CaptureFixture[str]) -> None:
    """Dry hay and silage get no rate, which is null and not zero; litres an hour need a feed."""
    for moisture, words in (("15%", "may be stored as it is"), ("60%", "wrap it")):
        answer = asked(capsys, "additive", "--moisture", moisture)
        assert (answer["acid_kg_t"], answer["rate_l_t"]) == (None, None)
        assert words in said(capsys, "additive", "--moisture", moisture)
    assert asked(capsys, *ACID)["rate_l_h"] is None
    assert "follow from the feed rate" in said(capsys, *ACID)
    assert "edge of working" in said(capsys, "additive", "--moisture", "32%")


@pytest.mark.derived
def test_additive_judges_what_was_used(capsys: pytest.CaptureFixture[str]) -> None:
    """60 l over 20 bales of 420 kg are 7.14 l/t: in order; over 40 bales too little."""
    used = ("--bale-kg", "420", "--used-l", "60", "--over-bales")
    assert asked(capsys, *ACID, *used, "20")["given_verdict"] == "in order"
    assert asked(capsys, *ACID, *used, "40")["given_verdict"] == "too little"
    unsure = said(capsys, *ACID, *used, "20", "--gauge-l", "10")
    assert "the gauge would no longer hide" in unsure
    assert "Weigh some" in said(capsys, *ACID, *used, "20", "--bale-off-kg", "60")


@pytest.mark.derived
def test_dry_matter_goes_on_and_stops(capsys: pytest.CaptureFixture[str]) -> None:
    """Again after a loss of 13 g; after 0.4 g done, at 35 %."""
    answer = asked(capsys, *DRYING)
    assert (answer["step"], answer["heat_minutes"]) == ("heat again", 1.0)
    assert answer["dry_matter_fraction"] is None
    more = ("--weighing", "6:35.4", "--weighing", "7:35", "--scale-g", "0.1")
    assert asked(capsys, *DRYING, *more)["dry_matter_fraction"]["best"] == pytest.approx(0.35)
    assert "from memory, not applied" in said(capsys, *DRYING, *more, "--silage")
    assert "new sample" in said(capsys, *DRYING, "--charred")
    nearly = ("--weighing", "6:36", "--weighing", "7:35", "--weighing", "8:33", "--charred")
    assert "The weight before counts" in said(capsys, *DRYING, *nearly)


@pytest.mark.derived
def test_dry_matter_of_samples_and_probe(capsys: pytest.CaptureFixture[str]) -> None:
    """Three samples of 31.43 % on average; a probe inside and outside its pairs."""
    answer = asked(capsys, *SAMPLES, "--within", "1")
    assert answer["mean_fraction"] == pytest.approx((0.31 + 0.335 + 0.298) / 3)
    assert answer["samples_needed"] > 30
    assert "66 samples" in said(capsys, *SAMPLES, "--within", "1")
    assert "stays unknown" in said(capsys, "dry-matter", "--sample", "31%", "--silage")
    inside = asked(capsys, "dry-matter", *PAIRS, "--probe", "19%")["moisture_fraction"]
    assert inside["low"] < 0.205 < inside["high"]
    assert asked(capsys, "dry-matter", *PAIRS, "--probe", "30%")["moisture_fraction"] is None
    assert "outside its pairs" in said(capsys, "dry-matter", *PAIRS, "--probe", "30%")
    assert "below the oven" in said(capsys, "dry-matter", *PAIRS)


@pytest.mark.law
@pytest.mark.parametrize("words", [RISING, (*ACID, *JOB), DRYING], ids=lambda words: str(words[0]))
def test_every_json_field_is_named(
    capsys: pytest.CaptureFixture[str], words: tuple[str, ...]
) -> None:
    """What the JSON says stands in the command's section."""
    section = PAGE.split(f"\n## {words[0]}\n", 1)[1].split("\n## ", 1)[0]
    answer = asked(capsys, *words)
    fields = set(answer) - {"balewright", "version"}
    assert {name for name in fields if f"`{name}`" not in section} == set()


@pytest.mark.own
@pytest.mark.parametrize("words", [RISING, ACID, DRYING], ids=lambda words: str(words[0]))
def test_svg_is_written_or_refused(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, words: tuple[str, ...]
) -> None:
    """--svg writes a drawing; a folder that is not there ends with 2 and says so."""
    drawing = tmp_path / "chart.svg"
    said(capsys, *words, "--svg", str(drawing))
    assert drawing.read_text().startswith("<svg")
    assert run([*words, "--svg", str(tmp_path / "no" / "chart.svg")]) == 2
    assert "a file that can be written" in capsys.readouterr().err


@pytest.mark.own
@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("heating --reading 74", "two parts and a colon"),
        ("heating --reading a:74", "a number"),
        ("heating --reading 0:nan", "a number"),
        ("heating --reading 0:9999", "--reading"),
        ("heating --reading 2:50 --reading 1:51", "hours that grow"),
        ("heating --reading 0:50 --thermometer -1", "--thermometer"),
        ("heating --reading 0:50 --confidence 2", "--confidence"),
        ("heating --reading 0:50 --moisture 17", "Write 31% or 0.31"),
        ("additive", "neither"),
        ("additive --moisture 24% --rate-l-t 5", "both"),
        ("additive --rate-l-t inf", "--rate-l-t"),
        ("additive --rate-l-t 0", "--rate-l-t"),
        ("additive --rate-l-t 5 --feed-t-h 1e9", "--feed-t-h"),
        ("additive --rate-l-t 5 --used-l 40", "--over-bales beside it"),
        ("additive --rate-l-t 5 --used-l 40 --over-bales 9", "--bale-kg beside it"),
        ("additive --rate-l-t 5 --svg x.svg", "Only acid has a picture"),
        ("additive --moisture 24% --active 0%", "--active"),
        ("dry-matter", "none of them"),
        ("dry-matter --weighing 3:100", "wet sample first"),
        ("dry-matter --weighing 0:100 --weighing 3:140", "only gets lighter"),
        ("dry-matter --sample 31% --within 1", "two --sample or more"),
        ("dry-matter --sample x", "a share"),
        ("dry-matter --sample 31% --svg x.svg", "--weighing beside it"),
        ("dry-matter --sample 31% --probe 19%", "--pair beside it"),
        ("dry-matter --pair 12%:14%", "5 pairs or more"),
    ],
)
def test_bad_input_is_told_with_its_cure(
    capsys: pytest.CaptureFixture[str], line: str, words: str
) -> None:
    """Every slip ends with 2 and says place, need and cure, in words and as JSON."""
    assert run(line.split()) == 2
    assert words in capsys.readouterr().err
    assert run([*line.split(), "--json"]) == 2
    assert json.loads(capsys.readouterr().out)["faults"]
