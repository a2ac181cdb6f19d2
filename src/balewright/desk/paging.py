"""Fifty rows a page."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final, TypeVar

from django.core.paginator import Page, Paginator
from django.http import HttpRequest

ROWS: Final = 50

Row = TypeVar("Row")


def page_of(request: HttpRequest, rows: Sequence[Row]) -> tuple[list[Row], dict[str, Any]]:
    """The rows of the page asked for (`?page=2`), and what the turning links need."""
    page: Page[Row] = Paginator(rows, ROWS).get_page(request.GET.get("page"))
    query = request.GET.copy()
    query.pop("page", None)
    return list(page.object_list), {"page": page, "query": query.urlencode()}
