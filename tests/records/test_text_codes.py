"""Numbers for texts, against a dictionary filled row by row."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from balewright.records.text_codes import code_texts


@pytest.mark.law
@given(st.lists(st.sampled_from(["", "M-1", "M-2", "é", "e\u0301"]), max_size=30))
def test_equal_texts_and_they_alone_get_equal_numbers(texts: list[str]) -> None:
    """Numbers rise as texts first come; the list of texts says what each number stands for."""
    codes, distinct = code_texts(np.array(texts, dtype=object))
    assert distinct == list(dict.fromkeys(texts))
    assert [distinct[code] for code in codes] == texts
