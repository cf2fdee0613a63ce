"""What the trade takes for granted: sizes and lengths in the right order, packs in the right band.

Constants are not fitted to these; see :mod:`plaitbook.passes.constants`.
"""

from __future__ import annotations

import pytest
import strand_builders as b

from plaitbook.passes.load import weigh_load
from plaitbook.passes.material import portion_material
from plaitbook.passes.strands import work_strands

SCALP_HAIRS = 500 * 190
"""500 cm² of hair-bearing scalp (transplant planning), 190 hairs/cm² (Loussouarn, Br J
Dermatol 2001)."""


def _set(sections: int, width: float, length: float = 17, technique: str = "plait", um: float = 55,
         own: float = 12, **more):
    recipe = b.recipe(
        hairs=(b.use(cut_in=28), b.use("curls", "Dune Curl", "curly", 18, 0.5, 0)),
        catalogue=(b.hair(flat_in=84), b.hair("Dune Curl", "curly", 80, 18)),
        technique=technique, length_in=length, feeds=[b.feed("hold", width)], **more,
    )
    wearer, house, grid = b.wearer(um=um, own_in=own), b.house(), b.sections(sections, SCALP_HAIRS // sections)
    kinds = work_strands(recipe, wearer, house, grid).part[0]
    material = portion_material(recipe, wearer, house, grid, kinds).part
    return {line.name: line.grams for line in material.hair}, weigh_load(recipe, wearer, house, grid, kinds).part


def test_the_trade_fact() -> None:
    """About 60 knotless plaits of 17 in with loose curls every 9 stitches on very fine hair
    took 1⅓ packs of plain hair and 2 of curly (common practice, no source). The width was not
    told; 6 mm is assumed, with packs of 125 g and 80 g. The model gives 1.66 and 1.56."""
    grams, _ = _set(60, 6, accents=[b.accent(stagger=True)])
    assert grams["Dune"] / 125 == pytest.approx(4 / 3, rel=0.30)
    assert grams["Dune Curl"] / 80 == pytest.approx(2.0, rel=0.30)


def test_longer_takes_more() -> None:
    grams = [_set(67, 6, length)[0]["Dune"] for length in (10, 14, 18, 22, 26, 30)]
    assert grams == sorted(grams)


def test_wider_takes_more() -> None:
    grams = [_set(67, width)[0]["Dune"] for width in (5, 6, 7, 8, 9)]
    assert grams == sorted(grams)


def test_a_heavy_head_stays_under_the_rule_of_four() -> None:
    """No more than four packs (pros' advice, Box braids: comment les entretenir): an ordinary
    medium set of 165 g packs does not come near it."""
    grams, _ = _set(67, 6, 20)
    assert grams["Dune"] / 165 < 4


def test_finished_braids_are_mostly_added_hair() -> None:
    """A finished head is about two thirds synthetic (travel report, Rwanda 2016): loosely so."""
    _, load = _set(67, 6, 18)
    assert 0.5 < load.added_to_own / (1 + load.added_to_own) < 0.9


def test_coarser_hair_needs_fewer_pieces() -> None:
    """Own hair that goes all the way down carries its share of the width."""
    fine, coarse = (_set(67, 7, um=um, own=30)[0]["Dune"] for um in (55, 80))
    assert coarse < fine
