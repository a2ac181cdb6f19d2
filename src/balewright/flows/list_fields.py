"""The drawn fields, with their areas and where they come from."""

from __future__ import annotations

from dataclasses import dataclass
from hashlib import sha256

from balewright.flows.workplace import Workplace
from balewright.quantities.errors import BadInput, Fault
from balewright.quantities.si import M2_PER_HA
from balewright.records.fields.inside import area_m2
from balewright.records.outlines import Outline


@dataclass(frozen=True)
class FieldLine:
    """One outline. key: for addresses; file: the name of the file that draws it, None where
    somebody added it."""

    key: str
    outline: Outline
    area_ha: float
    file: str | None


def list_fields(workplace: Workplace) -> tuple[FieldLine, ...]:
    """Every outline that counts, by field and source."""
    names: dict[str, str] = {}
    lines = []
    for one in workplace.register.load_outlines():
        if one.source is not None and one.source not in names:
            entry = workplace.register.load_intake(one.source)
            names[one.source] = one.source[:12] if entry is None else entry.name
        file = None if one.source is None else names[one.source]
        lines.append(FieldLine(_key(one), one, area_m2(one) / M2_PER_HA, file))
    return tuple(lines)


def remove_field(workplace: Workplace, key: str) -> Outline:
    """Take away an outline that somebody added. Raises BadInput for one of a file, or none."""
    for line in list_fields(workplace):
        if (
            line.key == key
            and line.file is None
            and workplace.register.remove_outline(line.outline)
        ):
            return line.outline
    cure = "Look at the list again; what a file draws stays with it."
    raise BadInput(Fault("field", "an outline that somebody added", repr(key), cure))


def _key(outline: Outline) -> str:
    text = repr((outline.field, outline.farm, outline.customer, outline.source))
    return sha256(text.encode()).hexdigest()[:16]
