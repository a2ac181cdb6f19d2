"""One machine's counts: every number, the sums, swaps that were told, rolls."""
