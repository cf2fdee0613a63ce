"""A book of its own for each test: the shipped one, copied."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from plaitbook.desk.editing.session import Session
from plaitbook.shipped import shipped_folder


@pytest.fixture
def book(tmp_path: Path) -> Path:
    """A copy of the shipped book's folder."""
    return Path(shutil.copytree(shipped_folder("recipes"), tmp_path / "book"))


@pytest.fixture
def session(book: Path) -> Session:
    return Session(book)


@pytest.fixture(scope="module")
def shipped() -> Session:
    """The shipped book itself: for tests that write nothing over it."""
    return Session(shipped_folder("recipes"))
