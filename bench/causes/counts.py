"""How much the fault network holds, by system: the table of docs/fault-network.md.

python -m bench.causes.counts
"""

from __future__ import annotations

from collections.abc import Collection

from balewright.cause.network import Kind, Network, System
from balewright.readers.fault_network import shipped_network


def written_once(keys: Collection[str]) -> tuple[str, ...]:
    """The keys without the second of what is written once and stands once a dispenser."""
    return tuple(
        key for key in keys if not (key.endswith("_2") and key.removesuffix("_2") + "_1" in keys)
    )


def table(network: Network) -> tuple[str, ...]:
    """Its lines, entries that stand once a dispenser counted once."""
    causes = [network.cause(key) for key in written_once(network.cause_by_key)]
    seen = [network.observation(key) for key in written_once(network.observation_by_key)]
    lines = ["| system | causes | reports | findings | checks |", "|---|---|---|---|---|"]
    totals = [0, 0, 0, 0]
    for system in System:
        row = [sum(one.system is system for one in causes)]
        row += [sum(one.system is system and one.kind is kind for one in seen) for kind in Kind]
        totals = [total + one for total, one in zip(totals, row, strict=True)]
        lines.append(f"| {system.value} | " + " | ".join(map(str, row)) + " |")
    lines.append("| **all** | " + " | ".join(f"**{one}**" for one in totals) + " |")
    return tuple(lines)


if __name__ == "__main__":
    print("\n".join(table(shipped_network())))
