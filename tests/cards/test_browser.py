"""The HTML card in a real browser, judged by axe-core."""

from __future__ import annotations

import pytest
from axe import in_browser, violations
from sample import sample

from plaitbook.cards.build import write_card
from plaitbook.cards.documents import write_document
from plaitbook.cards.html import render_html
from plaitbook.desk.printing import KINDS

pytestmark = in_browser
WINDOWS = ("1024,1400", "390,900")


@pytest.mark.parametrize("window", WINDOWS)
@pytest.mark.parametrize("kw", [{}, {"techniques": True, "ornaments": True, "found": 12, "units": "metric"}])
def test_axe_finds_nothing(window, kw, tmp_path):
    assert violations(render_html(write_card(*sample(**kw), with_look=True)), window, tmp_path) == []


@pytest.mark.parametrize("window", WINDOWS)
@pytest.mark.parametrize("kind", KINDS)
def test_axe_finds_nothing_in_the_other_papers(window, kind, tmp_path):
    assert violations(render_html(write_document(kind, *sample(ornaments=True))), window, tmp_path) == []
