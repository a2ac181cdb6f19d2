"""Whether a tractor does, in words."""

from __future__ import annotations

from typing import Final

MESSAGES: Final = {
    "power.enough": (
        "The machine takes {need_low_kw} to {need_high_kw}; the tractor's {tractor_kw} cover all "
        "of that."
    ),
    "power.not_certain": (
        "The machine takes {need_low_kw} to {need_high_kw}; whether {tractor_kw} do is not "
        "certain. Watch the engine speed under full load, with the last layers of a bale: where it "
        "falls, drive slower or turn knives out."
    ),
    "power.not_enough": (
        "The machine takes {need_low_kw} to {need_high_kw}; {tractor_kw} are too little even at "
        "the low end."
    ),
    "power.flow.enough": "Oil flow: {need_l_min} are needed, and there.",
    "power.flow.not_enough": "Oil flow: {need_l_min} are needed, and the tractor gives less.",
    "power.flow.unknown": "Oil flow: {need_l_min} are needed; what the tractor gives is not known.",
    "power.pressure.enough": "Oil pressure: {need_bar} are needed, and there.",
    "power.pressure.not_enough": "Oil pressure: {need_bar} are needed, and the tractor gives less.",
    "power.pressure.unknown": (
        "Oil pressure: {need_bar} are needed; what the tractor gives is not known."
    ),
    "power.return.enough": "Return: the tractor has a line without pressure.",
    "power.return.not_enough": (
        "Return: there is no line without pressure. Back pressure slows the wrapper and can harm "
        "its motor; ask who knows the tractor."
    ),
    "power.return.unknown": "Return: whether there is a line without pressure is not known.",
    "power.part.baling": "baling",
    "power.part.chopping": "chopping",
    "power.part.oil": "oil for the wrapper",
    "power.part.pulling": "pulling",
    "power.part.slope": "the slope",
    "power.part.total": "all at once",
    "power.part.tractor": "the tractor gives",
    "power.part.reserve": "left over",
    "power.column.part": "at the PTO",
    "power.column.low": "at least",
    "power.column.best": "likely",
    "power.column.high": "at most",
    "power.picture.title": "Power needed: {best_kw}, {low_kw} to {high_kw}; the tractor {given_kw}",
    "power.picture.desc": (
        "What the machine takes at the PTO, part by part: {parts}. All at once {low_kw} to "
        "{high_kw}, likely {best_kw}. The tractor gives {given_kw}: {verdict}."
    ),
    "power.picture.head": "Power at the PTO",
    "power.picture.sum": "likely {best_kw}, {low_kw} to {high_kw}",
    "power.picture.tractor": "tractor {given_kw}",
    "power.picture.spread": "bar: likely; thin line: from all parts low to all parts high",
    "power.picture.range": "{part} {low_kw} to {high_kw}",
    "power.verdict.enough": "enough",
    "power.verdict.not_certain": "not certain",
    "power.verdict.not_enough": "not enough",
    "power.verdict.unknown": "not known",
    "power.steady": (
        "For a steady load at full engine speed. Peaks of a filling bale last seconds and go "
        "above it."
    ),
}
