"""A finding in words: at a glance, and what became of it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final
from zoneinfo import ZoneInfo

from balewright.desk.reading import reading, say_here
from balewright.desk.wording import words
from balewright.findings.episode import Episode, EpisodeState, SetAside
from balewright.findings.finding import Finding, FindingKind
from balewright.flows.open_finding import HUNDRED, OpenedFinding
from balewright.quantities.interval import Interval
from balewright.quantities.reason import because
from balewright.words.say import catalogue, say_value
from balewright.words.times import say_time

_SUREST: Final = 0.99
"""Beyond that models are not to be believed to the digit."""
_RAREST: Final = 1e-6


def state_of(episode: Episode) -> str:
    """The word for where it stands: key under `finding.state.`."""
    if episode.joined is not None:
        return "joined"
    if episode.withdrawn:
        return "withdrawn"
    if episode.state is EpisodeState.OPEN and episode.under is not None:
        return "folded"
    if episode.state is EpisodeState.OPEN and not episode.admitted:
        return "waiting"
    return episode.state.value


def kind_said(finding: Finding) -> str:
    """The kind as a heading."""
    return say_here(because(f"finding.kind.{finding.kind.value}"))


def glance(opened: OpenedFinding) -> list[tuple[str, str]]:
    """Name and value, only of what is known."""
    finding = opened.episode.finding
    lines = [
        ("since", _since(finding)),
        ("until", _number("finding.bale", finding.until_bale)),
        ("bales", _bales(finding)),
        *_amounts(finding),
        ("sure", sure_said(finding)),
        ("chance", _chance(finding)),
        ("worth", _worth(finding)),
        ("adjusted", _adjusted(opened)),
        ("part", finding.part),
    ]
    return [(words(f"finding.{key}"), said) for key, said in lines if said]


def _number(key: str, number: int | None) -> str:
    return "" if number is None else words(key, number=number)


def _since(finding: Finding) -> str:
    if finding.since_bale is None:
        return ""
    start = finding.start
    if start is None or start.first_bale is None or start.first_bale == start.last_bale:
        return words("finding.since.at", since_said=bale_said(finding.since_bale))
    return words(
        "finding.since.between",
        since_said=bale_said(finding.since_bale),
        first_said=bale_said(start.first_bale),
        last_said=bale_said(start.last_bale),
        confidence_frac=start.confidence,
    )


def _bales(finding: Finding) -> str:
    if not finding.looked_at:
        return ""
    key = "finding.bales.span" if finding.measure else "finding.bales.of"
    return words(key, bales=finding.bales, looked_at=finding.looked_at)


def _amounts(finding: Finding) -> Iterator[tuple[str, str]]:
    """What it was or should be, what it is, and by how much it moved, in the trade's unit."""
    name = finding.measure or _plan_name(finding)
    if name is None:
        return
    is_rate = finding.unit == HUNDRED
    is_unlike = finding.kind is FindingKind.UNLIKE_ITS_KIND
    if finding.planned is not None:
        key = "others" if is_unlike else "before" if finding.measure else "planned"
        yield key, _amount(name, finding.planned, is_rate)
    if finding.seen is not None:
        yield "now", _range(name, finding.seen, is_rate)
    if finding.moved is not None:
        yield "apart" if is_unlike else "moved", _moved(name, finding, is_rate)


def _plan_name(finding: Finding) -> str | None:
    """A name whose end is the unit of a check against the plan; None where that is no number."""
    ends = {
        "layers": "count", "turns": "count", "fraction": "x_frac", "mm": "x_mm", "bar": "x_bar",
        "kg/m3": "x_kg_m3", "s": "x_s", "m": "x_m",
    }  # fmt: skip
    return ends.get(finding.unit)


def _amount(name: str, value: float, is_rate: bool) -> str:
    if is_rate:
        return words("finding.hundred", figure=_figure(value))
    return say_value(name, value, reading())


def _figure(value: float) -> str:
    return f"{value:.1f}" if abs(value) >= 0.95 else f"{value:.2f}"


def _range(name: str, told: Interval, is_rate: bool) -> str:
    low, best, high = (
        _figure(one) if is_rate else say_value(name, one, reading())
        for one in (told.low, told.best, told.high)
    )
    if is_rate:
        best = words("finding.hundred", figure=best)
    if low == high:
        return best
    return words("finding.range", best_said=best, low_said=low, high_said=high)


def _moved(name: str, finding: Finding, is_rate: bool) -> str:
    """A difference; of a ratio it is told as a share of what it was."""
    moved, planned = finding.moved, finding.planned
    assert moved is not None
    if name.endswith("_ratio") and planned:
        shares = {"change_frac": moved.best, "low_frac": moved.low, "high_frac": moved.high}
        return words("finding.percent", **{key: one / planned for key, one in shares.items()})
    if name.endswith("_c") or name == "x_c":
        low, best, high = (f"{one:.1f} K" for one in (moved.low, moved.best, moved.high))
        return words("finding.range", best_said=best, low_said=low, high_said=high)
    return _range(name, moved, is_rate)


def sure_said(finding: Finding) -> str:
    """How sure it is, in one phrase."""
    sure_frac = finding.certain_frac
    if sure_frac is None:
        return words("finding.sure.settled")
    return words("finding.sure.chart", certain_said=certain_said(sure_frac))


def certain_said(sure_frac: float) -> str:
    """A certainty as a share that never rounds up to all."""
    if sure_frac > _SUREST:
        return words("finding.sure.most")
    return say_value("certain_frac", sure_frac, reading())


def _chance(finding: Finding) -> str:
    chance_frac = finding.chance_frac
    if chance_frac is None:
        return ""
    if chance_frac < _RAREST:
        return words("finding.chance.rarely")
    digits = max(0, len(str(int(1.0 / chance_frac))) - 2)
    return words("finding.chance.once", times=int(round(1.0 / chance_frac, -digits)))


def _worth(finding: Finding) -> str:
    worth = finding.worth
    if worth is None:
        return ""
    said = []
    if worth.money_bale is not None:
        money = worth.money_bale
        ends = {"best": money.best, "low": money.low, "high": money.high}
        told = {key: f"{one:.2f}" for key, one in ends.items()}
        said.append(words("finding.worth.money", **told))
    if worth.risk is not None:
        said.append(say_here(worth.risk))
    return " ".join(said)


def _adjusted(opened: OpenedFinding) -> str:
    finding = opened.episode.finding
    known = catalogue(reading())
    said = [known.get(f"explains.{key}", key) for key in finding.adjusted_for]
    if finding.measure and opened.readings is not None:
        group = say_here(because(f"watched.group.{opened.readings.group}"))
        said.append(words("finding.adjusted.group", group_said=group))
    return ", ".join(said)


def history_of(episode: Episode, zone: ZoneInfo) -> list[tuple[str, str]]:
    """When and what, in the order it happened."""
    told = [(episode.told_us, words("finding.history.told"))]
    told += [
        (
            one.at_us,
            words(
                "finding.history.start",
                before_said=bale_said(one.since_bale_before),
                after_said=bale_said(one.since_bale_after),
            ),
        )
        for one in episode.revisions
    ]
    told += [
        (
            out.since_us or 0,
            words(
                "finding.history.again",
                first_said=bale_said(out.since_bale),
                last_said=bale_said(out.until_bale),
            ),
        )
        for out in episode.outbreaks[1:]
    ]
    asides = [*episode.aside_before, *([episode.set_aside] if episode.set_aside else [])]
    for aside in asides:
        told += _aside(aside, zone)
    if episode.closed_us is not None:
        key = "withdrawn" if episode.withdrawn else "closed"
        told.append((episode.closed_us, words(f"finding.history.{key}")))
    else:
        told.append((episode.seen_us, words("finding.history.seen")))
    told.sort(key=lambda line: line[0])
    return [(say_time(at_us or None, zone), said) for at_us, said in told]


def _aside(aside: SetAside, zone: ZoneInfo) -> Iterator[tuple[int, str]]:
    yield aside.at_us, aside_said(aside, zone, "finding.history.aside")
    if aside.ended_us is not None and aside.ended_why is not None:
        key = f"finding.history.ended.{aside.ended_why.value}"
        by = aside.ended_by or words("finding.shell")
        yield aside.ended_us, words(key, by=by)


def aside_said(aside: SetAside, zone: ZoneInfo, key: str) -> str:
    """Who set it aside, when, until when and why, as the message under `key` puts it."""
    values = {
        "by": aside.by or words("finding.shell"),
        "reason": aside.reason,
        "when_said": say_time(aside.at_us, zone),
    }
    if aside.until_us is None:
        return words(key, **values)
    return words(f"{key}.until", until_said=say_time(aside.until_us, zone), **values)


def bale_said(number: int | None) -> str:
    """A bale number, a dash where it has none."""
    return "–" if number is None else say_value("number", number, reading())
