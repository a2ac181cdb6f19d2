"""What the truth bears out although nobody planted it, and what a stressor makes fair to tell."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import Final

import numpy as np

from balewright.findings.finding import Finding
from balewright.findings.finding import FindingKind as F
from balewright.rehearsal.stress.catalogue import STRESSORS
from balewright.rehearsal.stress.stressed import Span
from balewright.rehearsal.stress.stressor import Fair
from balewright.rehearsal.truth import Truth

_NUMBERS: Final = (F.NUMBER_MISSING, F.NUMBER_REPEATED, F.COUNTER_CHANGED)
_SENSOR: Final = (F.SENSOR_FROZEN, F.SENSOR_RESTLESS, F.SENSOR_MOVED)
_CLOCK: Final = (F.PHASES_DISORDERED, F.PHASE_TIME_MOVED, F.NUMBER_REPEATED)
FAIR: Final[Mapping[Fair, tuple[F, ...]]] = MappingProxyType({
    Fair.COLUMN_SILENT: (F.NOT_WATCHED,),
    Fair.NUMBERS: _NUMBERS,
    Fair.CLOCK: _CLOCK,
    Fair.SHAPE: (F.SHAPE_MOVED,),
    Fair.MOISTURE: (F.MOISTURE_OUTSIDE, F.SENSOR_MOVED),
    Fair.OVERLOADS: (F.OVERLOADS_MORE,),
    Fair.FILM_WIDTH: (F.LAYERS_SHORT, F.SETTING_MOVED),
    Fair.SENSOR: _SENSOR,
    Fair.SETTING: (F.SETTING_MOVED, F.DRIVE_MOVED, F.SUPPLY_LOW, F.TEMPERATURE_MOVED),
    Fair.LAYERS: (F.LAYERS_SHORT,),
})  # fmt: skip
"""Kinds of findings that tell what a stressor did; by meaning, before any run."""
_MOISTURE_SLACK_FRAC: Final = 0.01
NEAR_BALES: Final = 40
"""A finding may begin this many bales outside the stretch on which a stressor worked."""


def is_true(truth: Truth, finding: Finding, since: int, until: int) -> bool:
    """Whether layers really are short, or moisture really is outside, on the bales told of.

    since, until: first and last bale of the season that the finding speaks of.
    """
    span = slice(since, min(until, since + max(finding.looked_at, 1)) + 1)
    if finding.kind is F.LAYERS_SHORT:
        return bool(np.median(truth.short_frac[span]) > 0.01)
    if finding.kind is F.MOISTURE_OUTSIDE and finding.planned is not None:
        level = float(np.median(truth.moisture_frac[span]))
        if finding.words.key.endswith("wet"):
            return level > finding.planned - _MOISTURE_SLACK_FRAC
        return level < finding.planned + _MOISTURE_SLACK_FRAC
    return False


def is_fair(spans: Sequence[Span], finding: Finding, since: int) -> bool:
    """Whether a stressor that worked on the bale it began at makes the finding fair."""
    return any(
        finding.kind in FAIR[fair]
        for span in spans
        if span.first - NEAR_BALES <= since <= span.last + NEAR_BALES
        for fair in STRESSORS[span.key].fair
    )
