"""Pasted text means what it looks like, and columns stay where they were."""

from __future__ import annotations

import pytest
from hypothesis import given, strategies as st

from plaitbook.syntax.normalise import plain_line


@pytest.mark.parametrize(("written", "plain"), [
    ("wearing 18\u00a0in", "wearing 18 in"),
    ("recipe \u201cSaltmarsh\u201d", 'recipe "Saltmarsh"'),
    ('wearing 18"', "wearing 18″"),
    ("wearing 18\u2033", "wearing 18″"),
    ("wearing 18½\u201d", "wearing 18½″"),
    ('recipe "Look 2" version 3', 'recipe "Look 2" version 3'),
    ("grid rectangle 1 in \u00d7 2 in", "grid rectangle 1 in x 2 in"),
    ("wearing 16\u201318 in", "wearing 16–18 in"),
    ("wearing 16-18 in", "wearing 16–18 in"),
    ("technique two\u2011strand twist", "technique two-strand twist"),
    ("GRID Brick", "grid brick"),
    ('summary "Keep MY Case"', 'summary "Keep MY Case"'),
    ("heat seal 180 \u00baC", "heat seal 180 °c"),
    ("grid brick 1 in  # as in \"x\"", "grid brick 1 in"),
    ("\ufeffedition 1", "edition 1"),
])
def test_pasted_characters_mean_what_they_look_like(written: str, plain: str) -> None:
    assert plain_line(written).text == plain


def test_a_comment_is_kept_and_a_hash_in_a_name_is_no_comment() -> None:
    line = plain_line('hair "No #1"  # the good one')
    assert line.text == 'hair "No #1"'
    assert line.comment == "# the good one"


def test_an_unclosed_quote_is_found_where_it_opens() -> None:
    assert plain_line('summary "never closed').unclosed == 9


@given(st.text(alphabet=st.characters(blacklist_categories=("Cs", "Cf"), blacklist_characters="\n\r"), max_size=60))
def test_no_visible_character_moves(text: str) -> None:
    """One character in, one character out, up to the comment (columns in messages depend on it)."""
    line = plain_line(text)
    whole = line.text
    shown = text if line.comment is None else text[: len(text) - len(text[text.index("#"):])] if '"' not in text else text
    assert len(whole) <= len(text)
    if line.comment is None and line.unclosed is None and "#" not in text:
        assert len(whole) == len(shown.rstrip()) or whole == whole.rstrip()
