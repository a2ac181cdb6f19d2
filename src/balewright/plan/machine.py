"""What a machine is: the values a profile file describes. Makes are invented; schema in
`plan/profile/schema`.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from balewright.plan.dial import Dial


class ChamberKind(StrEnum):
    """Fixed: one diameter, pressure builds at the end. Variable: grows with the bale."""

    FIXED = "fixed"
    VARIABLE = "variable"


class FullSign(StrEnum):
    """How a full chamber shows."""

    GATE_OPENING = "gate opening"
    DIAMETER = "diameter"
    PRESSURE = "pressure"


class BindingKind(StrEnum):
    """What binds the bale."""

    NET = "net"
    FILM = "film"
    TWINE = "twine"


class WrapperKind(StrEnum):
    """What carries the film round the bale, or the bale round the film."""

    RING = "ring"
    ARMS = "arms"
    TABLE = "table"


class MetresCounted(StrEnum):
    """Where the film metre counter sits."""

    BEFORE_STRETCH = "before stretch"
    AFTER_STRETCH = "after stretch"


class TipSide(StrEnum):
    """Which side the bale lands on."""

    ROUND = "round"
    END = "end"


@dataclass(frozen=True)
class Span:
    """A closed range of a setting, in the unit of its holder's name."""

    low: float
    high: float

    def clamp(self, value: float) -> float:
        """The value in the range that is nearest to `value`."""
        return min(max(value, self.low), self.high)


@dataclass(frozen=True)
class Chamber:
    """Where the bale is rolled. full_at: opening in mm, diameter in m or pressure in bar."""

    kind: ChamberKind
    width_m: float
    diameter_m: Span
    full_sign: FullSign
    full_at: Span
    density_bar: Span | None


@dataclass(frozen=True)
class Binding:
    """One way to bind: roll width, turns and the delay after the chamber is full.

    tension_frac: range of the brake or stretch setting, 0..1 of the machine's own scale.
    """

    kind: BindingKind
    roll_width_m: float
    turns: Span
    delay_s: Span
    tension_frac: Span | None


@dataclass(frozen=True)
class Wrapper:
    """How film gets on the bale.

    advance_m: surface advance of the bale per wrap turn; advance_one_roll_m: the same when one
    roll is out (None: unchanged). metres_counted is None when metres are not counted.
    """

    kind: WrapperKind
    dispensers: int
    film_width_m: Span
    pre_stretch_frac: tuple[float, ...]
    advance_m: float
    advance_one_roll_m: float | None
    metres_counted: MetresCounted | None
    rpm: Span
    break_monitor: bool


@dataclass(frozen=True)
class Knives:
    """Knife banks by number of knives, and pressure steps in bar (empty: held by springs).

    up_to_knives, most_bar: with up to so many knives in work no more pressure than this; empty
    where nobody says.
    """

    banks: tuple[int, ...]
    pressure_bar: tuple[float, ...]
    up_to_knives: tuple[int, ...] = ()
    most_bar: tuple[float, ...] = ()


@dataclass(frozen=True)
class Tip:
    """How a bale leaves: sides it can land on, tip speed 0..1 of full, delay."""

    sides: tuple[TipSide, ...]
    speed_frac: Span
    delay_s: Span
    roll_before_s: Span | None
    roll_after_s: Span | None
    open_s: Span


@dataclass(frozen=True)
class ServiceItem:
    """What falls due by bales or by hours (exactly one of the two), with its caution's key."""

    key: str
    every_bales: int | None
    every_hours: float | None
    minutes: float
    caution: str


@dataclass(frozen=True)
class Sensor:
    """A column of the bale table this machine fills, and the readings of a healthy machine."""

    column: str
    healthy: Span


class StepsAt(StrEnum):
    """When in a bale's cycle its number is counted."""

    BOUND = "binding ends"
    GATE_OPENS = "gate opens"
    WRAPPED = "wrapping ends"
    TIPPED = "bale is tipped"


@dataclass(frozen=True)
class Counter:
    """Whether the bale number is a lifetime count, whether a new control starts at zero, and when
    the number steps (None: nobody says)."""

    lifetime: bool
    resets_with_control: bool
    steps_at: StepsAt | None = None


@dataclass(frozen=True)
class Machine:
    """One profile: everything the program knows about a make's type.

    key and version name it for ever; own_words maps a setting's key to the word on the machine.
    """

    key: str
    version: int
    title: str
    chamber: Chamber
    bindings: tuple[Binding, ...]
    wrapper: Wrapper | None
    knives: Knives | None
    tip: Tip
    oil_ml_bale: Span | None
    grease_cartridge_bales: int | None
    service: tuple[ServiceItem, ...]
    sensors: tuple[Sensor, ...]
    counter: Counter
    dials: tuple[Dial, ...]
    own_words: tuple[tuple[str, str], ...]

    def dial(self, setting: str) -> Dial | None:
        """The dial that sets `setting` (a sheet line's key), None when it is set in its unit."""
        return next((dial for dial in self.dials if dial.setting == setting), None)

    def binding(self, kind: BindingKind) -> Binding | None:
        """The binding of that kind, None when this machine does not have it."""
        return next((binding for binding in self.bindings if binding.kind is kind), None)

    def senses(self, column: str) -> bool:
        """Whether this machine fills that column of the bale table."""
        return any(sensor.column == column for sensor in self.sensors)

    def own_word(self, setting: str) -> str | None:
        """The machine's own word for a setting, None when its profile gives none."""
        return dict(self.own_words).get(setting)
