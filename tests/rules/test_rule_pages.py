"""docs/rules.md is generated from the rules, and is up to date."""

from __future__ import annotations

from pathlib import Path

import pytest

from plaitbook.rules.page import all_pages

PAGE = Path(__file__).resolve().parents[2] / "docs" / "rules.md"


@pytest.mark.skipif(not PAGE.parent.is_dir(), reason="the docs are not beside these tests")
def test_the_rules_page_is_up_to_date() -> None:
    assert PAGE.read_text("utf-8") == all_pages(), "run: python -m plaitbook.rules.page > docs/rules.md"
