"""What the best settings are asked for: the work, the stay, the prices, and what may be chosen."""

from __future__ import annotations

import itertools
from dataclasses import dataclass, field, replace

from balewright.plan.cost.job import Job
from balewright.plan.cost.outlay import Outlay
from balewright.plan.keeping.climate import Stay
from balewright.plan.keeping.keep import Mishaps, Stored
from balewright.plan.keeping.least_cost import FEWEST_LAYERS
from balewright.plan.keeping.oxygen import Cover
from balewright.plan.pace.settings import WrapWork
from balewright.plan.power.answer import Tractor
from balewright.quantities.checks import require_between, require_count
from balewright.quantities.errors import BadInput, Fault

_MOST_CHOICES = 20_000


@dataclass(frozen=True)
class Turned:
    """Wrap turns that put so many layers on a bale, and the chance that they do.

    layers: 4 to 40, fewer are never advised; turns: of each roll; chance_frac: that no spot is
    short, given how bales and film vary (`plan/film/tolerance`), 0 to 1.
    """

    layers: int
    turns: float
    chance_frac: float

    def __post_init__(self) -> None:
        require_count("layers", self.layers, FEWEST_LAYERS, 40)
        require_between("turns", self.turns, 0.5, 100.0)
        require_between("chance_frac", self.chance_frac, 0.0, 1.0)


@dataclass(frozen=True)
class Choices:
    """What may be chosen, every list rising: turns for each number of layers; dry matter density,
    40 to 400 kg/m3; speed, 0.1 to 5.5 m/s.
    """

    turned: tuple[Turned, ...]
    density_kg_m3: tuple[float, ...]
    speed_m_s: tuple[float, ...]

    def __post_init__(self) -> None:
        _require_rising("turned", tuple(float(one.layers) for one in self.turned))
        _require_rising("density_kg_m3", self.density_kg_m3)
        _require_rising("speed_m_s", self.speed_m_s)
        count = len(self.turned) * len(self.density_kg_m3) * len(self.speed_m_s)
        if count > _MOST_CHOICES:
            need = f"at most {_MOST_CHOICES} combinations"
            raise BadInput(Fault("choices", need, str(count), "Give coarser steps."))


@dataclass(frozen=True)
class Wanted:
    """What a choice must keep to.

    chance_frac: that no spot is short of its layers, 0 to 1; most_loss_frac: dry matter lost or
    thrown away by whichever school reads the trials worse, 0 to 1, None: whatever pays;
    most_bale_kg: fresh, that loader, ground and slope can take, None: no limit told; near_frac:
    costs this close to the least count as the same, 0 to 1.
    """

    chance_frac: float = 0.95
    most_loss_frac: float | None = None
    most_bale_kg: float | None = None
    near_frac: float = 0.02

    def __post_init__(self) -> None:
        require_between("chance_frac", self.chance_frac, 0.0, 1.0)
        require_between("near_frac", self.near_frac, 0.0, 1.0)
        if self.most_loss_frac is not None:
            require_between("most_loss_frac", self.most_loss_frac, 0.0, 1.0)
        if self.most_bale_kg is not None:
            require_between("most_bale_kg", self.most_bale_kg, 10.0, 3000.0)


@dataclass(frozen=True)
class Question:
    """The work (`job`: its turns, density and speed are set aside), cover and stay of the bale,
    what goes wrong with it, prices, what a tonne of dry matter in the bale is worth (0 to
    100,000, in the currency of `outlay`), the tractor (None: power is not asked), and the wish.
    """

    job: Job
    cover: Cover
    stay: Stay
    outlay: Outlay
    dm_money_t: float
    choices: Choices
    wanted: Wanted = Wanted()
    tractor: Tractor | None = None
    mishaps: Mishaps = field(default_factory=Mishaps)

    def __post_init__(self) -> None:
        require_between("dm_money_t", self.dm_money_t, 0.0, 100_000.0)
        _ = self.wrap  # refuses a job without one

    @property
    def wrap(self) -> WrapWork:
        """How the job wraps."""
        wrap = self.job.settings.wrap
        if wrap is None:
            need, cure = "a job that wraps its bales", "Ask it of a machine with a wrapper."
            raise BadInput(Fault("job.settings.wrap", need, "None", cure))
        return wrap

    def stored(self, density_kg_m3: float) -> Stored:
        """The bale of that dry matter density, lying."""
        bale = self.job.settings.bale
        return Stored(bale.size, self.cover, density_kg_m3, bale.moisture_frac, self.stay)

    def job_at(self, turns: float, density_kg_m3: float, speed_m_s: float) -> Job:
        """The work with the settings of one choice."""
        settings = self.job.settings
        set_so = replace(
            settings,
            row=replace(settings.row, speed_m_s=speed_m_s),
            bale=replace(settings.bale, dry_matter_kg_m3=density_kg_m3),
            wrap=replace(self.wrap, turns=turns),
        )
        return replace(self.job, settings=set_so)


def _require_rising(name: str, values: tuple[float, ...]) -> None:
    rising = all(one < other for one, other in itertools.pairwise(values))
    if not values or not rising:
        raise BadInput(
            Fault(
                place=name,
                need="one or more values, each larger than the one before",
                given=repr(values),
                cure="Sort them and leave out repeats.",
            )
        )
