"""Fixtures for the card tests."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))


@pytest.fixture(scope="session")
def card():
    """The card of the ordinary sample."""
    from plaitbook.cards.build import write_card
    from sample import sample

    return write_card(*sample())
