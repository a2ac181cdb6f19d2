"""From the tables of a profile file to a Machine, or to every fault of the file at once."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from balewright.plan.dial import Dial
from balewright.plan.machine import (
    Binding,
    Chamber,
    Counter,
    FullSign,
    Knives,
    Machine,
    Sensor,
    ServiceItem,
    Span,
    Tip,
    Wrapper,
)
from balewright.plan.profile import checks, keys
from balewright.plan.profile.forms import Key, span, text
from balewright.plan.profile.reading import Reading, Table, show
from balewright.quantities.errors import BadProfile


def build_machine(
    raw: Mapping[str, object], file: str, columns: Collection[str] | None = None
) -> Machine:
    """The machine that a profile's tables describe.

    raw: the parsed file; file: its name, for messages; columns: names of the bale table that a
    sensor may fill, None to accept any.
    Raises BadProfile with every fault: file and dotted key, what was needed, what was given, cure.
    """
    reading = Reading(file)
    machine = _machine(reading, raw, columns)
    for trouble in checks.check_whole(machine, reading.faulty_sections()):
        reading.fault(*trouble)
    if reading.faults:
        raise BadProfile(*reading.faults)
    return machine


def _machine(reading: Reading, raw: Table, columns: Collection[str] | None) -> Machine:
    tables = [section.path for section in keys.SECTIONS if section.path]
    top = [key.name for key in keys.TOP.keys]
    reading.unknown(raw, "", [*top, *tables, keys.SENSORS, keys.OWN_WORDS])
    return Machine(
        key=reading.take(raw, "", keys.KEY),
        version=reading.take(raw, "", keys.VERSION),
        title=reading.take(raw, "", keys.TITLE),
        chamber=_chamber(reading, raw),
        bindings=tuple(_binding(reading, *one) for one in reading.sections(raw, keys.BINDING)),
        wrapper=_wrapper(reading, raw),
        knives=_knives(reading, raw),
        tip=_tip(reading, raw),
        oil_ml_bale=reading.take_if_given(raw, "", keys.OIL),
        grease_cartridge_bales=reading.take_if_given(raw, "", keys.CARTRIDGE),
        service=tuple(_service(reading, *one) for one in reading.sections(raw, keys.SERVICE)),
        sensors=_sensors(reading, raw, columns),
        counter=_counter(reading, raw),
        dials=_dials(reading, raw),
        own_words=_own_words(reading, raw),
    )


def _chamber(reading: Reading, raw: Table) -> Chamber:
    table = reading.section(raw, keys.CHAMBER)
    if table is None:
        return Chamber(
            keys.CHAMBER_KIND.form.stand_in,
            keys.WIDTH.form.stand_in,
            Span(1.0, 1.0),
            FullSign.GATE_OPENING,
            Span(0.0, 0.0),
            None,
        )
    at = keys.CHAMBER.path
    sign = reading.take(table, at, keys.FULL_SIGN)
    by_sign = {
        FullSign.GATE_OPENING: keys.FULL_MM,
        FullSign.DIAMETER: keys.FULL_M,
        FullSign.PRESSURE: keys.FULL_BAR,
    }
    for other, key in by_sign.items():
        if other is not sign and key.name in table:
            need = f"no {key.name} where full_sign is {sign}"
            cure = f"Take it out, or set full_sign to {str(other)!r}."
            reading.fault(f"{at}.{key.name}", need, show(table[key.name]), cure)
    return Chamber(
        kind=reading.take(table, at, keys.CHAMBER_KIND),
        width_m=reading.take(table, at, keys.WIDTH),
        diameter_m=reading.take(table, at, keys.DIAMETER),
        full_sign=sign,
        full_at=reading.take(table, at, by_sign[sign]),
        density_bar=reading.take_if_given(table, at, keys.DENSITY),
    )


def _binding(reading: Reading, where: str, table: Table) -> Binding:
    return Binding(
        kind=reading.take(table, where, keys.BINDING_KIND),
        roll_width_m=reading.take(table, where, keys.ROLL_WIDTH),
        turns=reading.take(table, where, keys.TURNS),
        delay_s=reading.take(table, where, keys.DELAY),
        tension_frac=reading.take_if_given(table, where, keys.TENSION),
    )


def _wrapper(reading: Reading, raw: Table) -> Wrapper | None:
    table = reading.section(raw, keys.WRAPPER)
    if table is None:
        return None
    at = keys.WRAPPER.path
    return Wrapper(
        kind=reading.take(table, at, keys.WRAPPER_KIND),
        dispensers=reading.take(table, at, keys.DISPENSERS),
        film_width_m=reading.take(table, at, keys.FILM_WIDTH),
        pre_stretch_frac=reading.take(table, at, keys.STRETCH),
        advance_m=reading.take(table, at, keys.ADVANCE),
        advance_one_roll_m=reading.take_if_given(table, at, keys.ADVANCE_ONE),
        metres_counted=reading.take_if_given(table, at, keys.COUNTED),
        rpm=reading.take(table, at, keys.RPM),
        break_monitor=reading.take(table, at, keys.MONITOR),
    )


def _knives(reading: Reading, raw: Table) -> Knives | None:
    table = reading.section(raw, keys.KNIVES)
    if table is None:
        return None
    at = keys.KNIVES.path
    return Knives(
        banks=reading.take(table, at, keys.BANKS),
        pressure_bar=reading.take_if_given(table, at, keys.PRESSURE) or (),
        up_to_knives=reading.take_if_given(table, at, keys.UP_TO_KNIVES) or (),
        most_bar=reading.take_if_given(table, at, keys.MOST_BAR) or (),
    )


def _tip(reading: Reading, raw: Table) -> Tip:
    table = reading.section(raw, keys.TIP)
    at = keys.TIP.path
    if table is None:
        return Tip((), Span(0, 0), Span(0, 0), None, None, Span(0, 0))
    return Tip(
        sides=reading.take(table, at, keys.SIDES),
        speed_frac=reading.take(table, at, keys.TIP_SPEED),
        delay_s=reading.take(table, at, keys.TIP_DELAY),
        roll_before_s=reading.take_if_given(table, at, keys.ROLL_BEFORE),
        roll_after_s=reading.take_if_given(table, at, keys.ROLL_AFTER),
        open_s=reading.take(table, at, keys.OPEN),
    )


def _service(reading: Reading, where: str, table: Table) -> ServiceItem:
    return ServiceItem(
        key=reading.take(table, where, keys.ITEM_KEY),
        every_bales=reading.take_if_given(table, where, keys.EVERY_BALES),
        every_hours=reading.take_if_given(table, where, keys.EVERY_HOURS),
        minutes=reading.take(table, where, keys.MINUTES),
        caution=reading.take(table, where, keys.CAUTION),
    )


def _counter(reading: Reading, raw: Table) -> Counter:
    table = reading.section(raw, keys.COUNTER)
    if table is None:
        return Counter(lifetime=False, resets_with_control=False)
    return Counter(
        lifetime=reading.take(table, keys.COUNTER.path, keys.LIFETIME),
        resets_with_control=reading.take(table, keys.COUNTER.path, keys.RESETS),
        steps_at=reading.take_if_given(table, keys.COUNTER.path, keys.STEPS_AT),
    )


def _sensors(reading: Reading, raw: Table, columns: Collection[str] | None) -> tuple[Sensor, ...]:
    table = reading.table(raw.get(keys.SENSORS, {}), keys.SENSORS) or {}
    if columns is not None:
        reading.unknown(table, keys.SENSORS, list(columns))
    healthy = span(-1e6, 1e6)
    return tuple(
        Sensor(column, reading.take(table, keys.SENSORS, Key(column, healthy, "healthy readings")))
        for column in table
    )


def _dials(reading: Reading, raw: Table) -> tuple[Dial, ...]:
    tables = reading.table(raw.get(keys.DIAL.path, {}), keys.DIAL.path) or {}
    reading.unknown(tables, keys.DIAL.path, list(keys.sheet_lines()))
    dials = []
    for setting, given in tables.items():
        where = f"{keys.DIAL.path}.{setting}"
        table = reading.table(given, where)
        if table is None:
            continue
        reading.unknown(table, where, [key.name for key in keys.DIAL.keys])
        positions = reading.take(table, where, keys.POSITIONS)
        values = reading.take(table, where, keys.VALUES)
        if not reading.is_clean(where):
            continue
        if len(positions) != len(values):
            need = "as many values as positions"
            counts = f"{len(positions)} positions, {len(values)} values"
            reading.fault(where, need, counts, "Give each position one value.")
        elif len(set(positions)) != len(positions):
            need = "each position once"
            reading.fault(f"{where}.positions", need, show(list(positions)), "Name each once.")
        else:
            dials.append(Dial(setting, positions, values))
    return tuple(dials)


def _own_words(reading: Reading, raw: Table) -> tuple[tuple[str, str], ...]:
    table = reading.table(raw.get(keys.OWN_WORDS, {}), keys.OWN_WORDS) or {}
    reading.unknown(table, keys.OWN_WORDS, list(keys.sheet_lines()))
    word = text(30)
    return tuple(
        (setting, reading.take(table, keys.OWN_WORDS, Key(setting, word, "the machine's word")))
        for setting in table
    )
