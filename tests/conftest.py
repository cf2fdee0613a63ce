"""Kept for tests that say ``from conftest import``; the helpers live in ``shipped_book``."""

from shipped_book import *  # noqa: F403
