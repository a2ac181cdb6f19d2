"""Batches of film and net compared: in a shell, and on the page of a batch's bales."""

from __future__ import annotations

from typing import Final

MESSAGES: Final = {
    "batches.nothing": (
        "Nothing to compare yet: a batch needs 40 bales of its own, and other film or net beside "
        "it on the same machine."
    ),
    "batches.batch": "batch",
    "batches.bales": "bales",
    "batches.breaks": "breaks",
    "batches.expected": "expected",
    "batches.rate": "in 100 bales",
    "batches.times": "times as often",
    "batches.chance": "by chance",
    "batches.worse": "worse",
    "batches.yes": "yes",
    "batches.against": (
        "Each is held only against other film or net on the same dispenser of the same machine. "
        "Of net, further tries at binding are counted."
    ),
    "desk.rolls.worse": "Batches that break more",
    "desk.rolls.worse.what": (
        "Found by the last daily review, each held only against other film or net on the same "
        "dispenser of the same machine. Choose one to see its bales."
    ),
    "desk.rolls.worse.all": "All batches compared",
    "desk.rolls.worse.none": (
        "The last daily review found no batch that breaks more than other film or net on the same "
        "machines."
    ),
    "desk.rolls.worse.batch": "Batch",
    "desk.rolls.worse.bales": "Bales",
    "desk.rolls.worse.rate": "Breaks in 100 bales",
    "desk.rolls.worse.times": "Against the rest",
    "desk.rolls.worse.sure": "By chance alone",
    "desk.rolls.worse.rate.said": "{best} ({low} to {high})",
    "desk.rolls.worse.times.said": "{best} times as often ({low} to {high})",
    "desk.rolls.worse.times.only": "broke nowhere else",
    "desk.rolls.worse.sure.said": "once in {count}",
    "desk.rolls.worse.sure.most": "less than once in a million",
}
