"""The cause that is likeliest behind a case, without choosing a step: quick enough for a list."""

from __future__ import annotations

from balewright.cause.case.case import Case, CaseState
from balewright.cause.case.evidence import evidence_of
from balewright.cause.network import Cause
from balewright.cause.rank import rank_causes
from balewright.flows.ask_causes import Troubled
from balewright.quantities.errors import NotAnswerable


def likeliest_cause(at: Troubled, case: Case) -> tuple[Cause, float] | None:
    """The first cause and the chance that it is behind what is known: the case's answers, and
    what its machine's records say (`look_at_machine`). None where nothing was seen that asks for
    a cause, and where there is no exact answer.
    """
    network = at.network
    seen = {**at.from_records, **evidence_of(case)}
    known = {key: one for key, one in seen.items() if key in network.observation_by_key}
    try:
        exposure = {**at.exposure, **in_vain(case)}
        first = rank_causes(network, known, exposure).causes[0]
    except NotAnswerable:
        return None
    if first.behind_frac == 0.0:
        return None
    return network.cause(first.key), first.behind_frac


def in_vain(case: Case) -> dict[str, float]:
    """Bales since each cause that was put right without the trouble ending: none."""
    if not case.repairs or case.state is not CaseState.OPEN:
        return {}
    return {one.cause: 0.0 for one in case.causes if one.cause}
