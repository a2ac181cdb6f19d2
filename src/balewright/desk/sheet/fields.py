"""Fields of the setup-sheet form: a number with its unit, lengths, and readings of the gate."""

from __future__ import annotations

import re
from typing import Any, Final

from django import forms

from balewright.desk.wording import words
from balewright.plan.sheet.sheet import GateReading, Row

_BETWEEN: Final = re.compile(r"[;,\s]+")
"""Between two numbers: a comma, a semicolon or a space."""
_PARTS: Final = 3
MOST_READINGS: Final = 40
_LONGEST: Final = 2000
"""Signs of all readings together: they go into an address."""


class Amount(forms.FloatField):
    """A number with its unit in its label."""

    def __init__(self, key: str, unit: str, low: float, high: float, **kwargs: Any) -> None:
        super().__init__(
            label=words("sheet.amount", name=words(f"sheet.{key}"), unit=words(f"unit.{unit}")),
            min_value=low,
            max_value=high,
            widget=forms.NumberInput(attrs={"step": "any", "inputmode": "decimal"}),
            **kwargs,
        )


class Lengths(forms.CharField):
    """What is left on each roll, in metres: "900 1500"; empty for new ones."""

    def __init__(self) -> None:
        label = words("sheet.amount", name=words("sheet.rolls_left"), unit=words("unit.m"))
        super().__init__(
            label=label, help_text=words("sheet.rolls_left.hint"), required=False, max_length=60
        )

    def clean(self, value: Any) -> tuple[float, ...]:
        """Numbers; that they fit the machine is judged where the sheet is made."""
        try:
            return tuple(float(part) for part in _parts(super().clean(value)))
        except ValueError:
            raise forms.ValidationError(words("sheet.rolls_left.wrong")) from None


class Readings(forms.CharField):
    """Full chambers as they were read, one a line: opening mm, setting mm, and the feed in t/h or
    how heavy the row looked.
    """

    def __init__(self) -> None:
        super().__init__(
            label=words("sheet.readings"),
            help_text=words("sheet.readings.hint"),
            required=False,
            max_length=_LONGEST,
            widget=forms.Textarea(attrs={"rows": 3, "spellcheck": "false"}),
        )

    def clean(self, value: Any) -> tuple[GateReading, ...]:
        """Readings in their order; each line that is none is named by its number. Whether a
        number can be believed is judged where the sheet is made.
        """
        lines = [line for line in super().clean(value).splitlines() if line.strip()]
        if len(lines) > MOST_READINGS:
            raise forms.ValidationError(words("sheet.readings.many", most=MOST_READINGS))
        found, wrong = [], []
        for number, line in enumerate(lines, start=1):
            reading = _reading(line)
            if reading is None:
                wrong.append(words("sheet.readings.wrong", number=number))
            else:
                found.append(reading)
        if wrong:
            raise forms.ValidationError(wrong)
        return tuple(found)


def write_readings(readings: tuple[GateReading, ...]) -> str:
    """The lines that `Readings` reads as those very readings."""
    return "\n".join(
        f"{_short(one.opening_mm)}, {_short(one.setting_mm)}, "
        f"{one.row.value if one.row is not None else _short(one.feed_t_h or 0.0)}"
        for one in readings
    )


def _reading(line: str) -> GateReading | None:
    parts = _parts(line)
    if len(parts) != _PARTS:
        return None
    rows = {row.value: row for row in Row}
    row = rows.get(parts[2].lower())
    try:
        opening_mm, setting_mm = float(parts[0]), float(parts[1])
        feed_t_h = None if row is not None else float(parts[2])
    except ValueError:
        return None
    return GateReading(opening_mm, setting_mm, feed_t_h, row)


def _parts(text: str) -> list[str]:
    return [part for part in _BETWEEN.split(text.strip()) if part]


def _short(value: float) -> str:
    """Every digit that matters, and no ".0"."""
    return repr(float(value)).removesuffix(".0")
