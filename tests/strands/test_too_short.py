"""Hair that can't be worked is told, not planned."""

from __future__ import annotations

import pytest
from shipped_book import compile_in_book, shipped_text


def _person(own: str) -> str:
    return f'\nwearer "Cm"\nage 30 years\nown hair {own}\n'


@pytest.mark.parametrize("own", ["0 cm", "0.5 cm"])
def test_no_hair_to_plait_on_to(own: str) -> None:
    done = compile_in_book(shipped_text("looks/plain-saltmarsh.plait") + _person(own), "looks/plain-saltmarsh.plait", wearer="Cm")
    assert [p.code for p in done.problems] == ["E009"]


@pytest.mark.parametrize("own", ["1 cm", "2 cm"])
def test_own_hair_that_runs_out_before_the_first_piece(own: str) -> None:
    done = compile_in_book(shipped_text("looks/pebble-bob.plait") + _person(own), "looks/pebble-bob.plait", wearer="Cm")
    assert done.plan is None and {p.code for p in done.problems} == {"E010"}


@pytest.mark.parametrize("own", ["3 cm", "4 cm", "6 cm", "12 cm"])
def test_nothing_is_laid_in_past_the_end(own: str) -> None:
    done = compile_in_book(shipped_text("looks/saltmarsh.plait") + _person(own), "looks/saltmarsh.plait", wearer="Cm")
    assert done.plan is not None, done.problems
    assert all(fed.stitch <= kind.stitches for kind in done.plan.strand_kinds for fed in kind.feed_ins)
