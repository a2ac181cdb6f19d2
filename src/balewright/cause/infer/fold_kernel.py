"""Evidence that binds no causes together, folded into the causes' weights, compiled.

Each cause has a weight absent and a weight present, adding up to 1. An observation seen off is a
product over its causes, so it goes into their weights and is done with. One whose outcome hangs on
a single unsettled cause is a factor of that cause alone. What is left is *kept*: observations with
two or more unsettled causes, seen on or with both outcomes still possible. Folding may settle a
cause (weight absent or present 0), and that may leave another observation with fewer unsettled
causes; so it goes on until nothing changes.

Every step adds and multiplies numbers that are not negative: nothing cancels.
"""

from __future__ import annotations

import math

import numpy as np

from balewright.cause.infer.arrays import Floats, Ints
from balewright.findings.charts.compiled_kernel import compiled


@compiled
def _weigh(absent: Floats, present: Floats, cause: int) -> float:
    """Make a cause's weights add up to 1; gives the logarithm of what they added up to."""
    both = absent[cause] + present[cause]
    if not both > 0.0:
        return -math.inf
    absent[cause] /= both
    present[cause] /= both
    return math.log(both)


@compiled
def fold(
    prior: Floats,
    start: Ints,
    cause: Ints,
    chance: Floats,
    leak: Floats,
    weight_on: Floats,
    weight_off: Floats,
) -> tuple[Floats, Floats, Floats, Ints, float]:
    """Fold what can be folded.

    Gives absent[n] and present[n] (adding up to 1 for each cause), leak[m] with the causes that are
    certainly there taken into it, kept[m] (1: still to be answered for), and the logarithm of what
    was folded away (-inf: the evidence cannot be).
    """
    absent = 1.0 - prior
    present = prior.copy()
    leaks = leak.copy()
    kept = np.zeros(leak.size, np.int64)
    log = 0.0
    for seen in range(leak.size):
        on, off = weight_on[seen], weight_off[seen]
        if on == off:
            log += math.log(on)
        elif on == 0.0:
            through = off * (1.0 - leak[seen])
            log += math.log(through) if through > 0.0 else -math.inf
            for link in range(start[seen], start[seen + 1]):
                present[cause[link]] *= 1.0 - chance[link]
        else:
            kept[seen] = 1
    for one in range(prior.size):
        log += _weigh(absent, present, one)
    changed = log > -math.inf
    while changed:
        changed = False
        for seen in range(leak.size):
            if kept[seen] == 0:
                continue
            free = 0
            one = -1
            one_chance = 0.0
            on_free = leak[seen]
            off_free = 1.0 - leak[seen]
            for link in range(start[seen], start[seen + 1]):
                here = cause[link]
                if chance[link] == 0.0 or present[here] == 0.0:
                    continue
                if absent[here] == 0.0:
                    on_free += off_free * chance[link]
                    off_free *= 1.0 - chance[link]
                else:
                    free += 1
                    one, one_chance = here, chance[link]
            leaks[seen] = on_free
            if free > 1 and off_free > 0.0:
                continue
            kept[seen] = 0
            changed = True
            on, off = weight_on[seen], weight_off[seen]
            if free == 1 and off_free > 0.0:
                present[one] *= on * (on_free + off_free * one_chance) + off * off_free * (
                    1.0 - one_chance
                )
                absent[one] *= on * on_free + off * off_free
                log += _weigh(absent, present, one)
            else:
                through = on * on_free + off * off_free
                log += math.log(through) if through > 0.0 else -math.inf
            if log == -math.inf:
                changed = False
                break
    return absent, present, leaks, kept, log
