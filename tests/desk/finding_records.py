"""Records for the pages of findings: a machine whose chamber pressure falls at bale 331."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np

from balewright.flows.workplace import Workplace

SERIAL = "Q-7"
FELL_AT = 331
BALES = 420


def pressure_records(serial: str, fell_at: int, bales: int = BALES) -> str:
    """Bale CSV: pressure scatters by 3 % about 120 bar, and is 12 % lower from `fell_at` on."""
    rng = np.random.default_rng(sum(map(ord, serial)))
    bars = 120.0 * np.exp(rng.normal(0.0, 0.03, bales))
    bars[fell_at - 1 :] *= 0.88
    begin = datetime(2026, 6, 1, 8, tzinfo=UTC)
    lines = ["machine,bale_no,job,operator,full_at,chamber_bar,film_breaks"]
    for place in range(bales):
        at = begin + timedelta(minutes=2 * place)
        job, who = f"F-{place // 60}", "Anke" if place % 120 < 60 else "Bero"
        breaks = int(place >= fell_at and place % 11 == 0)
        lines.append(
            f"{serial},{place + 1},{job},{who},{at:%Y-%m-%dT%H:%M:%SZ},{bars[place]:.1f},{breaks}"
        )
    return "\n".join(lines) + "\n"


def keep_machine(workplace: Workplace, folder: Path, serial: str = SERIAL, fell_at: int = FELL_AT,
                 name: str = "Blue one") -> None:  # fmt: skip
    """Take such a machine's records in and review it."""
    from balewright.flows.review_machine import review_machine
    from balewright.flows.take_in_file import take_in_file
    from balewright.store.entries import MachineEntry

    path = folder / f"{serial}.csv"
    path.write_text(pressure_records(serial, fell_at), encoding="utf-8")
    take_in_file(workplace, path)
    workplace.register.save_machine(MachineEntry(serial, name, "mossgrinder-m2", "Etc/UTC", None))
    review_machine(workplace, serial)


def key_of_pressure(workplace: Workplace, serial: str = SERIAL) -> str:
    """Key of the episode that tells of the pressure."""
    (key,) = (
        one.key
        for one in workplace.register.load_episodes(serial)
        if one.finding.measure == "chamber_bar"
    )
    return key
