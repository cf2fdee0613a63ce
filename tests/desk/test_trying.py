"""What ``plait check`` says a good file holds."""

from __future__ import annotations

import pytest

from plaitbook.desk.trying import holds


@pytest.mark.parametrize(("kinds", "said"), [
    (["recipe"], "1 look"), (["recipe", "house", "recipe"], "2 looks, 1 house"), (["hair", "hair", "ornament"], "2 hairs, 1 ornament"),
    ([], "nothing of its own"),
])
def test_a_files_holding_is_said_by_kind(kinds: list[str], said: str) -> None:
    assert holds(kinds) == said
