"""Writes the table of `docs/cycles.md`: `python -m tests.records.cycles.report` in the root.

The seeds begin at 80 000; thresholds were chosen with seeds from 100 to 105 alone, and the tests
have others. Two minutes long, so by hand; a test holds one of its rows against the page.
"""

from __future__ import annotations

import zlib
from collections.abc import Iterator
from pathlib import Path

import numpy as np
from tests.records.cycles.scoring import Score, add_day

from balewright.records.cycles.cutting import cut_cycles
from balewright.rehearsal.signals.habits import POOR, POOREST, RICH, Habits
from balewright.rehearsal.signals.troubles import Trouble, rehearse_day

PAGE = Path(__file__).parents[3] / "docs" / "cycles.md"
BEGIN, END = "<!-- table begins -->", "<!-- table ends -->"
DAYS, BALES, FIRST_SEED = 4, 25, 80_000
HEAD = (
    "| trouble | bales | missed | invented | number wrong or unknown | further passes "
    "| boundaries told | error median, 95 %, s | within the range |\n"
    "|---|---|---|---|---|---|---|---|---|"
)
MISSING = {
    "no gate signals": ("chamber_closed", "gate_opening_mm"),
    "no binding switch": ("binding_on",),
    "no sensor for the bale on the wrapper": ("bale_on_wrapper",),
    "no ring switch": ("wrapper_on",),
    "no sign for full": ("chamber_full",),
    "no bale number": ("bale_no",),
    "neither chamber nor binding": (
        "chamber_closed", "gate_opening_mm", "chamber_full", "chamber_fill_frac", "binding_on",
        "binding_m", "binding_turns",
    ),
}  # fmt: skip
ONLY_RICH = (Trouble.FROZEN_GATE, Trouble.FROZEN_BALE, Trouble.CHATTER)
NO_WRAPPER = (
    Trouble.DARK_OPENING, Trouble.DARK_WRAPPING, Trouble.DARK_TIPPING, Trouble.BURST,
    Trouble.REWRAPPED, Trouble.WRAPPER_OFF, Trouble.ROLL_END, Trouble.ONE_FILM, Trouble.BY_HAND,
    Trouble.BUSY, Trouble.WEIGHED_LATER, Trouble.FROZEN_BINDING,
)  # fmt: skip
"""What a machine without a wrapper, or without such a sensor, cannot have."""


def score_of(habits: Habits, trouble: Trouble, said: str) -> Score:
    """All days of one row; their seeds come from its words."""
    score = Score()
    for day in range(DAYS):
        seed = FIRST_SEED + zlib.crc32(f"{said} {day}".encode()) % 10_000
        rehearsed = rehearse_day(habits, BALES, trouble, np.random.default_rng(seed))
        add_day(score, cut_cycles(rehearsed.signals), rehearsed.truth)
    return score


def row_of(said: str, score: Score) -> str:
    """One line of the table."""
    errors_s = np.array(score.errors_us) / 1e6
    middle_s, most_s = np.quantile(errors_s, [0.5, 0.95]) if len(errors_s) else (0.0, 0.0)
    inside = 100.0 * sum(score.inside.values()) / max(score.told, 1)
    passes = f"{score.passes_found} of {score.passes_true}" if score.passes_true else ""
    return (
        f"| {said} | {score.true} | {score.missed} | {score.invented} "
        f"| {score.numbers_wrong + score.numbers_unknown} | {passes} "
        f"| {score.told} of {score.boundaries} | {middle_s:.2f}, {most_s:.2f} | {inside:.1f} % |"
    )


def table_of(habits: Habits, make: str, left_out: tuple[Trouble, ...]) -> Iterator[str]:
    """The lines of one make."""
    yield HEAD
    for trouble in Trouble:
        if trouble not in left_out:
            yield row_of(trouble.value, score_of(habits, trouble, f"{make} {trouble.value}"))
    if habits is RICH:
        for said, names in MISSING.items():
            score = score_of(habits.without(*names), Trouble.NONE, f"{make} {said}")
            yield row_of(said, score)


def main() -> None:
    """Write the table anew."""
    parts = []
    for title, habits, make, left_out in (
        ("All signals", RICH, "rich", ()),
        ("Binding, wrap turns and number only", POOR, "poor", ONLY_RICH),
        (
            "Binding metres and number only, no wrapper",
            POOREST,
            "poorest",
            (*ONLY_RICH, *NO_WRAPPER),
        ),
    ):
        parts += ["", f"### {title}", "", *table_of(habits, make, left_out)]
    page = PAGE.read_text(encoding="utf-8")
    before, _, rest = page.partition(BEGIN)
    _, _, after = rest.partition(END)
    table = "\n".join(parts)
    PAGE.write_text(f"{before}{BEGIN}\n{table}\n\n{END}{after}", encoding="utf-8")


if __name__ == "__main__":
    main()
