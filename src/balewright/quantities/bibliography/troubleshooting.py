"""What the order of checks and repairs is held against."""

from __future__ import annotations

from typing import Final

from balewright.quantities.source import Source, Strength

ENTRIES: Final[tuple[Source, ...]] = (
    Source(
        "ottosen-jensen-2010",
        Strength.PUBLISHED,
        "Ottosen and Jensen, The cost of troubleshooting cost clusters with inside information, "
        "UAI 2010 (arXiv 1203.3502), abstract: without clusters the order by chance over price is "
        "best (Kadane and Simon); with a tree of clusters that stay open, its bottom-up form is.",
    ),
    Source(
        "heckerman-troubleshooting-1995",
        Strength.MEMORY,
        "Heckerman, Breese and Rommelse, Commun. ACM 38(3) (1995) 49-57: with one fault, prices "
        "that do not hang on the order and a look after each repair, chance over price is best.",
    ),
    Source(
        "bertsekas-rollout",
        Strength.MEMORY,
        "D. P. Bertsekas, Dynamic Programming and Optimal Control: looking one step ahead and then "
        "following a policy costs at most what following that policy throughout does.",
    ),
)
