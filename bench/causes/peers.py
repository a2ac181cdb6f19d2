"""The fastest general library known to us, given every help, on the same cases.

In its own noisy-OR, or with every observation as a chain of ORs of two, whichever is quicker. As
the network stands it does not fit into memory, so what was seen off is folded into the priors by
hand and what is not known is left out: the peer sees causes, their priors given what was seen off,
and the observations seen on. Only the causes are asked for. One core.
"""

from __future__ import annotations

import contextlib
import resource
import time
import warnings
from collections.abc import Callable, Iterator
from typing import Any, Final

import numpy as np
from bench.causes.cases import Case, Floats

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    import pyagrum as gum

Kind = Callable[[gum.BayesNet], Any]
ROOM_GB: Final = 8
"""Memory that the peer may take."""
WIDEST_CLIQUE: Final = 27
"""Variables of a clique whose table takes 1 GB: where the peer's own triangulation is wider it is
not asked, since it may take minutes to fail.
"""


@contextlib.contextmanager
def within_room() -> Iterator[None]:
    """So that a peer that needs more fails by itself, and takes nothing down with it."""
    before = resource.getrlimit(resource.RLIMIT_AS)
    resource.setrlimit(resource.RLIMIT_AS, (ROOM_GB << 30, before[1]))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_AS, before)


def _helped(case: Case) -> Floats:
    """The priors with what was seen off folded in."""
    net, present = case.net, case.net.prior_frac.copy()
    for one in np.flatnonzero(case.on == 0.0):
        links = slice(net.start[one], net.start[one + 1])
        present[net.cause[links]] *= 1.0 - net.chance[links]
    return present / (present + 1.0 - net.prior_frac)


def build(case: Case, more: tuple[int, ...] = (), chained: bool = False) -> gum.BayesNet:
    """The peer's network: causes c0, c1, ... and the observations seen on, and some more, each in
    the peer's own noisy-OR or as a chain of ORs of two.
    """
    net, made = case.net, gum.BayesNet()
    for at, prior in enumerate(_helped(case)):
        made.add(gum.LabelizedVariable(f"c{at}", "", 2))
        made.cpt(at)[:] = [1.0 - prior, prior]
    for one in (*case.positive, *more):
        links = range(net.start[one], net.start[one + 1])
        leak = float(net.leak_frac[one])
        if chained:
            before = None
            for link in links:
                name = f"o{one}" if link == links[-1] else f"o{one}_{link}"
                before = _chain(made, name, before, (int(net.cause[link]), net.chance[link]), leak)
            continue
        own = made.addNoisyORNet(gum.LabelizedVariable(f"o{one}", "", 2), leak)
        for link in links:
            made.addWeightedArc(int(net.cause[link]), own, float(net.chance[link]))
    return made


def _chain(
    made: gum.BayesNet, name: str, before: int | None, cause: tuple[int, float], leak: float
) -> int:
    """One more OR of a chain: on if it was on before (at first: by its leak), or by this cause."""
    own = made.add(gum.LabelizedVariable(name, "", 2))
    at, chance = cause
    made.addArc(at, own)
    if before is not None:
        made.addArc(before, own)
    for there in (0, 1):
        for was in (0, 1):
            on = 1.0 - (1.0 - was if before is not None else 1.0 - leak) * (1.0 - chance * there)
            where = {f"c{at}": there}
            if before is not None:
                where[made.variable(before).name()] = was
            made.cpt(own)[where] = [1.0 - on, on]
    return own


def _engine(case: Case, net: gum.BayesNet, kind: Kind) -> Any:
    engine = kind(net)
    engine.setTargets(set(range(case.net.causes)))
    for one in case.positive:
        engine.addEvidence(f"o{one}", 1)
    return engine


def _read(case: Case, engine: Any) -> Floats:
    engine.makeInference()
    return np.array([engine.posterior(at)[1] for at in range(case.net.causes)])


def widest_clique(case: Case, chained: bool) -> int:
    """Variables in the largest clique of the peer's own triangulation."""
    tree = gum.JunctionTreeGenerator().junctionTree(build(case, (), chained))
    return max(len(tree.clique(one)) for one in tree.nodes())


def posteriors(case: Case) -> tuple[Floats, float, float] | None:
    """Every posterior; milliseconds to ask, and to build and ask, in the form that is quicker (its
    own noisy-OR or chains). None: both do not fit into memory.
    """
    told = [
        _posteriors(case, chained)
        for chained in (False, True)
        if widest_clique(case, chained) <= WIDEST_CLIQUE
    ]
    return min((one for one in told if one), key=lambda one: one[1], default=None)


def _posteriors(case: Case, chained: bool) -> tuple[Floats, float, float] | None:
    ask = whole = np.inf
    for _ in range(5):
        begin = time.process_time()
        net = build(case, (), chained)
        built = time.process_time()
        try:
            with within_room():
                answer = _read(case, _engine(case, net, gum.LazyPropagation))
        except (Exception, MemoryError):  # whatever its compiled part throws
            return None
        end = time.process_time()
        ask, whole = min(ask, end - built), min(whole, end - begin)
    return answer, 1e3 * ask, 1e3 * whole


def _change(case: Case, kind: Kind, some: int, chained: bool) -> float:
    """Off as a factor on its causes, changed from candidate to candidate in one engine; on would
    follow by subtraction, not counted.
    """
    engine = _engine(case, build(case, (), chained), kind)
    for at in range(case.net.causes):
        engine.addEvidence(at, [1.0, 1.0])
    _read(case, engine)
    net, begin = case.net, time.process_time()
    for one in case.candidates[:some]:
        links = range(net.start[one], net.start[one + 1])
        for link in links:
            engine.chgEvidence(int(net.cause[link]), [1.0, 1.0 - net.chance[link]])
        _read(case, engine)
        for link in links:
            engine.chgEvidence(int(net.cause[link]), [1.0, 1.0])
    return time.process_time() - begin


def _anew(case: Case, kind: Kind, some: int, chained: bool) -> float:
    """A new engine for each candidate, off as a factor on its causes."""
    made, net = build(case, (), chained), case.net
    begin = time.process_time()
    for one in case.candidates[:some]:
        engine = _engine(case, made, kind)
        for link in range(net.start[one], net.start[one + 1]):
            engine.addEvidence(int(net.cause[link]), [1.0, 1.0 - net.chance[link]])
        _read(case, engine)
    return time.process_time() - begin


def _node(case: Case, kind: Kind, some: int, chained: bool) -> float:
    """The candidate as a node of its own, entered on and off; building not counted."""
    took = 0.0
    for one in case.candidates[:some]:
        made = build(case, (int(one),), chained)
        begin = time.process_time()
        engine = _engine(case, made, kind)
        engine.addEvidence(f"o{one}", 1)
        _read(case, engine)
        engine.chgEvidence(f"o{one}", 0)
        _read(case, engine)
        took += time.process_time() - begin
    return took


WAYS = {
    "lazy propagation, changed": (_change, gum.LazyPropagation),
    "Shafer-Shenoy, changed": (_change, gum.ShaferShenoyInference),
    "lazy propagation, anew": (_anew, gum.LazyPropagation),
    "Shafer-Shenoy, anew": (_anew, gum.ShaferShenoyInference),
    "lazy propagation, a node": (_node, gum.LazyPropagation),
    "Shafer-Shenoy, a node": (_node, gum.ShaferShenoyInference),
}


def checks(case: Case, some: int) -> dict[str, float]:
    """Milliseconds for all candidates by each way of driving the peer, from the first `some`, in
    the form that is quicker; infinite where it does not fit into memory.
    """
    some = min(some, case.candidates.size)
    share = case.candidates.size / some
    took = {}
    for name, (way, kind) in WAYS.items():
        took[name] = np.inf
        for chained in (False, True):
            if widest_clique(case, chained) > WIDEST_CLIQUE:
                continue
            with contextlib.suppress(Exception, MemoryError), within_room():
                took[name] = min(took[name], 1e3 * share * way(case, kind, some, chained))
    return took


def one_core() -> None:
    """The peer on one core, as ours."""
    gum.setNumberOfThreads(1)
