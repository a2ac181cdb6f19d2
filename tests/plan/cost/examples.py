"""A machine, a tractor, prices and a job that several tests start from; all numbers invented."""

from __future__ import annotations

from balewright.plan.cost.job import Draw, Job
from balewright.plan.cost.outlay import Made, Outlay, Owned, Season, UnitPrices
from balewright.plan.cost.ownership import Resale
from balewright.plan.cost.running import WearOf
from balewright.plan.film.strip import Bale
from balewright.plan.pace.settings import BindWork, MadeBale, Row, Settings, WrapWork
from balewright.plan.power.need import Chamber

MACHINE = Owned(120_000.0, 135_000.0, 8.0, 0.04, 0.01)
TRACTOR = Owned(
    130_000.0,
    150_000.0,
    12.0,
    0.04,
    0.01,
    Resale.TRACTOR_LARGE,
    WearOf.TRACTOR_FOUR_WHEEL.value,
    hours_year=700.0,
)
PRICES = UnitPrices(95.0, 1500.0, 230.0, 3000.0, 1.10, 20.0, 1.50)
OUTLAY = Outlay(MACHINE, TRACTOR, PRICES, Season(1200.0, 4.0))
MADE = Made(250.0, 30.0, 70.0, 10.0, 22.0, 1.0)
JOB = Job(
    Settings(
        row=Row(windrow_kg_m=4.0, speed_m_s=2.5, gathered_m=6.0),
        bale=MadeBale(Bale(1.25, 1.23), dry_matter_kg_m3=180.0, moisture_frac=0.55),
        bind=BindWork(2.5, delay_s=2.0, open_s=3.0),
        wrap=WrapWork(12.0, 32.0),
    ),
    Draw(Chamber.FIXED, 13, 7500.0, 110.0),
    field_frac=0.8,
)
