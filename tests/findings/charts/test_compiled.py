"""What is kept on disk of compiled functions is never older than what it calls."""

from __future__ import annotations

import types

import pytest

from balewright.findings.charts import compiled_kernel
from balewright.findings.charts.compiled_kernel import compiled, inlined

SOURCE = """
from balewright.findings.charts.compiled_kernel import compiled
AMOUNT = {amount}
@compiled
def step(x):
    return x {sign} AMOUNT
@compiled
def kernel(x):
    return step(x)
"""


def module(amount: float, sign: str) -> types.ModuleType:
    """A kernel and the step it calls; only the step differs from one to the other."""
    made = types.ModuleType("made")
    text = compile(SOURCE.format(amount=amount, sign=sign), __file__, "exec")
    exec(text, made.__dict__)
    return made


@pytest.mark.law
def test_a_kernel_is_kept_under_what_it_calls() -> None:
    """The name a kernel is kept under changes with the step's code and with the step's numbers,
    and with nothing else."""
    names = [
        module(amount, sign).kernel.py_func.__qualname__
        for amount, sign in ((1.0, "+"), (1.0, "+"), (1.0, "-"), (2.0, "+"))
    ]
    assert names[0] == names[1]
    assert len(set(names)) == 3


@pytest.mark.law
def test_without_a_folder_to_write_to_it_is_compiled_all_the_same(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Where nothing may be kept on disk the functions work as ever."""
    really = compiled_kernel.nb.njit

    def no_cache(*, cache: bool = False, inline: str = "never"):  # type: ignore[no-untyped-def]
        if cache:
            raise RuntimeError("no locator available")
        return really(inline=inline)

    monkeypatch.setattr(compiled_kernel.nb, "njit", no_cache)

    def twice(x: float) -> float:
        return 2.0 * x

    def thrice(x: float) -> float:
        return 3.0 * x

    assert compiled(twice)(1.5) == 3.0
    assert inlined(thrice)(1.5) == 4.5
