"""Two independent libraries of Bayesian networks, asked the same question."""

from __future__ import annotations

import gzip
import importlib.util
import warnings
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from types import ModuleType
from typing import Any

import numpy as np
from numpy.typing import NDArray

from balewright.cause.infer.arrays import Arrays

from .elimination import Table, tables_of

Floats = NDArray[np.float64]

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # its compiled part is older than this Python's wishes
    import pyagrum as gum


@cache
def pgmpy() -> ModuleType:
    """The library pgmpy, which warns about itself while it is loaded."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import pgmpy.factors.discrete
        import pgmpy.inference
        import pgmpy.models
        import pgmpy.readwrite
    return pgmpy


@dataclass(frozen=True)
class Published:
    """A network that pgmpy ships: its tables (own axis last), the states, and the network in both
    libraries. pyAgrum gets pgmpy's numbers: its own reader takes them in single precision only.
    """

    tables: list[Table]
    states: Mapping[str, Sequence[str]]
    pyagrum: Any
    pgmpy: Any

    def told(self, seen: Mapping[str, str]) -> dict[str, list[float]]:
        """Evidence by the names of states, as weights."""
        return {
            name: [float(state == one) for one in self.states[name]] for name, state in seen.items()
        }

    def state(self, name: str, state: str) -> int:
        """Where a state stands."""
        return list(self.states[name]).index(state)


@cache
def published(name: str) -> Published:
    """A published network by the name it is shipped under."""
    found = importlib.util.find_spec("pgmpy")
    assert found is not None
    assert found.origin is not None
    folder = Path(found.origin).parent / "utils" / "example_models"
    text = gzip.decompress((folder / f"{name}.bif.gz").read_bytes()).decode()
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        model = pgmpy().readwrite.BIFReader(string=text).get_model()
    net = gum.BayesNet()
    cpds = model.get_cpds()
    states = {cpd.variable: cpd.state_names[cpd.variable] for cpd in cpds}
    for variable, names in states.items():
        net.add(gum.LabelizedVariable(variable, "", len(names)))
    tables = []
    for cpd in cpds:
        own, *parents = cpd.variables
        assert all(list(cpd.state_names[one]) == list(states[one]) for one in parents)
        tables.append(Table((*parents, own), np.moveaxis(cpd.values, 0, -1)))
        for parent in reversed(parents):
            net.addArc(parent, own)
        assert list(reversed(net.cpt(own).names)) == [*parents, own]
        net.cpt(own)[:] = np.ascontiguousarray(tables[-1].values)
    return Published(tables, states, net, model)


def noisy_or_by_pyagrum(net: Arrays) -> Any:
    """The same network in pyAgrum's own noisy-OR: `addNoisyORNet`, where the leak stands beside the
    links. (`addNoisyOR` is the compound form, which counts the leak inside each link.)"""
    made = gum.BayesNet()
    for at, prior in enumerate(net.prior_frac):
        made.add(gum.LabelizedVariable(f"c{at}", "", 2))
        made.cpt(f"c{at}")[:] = [1.0 - prior, prior]
    for one in range(net.observations):
        made.addNoisyORNet(gum.LabelizedVariable(f"o{one}", "", 2), float(net.leak_frac[one]))
        for link in range(net.start[one], net.start[one + 1]):
            made.addWeightedArc(f"c{net.cause[link]}", f"o{one}", float(net.chance[link]))
    return made


def ask_pyagrum(
    net: Any, evidence: Mapping[str, Sequence[float]], asked: Sequence[str]
) -> dict[str, Floats]:
    """Posteriors by pyAgrum (lazy propagation), and under "" the chance of the evidence."""
    engine = gum.LazyPropagation(net)
    for name, weights in evidence.items():
        engine.addEvidence(name, [float(one) for one in weights])
    engine.makeInference()
    answer = {name: np.array(engine.posterior(name)[:]) for name in asked}
    answer[""] = np.array([engine.evidenceProbability()])
    return answer


def noisy_or_by_pgmpy(net: Arrays) -> Any:
    """The same network in pgmpy, written out as tables."""
    lib = pgmpy()
    made = lib.models.DiscreteBayesianNetwork()
    for table in tables_of(net):
        *parents, own = table.over
        made.add_node(own)
        made.add_edges_from((parent, own) for parent in parents)
        values = np.moveaxis(table.values, -1, 0).reshape(2, -1)
        made.add_cpds(
            lib.factors.discrete.TabularCPD(
                own, 2, values, parents or None, [2] * len(parents) or None
            )
        )
    return made


def ask_pgmpy(
    net: Any, evidence: Mapping[str, Sequence[float]], asked: Sequence[str]
) -> dict[str, Floats]:
    """Posteriors by pgmpy (variable elimination), states in pgmpy's own order of them."""
    lib = pgmpy()
    engine = lib.inference.VariableElimination(net)
    hard, soft = {}, []
    for name, weights in evidence.items():
        states = net.get_cpds(name).state_names[name]
        if sum(weight > 0 for weight in weights) == 1:
            hard[name] = states[int(np.argmax(weights))]
        else:
            values = np.array(weights, float).reshape(-1, 1) / max(weights)
            names = {name: states}
            soft.append(
                lib.factors.discrete.TabularCPD(name, len(states), values, state_names=names)
            )
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # weights need not add up to 1
        return {
            name: np.array(
                engine.query(
                    [name], hard, soft or None, elimination_order="MinFill", show_progress=False
                ).values
            )
            for name in asked
        }
