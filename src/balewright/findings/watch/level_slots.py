"""What the filter of a level keeps of one measure: the places of its numbers, and what all sides
reckon with."""

from __future__ import annotations

from typing import Final

CLIP: Final = 3.0
OTHER_BATCH: Final = 2
"""Mark of a group that begins with a roll of another batch; 1 marks any other."""
JUDGED, SINCE = 0, 1
"""Places among the numbers beside level and slopes: bales judged, in all and since learnt anew."""
SPREAD2, SPREAD_BALES, LEAST2 = 2, 3, 4
"""Square of the spread from bale to bale; the bales it rests on; square of the least to reckon
with: what is finer does not matter to anybody."""
LIKE, LIKE_BALES, LAST = 5, 6, 7
"""Likeness of neighbours; the bales it rests on; the last oddness."""
JOB, ROLL = 8, 22
"""Where the numbers of the two groups begin; those of one group, from there:"""
GROUP2, GROUP_RAW, GROUPS = 0, 1, 2
"""Square of the spread between groups; what was seen of it, may be below zero; on how many."""
IN_GROUP, GROUP_SUM, SHOWN = 3, 4, 5
"""Of this group: bales judged, sum of level and group, share of a change taken as its own."""
GROUP_LIKE, SUMMED, LAST_GROUP = 6, 7, 8
"""Likeness of a group to the one before it; bales of this group in the sum; average of the last."""
HELD_SUM, ODD_GROUP = 9, 10
"""Of this group: the sum of its odd readings; 1 once it was taken for an odd group."""
JOBS, LEFT_BALES, LEFT_SUM, LEFT_JOBS = 36, 37, 38, 39
"""Jobs begun so far; since a change was told: bales, their distance from the level left, jobs."""
BATCHES, LEFT_BATCHES, ROLLS = 40, 41, 42
"""Batches of rolls begun so far, and since a change was told; rolls begun so far: where nobody
notes them nothing goes by them."""
LAST_SUMMED, LENT, WORTH = 11, 12, 13
"""Bales of the last group; square of the usual spread in bale spreads, and the groups it weighs."""
SAME_BALES, SAME_SUM, SAME_OVER = 43, 44, 45
"""Of those bales, the ones of the very job and roll that told it; 1 once these ended."""
RAW_SUM: Final = 46
"""Of this job: the sum of its values, what explains them not taken off."""
SLOTS: Final = 47
"""From here on, of this job: the sums of what explains, one each."""
EARLY_BALES: Final = 40.0
LEAST_GROUP2: Final = 0.0025
ROLL_BALES: Final = 30.0
BATCH: Final = 0.2
"""Square of what a batch of rolls adds, in bale spreads: `assumed`."""
ENDED_MEAN, ENDED_BALES, ENDED_CHANCE2, ENDED_SPREAD2, ENDED_USUAL2, ENDED_SLOPES = range(6)
"""What is told of a job that ended, in a row: the mean of its values, how many they were (0:
nothing is told), the variance that chance and rolls give that mean, the squares of the spread from
bale to bale, alike ones counted in, and of what is usual between jobs; then the slopes as they are
known by now, and the means of what explains, as many.
"""
