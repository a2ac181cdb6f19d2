"""Addresses of the register's database."""

from __future__ import annotations

import pytest

from balewright.store.databases import database_for


@pytest.mark.derived
@pytest.mark.parametrize(
    ("address", "host", "port"),
    [
        ("postgresql://bale:pw@Db.Example:5433/book", "Db.Example", "5433"),
        ("postgresql://bale@%2FRun%2Fpg/book", "/Run/pg", "5432"),
        ("postgresql://[::1]:5555/book", "::1", "5555"),
    ],
)
def test_an_address_is_taken_as_written(address: str, host: str, port: str) -> None:
    """A name, the folder of a socket, an address of version 6; letter case stays."""
    found = database_for(address)
    assert (found["HOST"], found["PORT"], found["NAME"]) == (host, port, "book")
