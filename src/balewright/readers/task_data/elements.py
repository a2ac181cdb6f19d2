"""XML elements -> frozen values. Letters are the attributes of ISO 11783-10, table by table."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from typing import Any, Final

from lxml import etree

from balewright.readers.task_data.allocations import read_allocations, read_span
from balewright.readers.task_data.attributes import Ledger, Reading
from balewright.readers.task_data.boundary import read_rings
from balewright.readers.task_data.device_pool import read_device, read_presentation
from balewright.readers.task_data.values import (
    Attached,
    Farm,
    Field,
    Party,
    Period,
    Planned,
    Product,
    Task,
    Total,
)
from balewright.readers.task_data.xml import name_of
from balewright.records.quality import Mark

UNREAD: Final = frozenset(
    {
        *("BSN", "CAT", "CCG", "CCL", "CCT", "CLD", "CNN", "CPC", "CRG"),
        *("CVT", "DLT", "GAN", "GGP", "GPN", "GRD", "GST", "LSG", "OTP", "OTQ", "OTR"),
        *("PGP", "PLN", "PNT", "PRN", "TCC"),
    }
)
"""Elements the standard knows that tell nothing of a bale: counted, so that they are seen."""
_ELSEWHERE: Final = frozenset({"AFE", "XFR"})
_NAMED_BY: Final = {"PFD": "C", "DET": "D"}
"""Which attribute names an element; B for the others."""


@dataclass
class Gathered:
    """Everything found so far, by kind and identifier; filled while files are read."""

    ledger: Ledger
    kinds: dict[str, dict[str, Any]] = field(default_factory=dict)
    unknown: Counter[str] = field(default_factory=Counter)
    listed: Counter[str] = field(default_factory=Counter)
    names: dict[str, str] = field(default_factory=dict)
    attached: list[Attached] = field(default_factory=list)

    def all_of(self, kind: str) -> tuple[Any, ...]:
        """The values of one element name, in the order of the file."""
        return tuple(self.kinds.get(kind, {}).values())


def gather(readings: Iterable[Reading], into: Gathered) -> None:
    """Read top-level elements into `into`; unknown ones are counted by name."""
    for reading in readings:
        name = name_of(reading.element)
        for each in reading.element.iter():
            _list(each, into)
        if name == "AFE":
            into.attached.append(Attached(reading.text("A"), reading.text("C"), reading.whole("D")))
        if name in _READERS:
            _keep(name, reading, into)
        elif name and name not in UNREAD and name not in _ELSEWHERE:
            into.unknown[name] += 1


def _list(element: etree._Element, into: Gathered) -> None:
    """Count what is seen and not used, and note what each identifier names."""
    name = name_of(element)
    if name in UNREAD:
        into.listed[name] += 1
    key = element.get("A") or ""
    if name and key.startswith(name):
        letter = _NAMED_BY.get(name, "B")
        into.names.setdefault(key, f"{name} {element.get(letter) or ''}".strip())


def _keep(name: str, reading: Reading, into: Gathered) -> None:
    held = into.kinds.setdefault(name, {})
    key = reading.text("A")
    if not reading.element.attrib and not len(reading.element):
        reason = f"an element {name} with nothing in it: left out"
        into.ledger.refuse(reading.file, reading.place, "", reason)
        return
    if key and key in held:
        text = f"the identifier {key} stands twice; the first one counts"
        into.ledger.doubt(reading.file, reading.place, Mark.NAMED_TWICE, text)
        return
    held[key or f"{name} without identifier, line {reading.element.sourceline}"] = _READERS[name](
        reading
    )


def _party(reading: Reading) -> Party:
    first = reading.text("C")
    name = reading.text("B")
    return Party(reading.text("A"), f"{first} {name}".strip() if first else name)


def _farm(reading: Reading) -> Farm:
    return Farm(reading.text("A"), reading.text("B"), reading.text("I"))


def _field(reading: Reading) -> Field:
    name = reading.text("C") or reading.text("B")
    area = reading.whole("D")
    owners = (reading.text("E"), reading.text("F"))
    return Field(reading.text("A"), name, area, *owners, read_rings(reading))


def _product(reading: Reading) -> Product:
    return Product(reading.text("A"), reading.text("B"))


def _task(reading: Reading) -> Task:
    devices = [child.text("C") for child in reading.children("DAN")]
    return Task(
        key=reading.text("A"),
        name=reading.text("B"),
        status=reading.whole("G"),
        customer=reading.text("C"),
        farm=reading.text("D"),
        field=reading.text("E"),
        worker=reading.text("F"),
        periods=tuple(_period(child) for child in reading.children("TIM")),
        logs=tuple(child.text("A") for child in reading.children("TLG") if child.text("A")),
        devices=tuple(dict.fromkeys(key for key in devices if key)),
        planned=tuple(each for zone in reading.children("TZN") for each in _planned(zone)),
        default_zone=reading.whole("H"),
        comments=tuple(text for child in reading.children("CAN") if (text := child.text("C"))),
        allocations=tuple(read_allocations(reading)),
    )


def _planned(zone: Reading) -> Iterator[Planned]:
    code = zone.whole("A")
    for child in zone.children("PDV"):
        number, raw = child.whole("A", 16), child.whole("B")
        if number is not None and raw is not None:
            yield Planned(number, raw, child.text("D"), child.text("E"), code)


def _period(reading: Reading) -> Period:
    begin_us, end_us, zoned = read_span(reading)
    totals = [
        Total(number, raw, child.text("C"), child.whole("D"), (child.whole("E"), child.whole("F")))
        for child in reading.children("DLV")
        if (number := child.whole("A", 16)) is not None and (raw := child.whole("B")) is not None
    ]
    return Period(begin_us, end_us, zoned, reading.whole("D"), tuple(totals))


_READERS: Final[dict[str, Callable[[Reading], Any]]] = {
    "CTR": _party,
    "WKR": _party,
    "FRM": _farm,
    "PFD": _field,
    "PDT": _product,
    "CTP": _product,
    "DVC": read_device,
    "TSK": _task,
    "VPN": read_presentation,
}
