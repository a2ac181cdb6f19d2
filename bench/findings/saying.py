"""The tables of the bench, in Markdown, weak rows in the open."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from bench.findings.certainty import Case, bins_of, score
from bench.findings.counting import Found, Spread, Wolf, count_false, count_found, split_by, wilson
from bench.findings.facts import Season
from bench.findings.judging import Book
from bench.findings.theory import least_bales

AIMS = {"moderate": 0.85, "severe": 0.98}
"""Share of the faults to be found before the season ends."""
WOLF_AIM = 20.0
"""False findings per 1,000 machine-weeks, at most."""
DELAY_AIMS = {"moderate": 30.0, "severe": 12.0}
"""Median bales from a step to its alarm, at most."""
RATIO_AIM = 1.3
"""Median delay over the best there can be, for rates and slow slopes, at most."""


def table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> list[str]:
    """A table in Markdown."""
    return [
        "| " + " | ".join(head) + " |",
        "|" + "---|" * len(head),
        *("| " + " | ".join(row) + " |" for row in rows),
    ]


def number(value: float | None, places: int = 0) -> str:
    """A number as it stands in a table: "-" unknown, "never" infinite."""
    if value is None:
        return "-"
    if math.isinf(value):
        return "never"
    return f"{value:.{places}f}"


def pair(spread: Spread) -> str:
    """Median and 90th percentile."""
    return f"{number(spread.median)} / {number(spread.ninetieth)}"


def share(part: int, whole: int) -> str:
    """A share with its 95 % interval (Wilson)."""
    if not whole:
        return "-"
    low, high = wilson(part, whole)
    return f"{part / whole:.0%} ({low:.0%}-{high:.0%})"


def percent(value: float | None) -> str:
    """A share of 1 in percent."""
    return "-" if value is None else f"{value:.0%}"


def faulty(seasons: Iterable[Season]) -> list[Season]:
    """Seasons with a fault that their records can show."""
    return [one for one in seasons if one.fault is not None and one.fault.shown]


def clean(seasons: Iterable[Season]) -> list[Season]:
    """Seasons without a fault."""
    return [one for one in seasons if one.fault is None]


def could(season: Season) -> bool:
    """Whether the best chart would tell the fault in half of all such seasons before the end."""
    if season.fault is None:
        return False
    least = least_bales(season.fault)
    return least is None or least <= season.bales - season.fault.start


def found_rows(seasons: Sequence[Season], book: Book) -> list[list[str]]:
    """A row for each fault and severity, the least found first."""
    lots = split_by(faulty(seasons), lambda one: (one.fault.kind, one.fault.severity))  # type: ignore[union-attr]
    counted = [(label, lot, count_found(lot, book)) for label, lot in lots.items()]
    counted.sort(key=lambda row: (row[2].recall, row[0]))
    return [_found_row(label, lot, found) for label, lot, found in counted]


def _found_row(label: tuple[str, ...], lot: Sequence[Season], found: Found) -> list[str]:
    kind, severity = label
    weak = " (*)" if found.recall < AIMS[severity] else ""
    inside, stated = found.covered
    return [
        kind + weak, severity, f"{found.found} of {found.seasons}",
        f"{sum(map(could, lot))}", percent(found.precision), percent(found.with_sides),
        pair(found.alarm), pair(found.review), number(found.start_error.median),
        number(found.start_off.ninetieth), f"{inside} of {stated}" if stated else "-",
    ]  # fmt: skip


FOUND_HEAD = (
    *("fault", "severity", "found", "could be", "precision", "with side effects"),
    *("bales to alarm, median / 90 %", "to the daily review, median / 90 %"),
    *("start: error, median", "start: off, 90 %", "start inside its interval"),
)


def severity_rows(seasons: Sequence[Season], book: Book) -> list[list[str]]:
    """Found by severity, beside the aim, over all faults and over those that could be."""
    rows = []
    for severity, aim in AIMS.items():
        lot = [one for one in faulty(seasons) if one.fault and one.fault.severity == severity]
        if not lot:
            continue
        possible = [one for one in lot if could(one)]
        of_all, of_possible = count_found(lot, book), count_found(possible, book)
        rows.append([
            severity, f"{aim:.0%}", share(of_all.found, of_all.seasons),
            share(of_possible.found, of_possible.seasons), percent(of_all.precision),
            percent(of_all.with_sides), pair(of_all.alarm), pair(of_all.review),
            share(*of_all.covered),
        ])  # fmt: skip
    return rows


SEVERITY_HEAD = (
    *("severity", "aim", "found", "found of those that could be", "precision"),
    *("with side effects", "bales to alarm", "to the daily review", "start inside its interval"),
)


def delay_rows(seasons: Sequence[Season], book: Book) -> list[list[str]]:
    """Delay by what moves, how it grows and how much, beside the best there can be.

    The ratio is the median over seasons of alarm over the best delay of that season's own fault.
    """
    lots = split_by(
        [one for one in faulty(seasons) if one.fault and least_bales(one.fault) is not None],
        lambda one: (one.fault.family, one.fault.growth, one.fault.severity),  # type: ignore[union-attr]
    )
    rows = []
    for (family, growth, severity), lot in lots.items():
        found = count_found(lot, book)
        best = sorted(least_bales(one.fault) or math.inf for one in lot if one.fault)
        step = family == "level" and growth == "step"
        aim = f"{DELAY_AIMS[severity]:.0f} bales" if step else f"ratio {RATIO_AIM}"
        rows.append([
            family, growth, severity, str(len(lot)), share(found.found, len(lot)),
            pair(found.alarm), number(best[(len(best) - 1) // 2]), _ratio(lot, book), aim,
        ])  # fmt: skip
    return rows


def _ratio(lot: Sequence[Season], book: Book) -> str:
    ratios = []
    for season in lot:
        alarm = count_found([season], book).alarm.median
        least = least_bales(season.fault) if season.fault else None
        if alarm is not None and least is not None:
            ratios.append(math.inf if math.isinf(alarm) else alarm / least)
    ratios.sort()
    return number(ratios[(len(ratios) - 1) // 2], 2) if ratios else "-"


DELAY_HEAD = (
    *("what moves", "growth", "severity", "seasons", "found", "bales to alarm, median / 90 %"),
    *("best there can be, median", "ratio, median", "aim"),
)


def wolf_rows(seasons: Sequence[Season], book: Book) -> list[list[str]]:
    """False findings by make and sensors, and over all."""
    lots = split_by(clean(seasons), lambda one: (one.machine, one.sensors))
    rows = [_wolf_row(" ".join(label), count_false(lot, book)) for label, lot in lots.items()]
    if clean(seasons):
        rows.append(_wolf_row("all", count_false(clean(seasons), book)))
    return rows


def _wolf_row(label: str, wolf: Wolf) -> list[str]:
    return [
        label, str(wolf.weeks), str(wolf.false), str(wolf.false - wolf.physics),
        str(wolf.physics), str(wolf.light), number(wolf.per_thousand), number(wolf.highest),
        str(wolf.true), str(wolf.notes),
    ]  # fmt: skip


WOLF_HEAD = (
    *("machine, sensors", "weeks", "false", "by watching", "by physics", "of them mere notes"),
    *("per 1,000 weeks", "at most (95 %)", "true, unplanted", "book-keeping"),
)


def measure_rows(seasons: Sequence[Season], book: Book, most: int = 15) -> list[list[str]]:
    """What cries wolf: kinds and measures by false findings."""
    wolf = count_false(clean(seasons), book)
    shown = [[what, str(count), number(1000 * count / wolf.weeks, 1)] for what, count in wolf.worst]
    rest = shown[most:]
    if rest:
        total = sum(int(row[1]) for row in rest)
        shown = [*shown[:most], [f"{len(rest)} others", str(total),
                                 number(1000 * total / wolf.weeks, 1)]]  # fmt: skip
    return shown


def certain_rows(cases: Sequence[Case], bins: int = 5) -> list[list[str]]:
    """Stated certainty against what came true."""
    return [
        [
            f"{one.low_frac:.3f} to {one.high_frac:.3f}" + (" (few)" if one.count < 200 else ""),
            str(one.count), f"{one.stated_frac:.3f}", share(one.true, one.count),
        ]
        for one in bins_of(cases, bins)
    ]  # fmt: skip


def score_row(label: str, cases: Sequence[Case], left_out: int) -> list[str]:
    """The scores of some statements beside those of the base rate."""
    if not cases:
        return [label, "0", "-", "-", "-", "-", "-", str(left_out)]
    got = score(cases)
    return [
        label, str(got.count), f"{got.base_frac:.3f}", f"{got.brier:.4f}", f"{got.brier_base:.4f}",
        f"{got.log_score:.4f}", f"{got.log_score_base:.4f}", str(left_out),
    ]  # fmt: skip


SCORE_HEAD = (
    *("statements", "how many", "true", "Brier", "Brier of the base rate", "log score"),
    *("log score of the base rate", "left out (side effects)"),
)


def mix_rows(seasons: Sequence[Season], book: Book) -> list[list[str]]:
    """Plain seasons, each mix of the stress pack, and the pack as a whole."""
    lots = {label[0]: lot for label, lot in split_by(seasons, lambda one: (one.mix,)).items()}
    rows = [_mix_row(mix or "plain", lot, book) for mix, lot in lots.items()]
    stressed = [one for one in seasons if one.mix]
    return [*rows, _mix_row("whole pack", stressed, book)] if stressed else rows


def _mix_row(label: str, lot: Sequence[Season], book: Book) -> list[str]:
    row = [label]
    calm = clean(lot)
    if calm:
        wolf = count_false(calm, book)
        row += [str(wolf.weeks), str(wolf.false), number(wolf.per_thousand)]
    else:
        row += ["0", "-", "-"]
    for severity in AIMS:
        bad = [one for one in faulty(lot) if one.fault and one.fault.severity == severity]
        found = count_found(bad, book)
        row += [share(found.found, found.seasons), number(found.alarm.median)]
    bad = faulty(lot)
    return [*row, percent(count_found(bad, book).with_sides) if bad else "-"]


MIX_HEAD = (
    *("records", "clean weeks", "false", "per 1,000 weeks", "moderate: found", "median bales"),
    *("severe: found", "median bales", "precision with side effects"),
)
