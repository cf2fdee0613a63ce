"""A served demo book: one for all tests that change nothing in it, one of its own for any that does."""

from __future__ import annotations

from typing import Iterator

import pytest
from desk_at import Served, copied_book, page_of


@pytest.fixture(scope="session")
def reading(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    with page_of(copied_book(tmp_path_factory.mktemp("page") / "book")) as served:
        yield served


@pytest.fixture
def writing(tmp_path) -> Iterator[Served]:
    with page_of(copied_book(tmp_path / "book")) as served:
        yield served
