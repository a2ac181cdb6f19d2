"""The watch as the desk runs it: new bales with what it must look back at, and its state."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from bench.findings.reviewing import Review
from numpy.typing import NDArray

from balewright.findings.episode import Episode, EpisodeState
from balewright.findings.episodes import follow
from balewright.findings.finding import Finding
from balewright.findings.judged import judge
from balewright.findings.watch.state import MachineState
from balewright.findings.watch.watch import WatchedMachine, watch
from balewright.records.bales import BaleTable, concatenate
from balewright.records.columns import CHAMBER_PHASES, WRAPPER_PHASES


@dataclass(frozen=True, eq=False)
class Known:
    """What a review leaves: every bale so far in order, when each was made, and the state."""

    bales: BaleTable
    made_us: NDArray[np.int64]
    state: MachineState
    charts: int
    episodes: tuple[Episode, ...]


def made_us(bales: BaleTable) -> NDArray[np.int64]:
    """The earliest time each row knows of, that of the row before where it knows none."""
    first = np.full(bales.rows, np.iinfo(np.int64).max)
    for name in (*CHAMBER_PHASES, *WRAPPER_PHASES):
        known = bales.mask(name)
        first = np.where(known, np.minimum(first, bales.column(name)), first)
    timed = first < np.iinfo(np.int64).max
    if not timed.any():
        return np.zeros(bales.rows, dtype=np.int64)
    last = np.maximum.accumulate(np.where(timed, np.arange(bales.rows), int(np.argmax(timed))))
    return np.asarray(first[last])


def _is_told(episode: Episode, now_us: int) -> bool:
    """Whether it stands, or came and went since the last review, and no other tells it."""
    fresh = episode.state is EpisodeState.OPEN or episode.told_us == now_us
    return fresh and episode.under is None and episode.joined is None


def watching(about: WatchedMachine) -> Review:
    """A review of one machine: the watch, and of its findings the episodes that a person is told.

    What another episode tells already (of one matter) is left out, as on the desk; how many false
    alarms a whole fleet may have is not asked here (see `fleets`).

    Bales behind all earlier ones go on from the state; where one comes in late (a clock was set
    back) the whole history is watched again, as from a state before it.
    """

    def review(new: BaleTable, past: Known | None) -> tuple[tuple[Finding, ...], Known]:
        at_us = made_us(new)
        now_us = max(int(at_us.max()), int(past.made_us[-1]) if past is not None else 0)
        so_far = tuple(one for one in about.events if one.at_us is None or one.at_us <= now_us)
        known = replace(about, events=so_far)
        if past is not None and (not new.rows or at_us.min() > past.made_us[-1]):
            order = np.argsort(at_us, kind="stable")
            bales = concatenate([past.bales, new.take(order)])
            made = np.concatenate([past.made_us, at_us[order]])
            back = np.arange(past.state.keep_from, bales.rows)
            done = watch(bales.take(back), known, past.state)
        else:
            bales = new if past is None else concatenate([past.bales, new])
            made = at_us if past is None else np.concatenate([past.made_us, at_us])
            order = np.argsort(made, kind="stable")
            bales, made = bales.take(order), made[order]
            done = watch(bales, known)
        first_new = 0 if past is None else past.state.judged
        judged = judge(about.serial, about.machine, bales, min(first_new, bales.rows))
        before = () if past is None else past.episodes
        episodes = follow(before, done.findings, now_us, judged)
        told = tuple(one.finding for one in episodes if _is_told(one, now_us))
        return told, Known(bales, made, done.state, done.charts, episodes)

    return review
