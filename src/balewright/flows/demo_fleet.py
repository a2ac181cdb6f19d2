"""The invented fleet of the demo: machines, customers, conditions and what is wrong with them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from balewright.flows.give_feedback import Answer
from balewright.flows.house_prices import HousePrices
from balewright.plan.crop import Crop
from balewright.plan.film.strip import Film
from balewright.plan.sheet.sheet import Conditions
from balewright.rehearsal.days import Site
from balewright.rehearsal.faults import Confuser, ConfuserKind, FaultKind, Planted, RollLoss
from balewright.store.entries import Change, JobEntry, MachineEntry, Outcome

BALES: Final = 640
DEMO_PRICES: Final = HousePrices(
    film_roll_money=80.0, film_roll_m=1500.0, binding_roll_money=160.0, binding_roll_m=3000.0,
    fuel_money_l=1.5, additive_money_l=4.0, hour_money=190.0, bale_money=16.0, currency="acorns",
)  # fmt: skip
"""Invented, in an invented currency."""
ZONE: Final = "Etc/UTC"
_FILM: Final = Film(width_m=0.75, thickness_m=25e-6, roll_m=1500.0, pre_stretch_frac=0.70)
_FEW_SENSORS: Final = frozenset(
    {
        *("gate_opening_mm", "chamber_bar", "knife_bar", "binding_turns", "film1_m", "film2_m"),
        *("film_m", "mass_kg", "moisture_frac", "diameter_m", "diameter_left_m"),
        *("diameter_right_m", "bind_start_at", "bind_end_at", "on_wrapper_at", "wrap_start_at"),
    }
)


@dataclass(frozen=True)
class DemoMachine:
    """One machine of the demo and its season. served: items done before it, each with how many
    bales before; said: what its operators answered to its sheet; left_open: the season's job, from
    0, whose first so many bales were made with the job before still open; None for no such.
    """

    entry: MachineEntry
    conditions: Conditions
    customer: str
    first_number: int
    planted: tuple[Planted, ...] = ()
    confusers: tuple[Confuser, ...] = ()
    lost: tuple[RollLoss, ...] = ()
    silent: frozenset[str] = frozenset()
    served: tuple[tuple[str, int], ...] = ()
    said: tuple[Answer, ...] = ()
    left_open: tuple[int, int] | None = None

    @property
    def jobs(self) -> tuple[JobEntry, ...]:
        """Its orders: four fields of one customer."""
        return tuple(
            JobEntry(f"{self.entry.serial}-{field}", self.customer, f"{self.customer} yard",
                     f"{name} field", str(self.conditions.crop))
            for field, name in enumerate(("Long", "Round", "Lower", "Far"), start=1)
        )  # fmt: skip

    @property
    def sites(self) -> tuple[Site, ...]:
        """Where those fields lie: in the open sea, so that nobody's land is meant."""
        east = sum(self.entry.serial.encode()) % 17 / 10
        return tuple(
            Site(job.job, 8.0 + place / 50, -38.0 - east) for place, job in enumerate(self.jobs)
        )


def _conditions(crop: Crop, moisture_frac: float, windrow_kg_m: float) -> Conditions:
    film, slope_frac = (_FILM if crop.is_wrapped else None), 0.04
    return Conditions(
        crop, moisture_frac, windrow_kg_m, 2.5, slope_frac, False, False, film, 3000.0, 8.0, BALES
    )


def _machine(serial: str, name: str, profile_key: str) -> MachineEntry:
    return MachineEntry(serial, name, profile_key, ZONE)


def _answer(outcome: Outcome, number: int, *changes: tuple[str, str], text: str = "") -> Answer:
    set_to = tuple(Change(line, value) for line, value in changes)
    return Answer(f"demo-answer-{number}", outcome.value, set_to, text)


DEMO_FLEET: Final = (
    DemoMachine(
        _machine("MM-1001", "Mossgrinder, first crew", "mossgrinder-m2"),
        _conditions(Crop.GRASS_SILAGE, 0.56, 4.0),
        "Hollowquill Farms",
        8_211,
        planted=(Planted(FaultKind.STRETCH, 520, -0.13, 0, 2),),
        served=(("film-cutters", 150), ("knives-turned", 300), ("oil-filter", 2_000)),
        said=(
            _answer(Outcome.WORKED, 1),
            _answer(Outcome.CHANGED, 2, ("speed_m_s", "8 km/h"), text="Thick rows by the wood."),
            _answer(Outcome.CHANGED, 3, ("speed_m_s", "8 km/h")),
            _answer(Outcome.WORKED, 4, text="Film was even all day."),
        ),
    ),
    DemoMachine(
        _machine("MM-1002", "Mossgrinder, second crew", "mossgrinder-m2"),
        _conditions(Crop.LUCERNE, 0.50, 3.2),
        "Saltbarrow Growers",
        2_940,
        planted=(
            Planted(FaultKind.BINDING_TURNS, 560, 0.7),
            Planted(FaultKind.GATE, 380, 11.0, 120),
        ),
        lost=(RollLoss(602, 2, 6.0),),
        said=(
            _answer(Outcome.DID_NOT, 5, text="Net was short on some bales after the headland."),
            _answer(Outcome.CHANGED, 6, ("binding_turns", "3.5")),
        ),
        served=(("film-cutters", 400), ("knives-turned", 860), ("oil-filter", 900)),
    ),
    DemoMachine(
        _machine("MM-1003", "Mossgrinder, in order", "mossgrinder-m2"),
        _conditions(Crop.GRASS_SILAGE, 0.58, 4.6),
        "Nettlewick Estate",
        5_077,
        confusers=(Confuser(ConfuserKind.WET_MORNING, 5, 0.06),),
        said=(_answer(Outcome.WORKED, 7),),
        served=(("film-cutters", 10), ("knives-turned", 40), ("oil-filter", 40)),
    ),
    DemoMachine(
        _machine("TT-2001", "Thistlewick, hill work", "thistlewick-t1"),
        _conditions(Crop.HAYLAGE, 0.45, 3.0),
        "Saltbarrow Growers",
        1,
        planted=(Planted(FaultKind.WAITING, 470, 160.0, 80),),
        confusers=(Confuser(ConfuserKind.FAT_BALES, 6, 0.10),),
        served=(("grease-points", 0), ("net-blade", 0), ("chamber-belts", 0)),
    ),
    DemoMachine(
        _machine("TT-2002", "Thistlewick, few sensors", "thistlewick-t1"),
        _conditions(Crop.GRASS_SILAGE, 0.55, 3.8),
        "Umberfell Dairy",
        410,
        planted=(Planted(FaultKind.WRAP_TURNS, 540, 7.0),),
        silent=_FEW_SENSORS,
        left_open=(3, 11),
    ),
    DemoMachine(
        _machine("PP-3001", "Plainrow, dry crops", "plainrow-p0"),
        _conditions(Crop.HAY, 0.14, 2.4),
        "Nettlewick Estate",
        12_650,
        planted=(Planted(FaultKind.COUNTER, 450, 1),),
        served=(("gearbox-oil", 1_100),),
    ),
)
"""Six machines of three invented makes, with many sensors and few; one of them in order."""
