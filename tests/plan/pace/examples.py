"""Settings that several tests start from."""

from __future__ import annotations

from dataclasses import replace

from balewright.plan.film.strip import Bale
from balewright.plan.pace.settings import BindWork, MadeBale, Row, Settings, WrapWork
from balewright.plan.pace.work import Headland, Phases, Stands, Stop, Work

SILAGE = Settings(
    row=Row(windrow_kg_m=4.0, speed_m_s=2.5, gathered_m=6.0, run_m=150.0, turn_s=8.0),
    bale=MadeBale(Bale(1.25, 1.23), dry_matter_kg_m3=180.0, moisture_frac=0.55),
    bind=BindWork(2.5, delay_s=2.0, open_s=3.0, roll_m=3000.0, change_s=240.0),
    wrap=WrapWork(
        16.0, 32.0, rolling_s=2.0, tip_delay_s=1.0, dispensers=2, roll_m=1500.0, change_s=150.0
    ),
    stops=(Stop("film break", 100.0, 90.0, by_chance=True), Stop("grease", 420.0, 600.0)),
)
"""A baler-wrapper in silage of 45 % dry matter, with every kind of stop."""

PLAIN = Work(Phases(48.0, 8.0, 4.0, 3.0, 50.0, 6.0), 600.0)
RACED = replace(
    PLAIN,
    stops=(
        Stop("film rolls", 38.0, 150.0),
        Stop("net roll", 300.0, 240.0),
        Stop("grease", 420.0, 600.0),
        Stop("pickup", 50.0, 20.0, Stands.CHAMBER),
        Stop("cutter", 70.0, 15.0, Stands.WRAPPER),
        Stop("film break", 100.0, 90.0, by_chance=True),
    ),
    headland=Headland(0.75, 8.0),
)
"""Stops of every kind after whole numbers of bales, so that processes can count them too."""
