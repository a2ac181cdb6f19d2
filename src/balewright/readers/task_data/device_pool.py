"""A device description (DVC) -> a `Device`: its parts with what each can log and what it is."""

from __future__ import annotations

from collections import Counter

from balewright.readers.task_data.attributes import Reading
from balewright.readers.task_data.devices import (
    Device,
    DeviceElement,
    Presentation,
    ProcessData,
    Property,
)
from balewright.records.quality import Mark


def read_device(reading: Reading) -> Device:
    """The device that a DVC element describes. Objects that stand twice and references to objects
    that nothing describes are named in the reading's ledger."""
    _note_repeats(reading)
    shown = {child.whole("A"): read_presentation(child) for child in reading.children("DVP")}
    process = {
        number: ProcessData(
            child.whole("B", 16) or 0,
            child.text("E"),
            shown.get(child.whole("F")),
            child.whole("C"),
            child.whole("D"),
        )
        for child in reading.children("DPD")
        if (number := child.whole("A")) is not None
    }
    fixed = {
        number: Property(
            child.whole("B", 16) or 0, raw, child.text("D"), shown.get(child.whole("E"))
        )
        for child in reading.children("DPT")
        if (number := child.whole("A")) is not None and (raw := child.whole("C")) is not None
    }
    device = Device(
        key=reading.text("A"),
        name=reading.text("B"),
        serial=reading.text("E"),
        software=reading.text("C"),
        name64=reading.text("D"),
        elements=tuple(_element(child, process, fixed) for child in reading.children("DET")),
        structure=reading.text("F"),
        localization=reading.text("G"),
    )
    _note_missing(reading, device)
    return device


def read_presentation(reading: Reading) -> Presentation:
    """How values are shown: of a device (DVP) or of the whole set (VPN)."""
    return Presentation(
        reading.number("B") or 0.0,
        reading.number("C") or 0.0,
        reading.whole("D") or 0,
        reading.text("E"),
    )


def _element(
    reading: Reading, process: dict[int, ProcessData], fixed: dict[int, Property]
) -> DeviceElement:
    named = [child.whole("A") for child in reading.children("DOR")]
    objects = [number for number in named if number is not None]
    return DeviceElement(
        key=reading.text("A"),
        kind=reading.whole("C"),
        number=reading.whole("E"),
        parent=reading.whole("F"),
        designator=reading.text("D"),
        process=tuple(process[number] for number in objects if number in process),
        object=reading.whole("B"),
        properties=tuple(fixed[number] for number in objects if number in fixed),
        missing=tuple(
            number for number in objects if number not in process and number not in fixed
        ),
    )


def _note_repeats(reading: Reading) -> None:
    """Objects of one device share one row of numbers; of two that stand twice the last counts."""
    parts = reading.children("DET", "DPD", "DPT", "DVP")
    times = Counter(child.text("B" if child.place.endswith("DET") else "A") for child in parts)
    repeated = sorted(number for number, n in times.items() if number and n > 1)
    if repeated:
        text = f"objects {', '.join(repeated[:8])} stand twice in device {reading.text('A')}"
        reading.ledger.doubt(reading.file, reading.place, Mark.NAMED_TWICE, text)


def _note_missing(reading: Reading, device: Device) -> None:
    lost = sorted({number for each in device.elements for number in each.missing})
    if lost:
        shown = ", ".join(map(str, lost[:8]))
        text = f"device {device.key} refers to objects that it does not describe: {shown}"
        reading.ledger.doubt(reading.file, reading.place, Mark.ELEMENT_UNKNOWN, text)
    known = {each.object for each in device.elements} | {0, None}
    astray = [each.key for each in device.elements if each.parent not in known]
    if astray:
        text = f"parts of device {device.key} hang under none of it: {', '.join(astray[:8])}"
        reading.ledger.doubt(reading.file, reading.place, Mark.ELEMENT_UNKNOWN, text)
