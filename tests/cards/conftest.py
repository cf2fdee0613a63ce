"""Fixtures for the card tests."""

from __future__ import annotations

import re
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


def without_drawings(html: str) -> str:
    """A page with each drawing cut to its opening tag, so that a snapshot changes when the words do."""
    return re.sub(r"<svg[^>]*>.*?</svg>", "<svg/>", re.sub(r"<style>.*?</style>", "<style/>", html, flags=re.S), flags=re.S)
