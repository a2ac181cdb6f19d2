"""A setup sheet in words: what cards, desk and shell show, so that all three say the same."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from balewright.plan.sheet.sheet import Conditions, Expected, Sheet, SheetLine
from balewright.quantities.reason import Reason, because
from balewright.quantities.si import M_PER_MM
from balewright.quantities.sources import source
from balewright.words.say import SPACE, catalogue, say, say_value

DASH: Final = "–"

GROUPS: Final[tuple[tuple[str, tuple[str, ...]], ...]] = (
    ("group.drive", ("speed_m_s", "windrow_width_m", "weave", "additive_l_t", "oil_ml_bale")),
    (
        "group.chamber",
        ("gate_opening_mm", "diameter_m", "chamber_bar", "knives_in", "knife_bar", "binding",
         "binding_turns", "binding_tension_frac", "binding_delay_s", "open_s"),
    ),
    (
        "group.film",
        ("layers", "wrap_turns", "wrap_turns_one_roll", "overlap_frac", "pre_stretch_frac",
         "film_width_m", "film_height_m", "rolls_on", "break_monitor", "wrap_rpm"),
    ),
    (
        "group.off",
        ("roll_before_s", "roll_after_s", "tip_side", "tip_speed_frac", "tip_delay_s",
         "weighing"),
    ),
)  # fmt: skip
"""Sheet lines in the order in which they are set on a machine, under the key of their heading."""


def label_of(line: SheetLine, language: str = "en") -> str:
    """What the setting is called."""
    return say(Reason(f"line.{line.key}"), language)


def value_of(line: SheetLine, language: str = "en") -> str:
    """The value with its unit, the word of a choice, or `unknown`."""
    if isinstance(line.value, str):
        return say(Reason("choice." + line.value.replace(" ", "_")), language)
    return say_value(line.key, line.value, language)


def range_of(line: SheetLine, language: str = "en") -> str:
    """What is allowed, "70 to 160 bar"; a dash where nothing can be chosen."""
    if line.low is None or line.high is None or line.low == line.high:
        return DASH
    low, high = (say_value(line.key, end, language) for end in (line.low, line.high))
    number, _, unit = low.partition(SPACE)
    low = number if high.endswith(SPACE + unit) else low
    return say(because("card.range", low=low, high=high), language)


def dial_of(line: SheetLine) -> str:
    """Where the machine's own dial stands, with its own word where its profile gives one."""
    own = line.own_word or ""
    return f"{own} {line.position or ''}".strip()


def sure_of(line: SheetLine, language: str = "en") -> str:
    """How much weight the value carries."""
    return say(Reason("sure." + line.how_sure.value.replace(" ", "_")), language)


def source_of(line: SheetLine) -> str:
    """The source of the rule, as the bibliography has it."""
    return source(line.source).text


def group_name(key: str, language: str = "en") -> str:
    """The heading of a group of GROUPS."""
    return say(Reason(key), language)


def grouped(sheet: Sheet, language: str = "en") -> tuple[tuple[str, tuple[SheetLine, ...]], ...]:
    """(heading, lines) in the order in which they are set; groups without lines are left out."""
    found = []
    for heading, keys in GROUPS:
        lines = [line for key in keys if (line := sheet.line(key)) is not None]
        if lines:
            found.append((group_name(heading, language), tuple(lines)))
    return tuple(found)


def conditions_of(sheet: Sheet, language: str = "en") -> tuple[str, ...]:
    """What the sheet was asked for: crop, ground, rolls, number of bales."""
    given = sheet.conditions
    crop = because(
        "card.crop",
        crop=str(given.crop),
        moisture_frac=given.moisture_frac,
        windrow_kg_m=given.windrow_kg_m,
        storage_months=given.storage_months,
    )
    ground = because(
        "card.ground",
        slope_frac=given.slope_frac,
        dusty=say(because("card.dusty" if given.dusty else "card.clean"), language),
        stony=say(because("card.stony" if given.stony else "card.stone_free"), language),
    )
    if given.film is None:
        film = because("card.no_film")
    else:
        film = because(
            "card.film",
            width_m=given.film.width_m,
            thickness_um=round(given.film.thickness_m * 1e6, 3),
            roll_m=given.film.roll_m,
        )
    net = because("card.no_net")
    if given.net_roll_m is not None:
        net = because("card.net", net_roll_m=given.net_roll_m)
    bales = because("card.bales", bales=given.bales)
    reasons = (crop, ground, film, net, bales, *_known(given, sheet.spread_bales))
    return tuple(say(reason, language) for reason in reasons)


def _known(given: Conditions, spread_bales: int | None) -> Iterator[Reason]:
    """What nobody has to say, where somebody said it."""
    if given.binding is not None:
        yield because("card.binding", binding=str(given.binding))
    if given.climate is not None:
        yield because("card.climate." + given.climate.replace("-", "_"))
    if given.row_width_m is not None:
        yield because("card.row", row_width_m=given.row_width_m)
    if given.diameter_spread_m is not None:
        yield _spread(given.diameter_spread_m, spread_bales)
    if given.rolls_left_m:
        left_m = sum(given.rolls_left_m)
        yield because("card.left", left_m=left_m)
    if given.gate_readings:
        yield because("card.readings", readings=len(given.gate_readings))
    if given.additive is not None and given.additive.rate_l_t is not None:
        yield because("card.additive", rate_l_t=given.additive.rate_l_t)
    elif given.additive is not None:
        yield because("card.acid")
    if given.weighed:
        yield because("card.weighed")


def _spread(spread_m: float, bales: int | None) -> Reason:
    if bales is None:
        return because("card.spread", spread_mm=spread_m / M_PER_MM)
    return because("card.spread_seen", spread_mm=spread_m / M_PER_MM, bales=bales)


def spread_of(sheet: Sheet, language: str = "en") -> str:
    """How diameters differ from bale to bale and who says so; empty where nobody does."""
    spread_m = sheet.conditions.diameter_spread_m
    return "" if spread_m is None else say(_spread(spread_m, sheet.spread_bales), language)


def expected_of(sheet: Sheet, language: str = "en") -> tuple[str, ...]:
    """What to expect, one sentence each; what the machine cannot tell is left out."""
    reasons = _expected(sheet.expected, sheet.conditions.bales)
    return tuple(say(reason, language) for reason in reasons)


def _expected(expected: Expected, bales: int) -> Iterator[Reason]:
    yield because(
        "card.bale",
        diameter_m=expected.diameter_m.best,
        length_m=expected.length_m,
        mass_kg=_tens(expected.mass_kg.best),
        low_kg=_tens(expected.mass_kg.low),
        high_kg=_tens(expected.mass_kg.high),
    )
    yield because(
        "card.dry",
        low_kg=_tens(expected.dry_matter_kg.low),
        high_kg=_tens(expected.dry_matter_kg.high),
        density_kg_m3=_tens(expected.density_kg_m3.best),
    )
    yield because(
        "card.pace",
        pace_bales_h=expected.pace_bales_h,
        fill_s=round(expected.fill_s),
        cycle_s=round(expected.cycle_s),
        part=expected.held_back_by,
    )
    if expected.layers_thinnest is not None and expected.short_frac is not None:
        values = {"layers": expected.layers_thinnest, "short_frac": expected.short_frac}
        yield because("card.layers", **values)
    if expected.film_m_bale is not None and expected.film_rolls is not None:
        yield because(
            "card.film_use",
            film_m=expected.film_m_bale,
            film_kg=(expected.film_g_bale or 0.0) / 1000.0,
            film_rolls=round(expected.film_rolls, 1),
            bales=bales,
        )
    if expected.net_m_bale is not None:
        if expected.net_rolls is None:
            yield because("card.net_metres", net_m=expected.net_m_bale)
        else:
            yield because(
                "card.net_use",
                net_m=expected.net_m_bale,
                net_rolls=round(expected.net_rolls, 1),
                bales=bales,
            )


def _tens(value: float) -> float:
    """To the nearest ten: nobody knows an expected mass better."""
    return round(value, -1)


def origin_of(sheet: Sheet, language: str = "en") -> str:
    """Profile and program with their versions, so that the sheet can be made again."""
    reason = because(
        "card.profile",
        profile=sheet.profile_key,
        profile_version=sheet.profile_version,
        code_version=sheet.code_version,
    )
    return say(reason, language)


def machine_of(sheet: Sheet, language: str = "en") -> str:
    """For which machine: its make's type, and its serial where it is in the register."""
    title = sheet.profile_title or sheet.profile_key
    if sheet.machine_serial is None:
        return title
    return say(because("card.machine", title=title, serial=sheet.machine_serial), language)


def heading(name: str, language: str = "en") -> str:
    """A heading of the card: `cautions`, `settings`, `expected`, `unknown`, ..."""
    return catalogue(language)[f"card.{name}"]
