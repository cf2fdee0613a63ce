"""Material and load: every gram accounted for, racks, packs, and figures that recompute."""

from __future__ import annotations

import math
from math import ceil

import pytest
import strand_builders as b
from hypothesis import given, settings
from hypothesis import strategies as st

from plaitbook.meaning.model import BlendPart
from plaitbook.passes.load import weigh_load
from plaitbook.passes.material import portion_material
from plaitbook.passes.material_figures import slug
from plaitbook.passes.shelf import credited
from plaitbook.passes.strands import work_strands
from plaitbook.plan.model import Figure, Given

NAMES = {name: getattr(math, name) for name in ("sqrt", "pi", "ceil", "floor", "exp")} | {
    "min": min, "max": max, "round": round, "sum": sum, "__builtins__": {},
}


def _all(recipe, wearer=None, house=None, sections=None):
    wearer, house, sections = wearer or b.wearer(), house or b.house(), sections or b.sections()
    strands = work_strands(recipe, wearer, house, sections)
    kinds = strands.part[0]
    material = portion_material(recipe, wearer, house, sections, kinds)
    load = weigh_load(recipe, wearer, house, sections, kinds)
    figures = {f.key: f for o in (strands, material, load) for f in o.figures}
    assert len(figures) == sum(len(o.figures) for o in (strands, material, load))
    return kinds, strands.part[1], material.part, load.part, figures


def _recompute(figures: dict[str, Figure], key: str, done: dict[str, float]) -> float:
    if key not in done:
        figure = figures[key]
        names = {
            name: float(given.value) if isinstance(given, Given) else _recompute(figures, given, done)
            for name, given in figure.inputs.items()
        }
        done[key] = eval(figure.formula, dict(NAMES), names) if figure.how == "formula" else figure.value
    return done[key]


LOOKS = {
    "curls": dict(accents=[b.accent(stagger=True)]),
    "twist": dict(technique="twist", feeds=[b.feed("until", 8)]),
    "row": dict(technique="row", feeds=[b.feed("every", None, every=4, last=20)]),
    "trimmed": dict(end=["trim"], start="own hair first", own_mm=38),
    "own": dict(start="own hair only", start_held=None, feeds=(), length_in=None),
    "shaded": dict(hairs=(b.use(colour="Umber", shades=((9, "Honey"),)), b.use("curls", "Dune Curl", "curly", 18, 0.5, 0)),
                   accents=[b.accent()]),
}


@pytest.mark.parametrize("name", LOOKS)
@pytest.mark.parametrize("weighed", [False, True])
def test_every_figure_recomputes_from_its_inputs(name: str, weighed: bool) -> None:
    house = b.house(pencil_g_m=b.plain(16)) if weighed else b.house(length_ratio=b.plain(1.3))
    kinds, _, _, _, figures = _all(b.recipe(**LOOKS[name]), house=house)
    done: dict[str, float] = {}
    for key, figure in figures.items():
        assert _recompute(figures, key, done) == pytest.approx(float(figure.value), rel=1e-9, abs=1e-9), key
        assert figure.source and figure.label
    for kind in kinds:
        assert figures[f"strands.{kind.like}.width_mm"].value == kind.width_mm


def _key(line) -> str:
    return f"material.{slug(line.name)}" + (f".{slug(line.colour)}" if line.colour else "")


def _balance(recipe, house=None, wearer=None, sections=None) -> None:
    """Grams in = on the head + trimmed + off-cuts + shed + returned, hair by hair; pieces on
    the racks = pieces fed + accents + spare, size by size and shade by shade."""
    house, wearer = house or b.house(), wearer or b.wearer()
    kinds, strands, material, _, figures = _all(recipe, wearer, house, sections)
    done: dict[str, float] = {}
    for line in material.hair:
        key = _key(line)
        get = lambda part: figures[f"{key}.{part}"].value  # noqa: E731
        opened = (line.packs_to_buy + line.in_stock + line.brought) * line.pack_g
        trimmed = figures[f"{key}.worn_g"].inputs["trimmed"].value
        parts = line.worn_grams + trimmed + get("offcut_g") + get("shed_g") + get("returned_g")
        assert opened == pytest.approx(parts, rel=1e-9)
        assert line.grams == pytest.approx(line.worn_grams + trimmed + get("offcut_g") + get("shed_g"), rel=1e-9)
        assert get("offcut_g") >= -1e-9 and line.worn_grams >= -1e-9
        wanted = line.packs_used * (1 + house.spare)
        assert line.packs_to_buy + line.in_stock + line.brought >= wanted - 1e-6
        # And never a pack more than that takes.
        assert line.packs_to_buy <= max(0.0, wanted - line.in_stock - line.brought) + 1
        for part in ("packs_to_buy", "returned_g"):
            assert _recompute(figures, f"{key}.{part}", done) == pytest.approx(get(part), rel=1e-9, abs=1e-9)
    for name, packs in (*house.stock, *wearer.brings):
        counted = sum(line.in_stock + line.brought for line in material.hair if line.name == name)
        there = sum(n for known, n in (*house.stock, *wearer.brings) if known == name)
        assert counted == pytest.approx(there) or not any(line.name == name for line in material.hair)
    worn = sum(line.worn_grams for line in material.hair) + sum(line.grams for line in material.ornaments)
    assert material.added_worn_g == pytest.approx(worn, rel=1e-9)
    fed: dict[tuple[str, float, str | None], float] = {}
    for strand in strands:
        for item in strand.feed_ins:
            size = item.role, item.held_mm, item.colour
            fed[size] = fed.get(size, 0) + item.pieces * item.part
        for item in strand.accents:
            if item.role:
                size = item.role, item.held_mm, item.colour
                fed[size] = fed.get(size, 0) + item.count
    assert sum(line.pieces_used for line in material.hair if len(line.roles) == 1) <= sum(fed.values()) * 3 + 1e-6
    for rack in material.racks:
        assert rack.pieces == ceil(fed.pop((rack.role, rack.held_mm, rack.colour)) * (1 + house.spare) - 1e-9)
        assert rack.pegs * rack.per_peg * (rack.reloads + 1) >= rack.pieces
    assert not fed


@settings(max_examples=60, deadline=None)
@given(
    technique=st.sampled_from(["plait", "twist", "row"]), length=st.floats(4, 30), width=st.floats(3, 12),
    held=st.floats(1, 8), cut=st.floats(6, 56), fold=st.sampled_from([0.0, 0.35, 0.5]), pulled=st.floats(0, 6),
    every=st.integers(2, 20), side=st.sampled_from(["alternate", "both", "left"]), trim=st.booleans(),
    spare=st.floats(0, 0.5), stock=st.floats(0, 3), flat=st.floats(56, 90), count=st.integers(1, 30),
    same=st.booleans(), pegs=st.integers(1, 30), brings=st.floats(0, 3),
    look=st.sampled_from(["one colour", "blend", "shaded", "one shaded hair for both"]),
    first=st.integers(1, 30), on=st.integers(1, 30),
)
def test_no_gram_is_lost(technique, length, width, held, cut, fold, pulled, every, side, trim, spare, stock, flat,
                         count, same, pegs, brings, look, first, on) -> None:
    """Solid, blended and shaded roles, split pieces, spare, the shelf and hair the wearer brings."""
    shades = ((first, "Honey"), (first + on, "Sand"))
    parts = (BlendPart(hair="Dune", share=0.6), BlendPart(hair="Kelp", share=0.4)) if look == "blend" else None
    curls = b.use("curls", "Dune" if same else "Dune Curl", "curly", 17, 0.5, 0,
                  shades=shades if look == "one shaded hair for both" else (), colour="Umber")
    recipe = b.recipe(
        hairs=(b.use(cut_in=cut, fold=fold, pulled_in=pulled, parts=parts, colour="Umber",
                     shades=shades if "shaded" in look else ()), curls),
        catalogue=(b.hair(flat_in=flat), b.hair("Dune Curl", "curly", 80, 18), b.hair("Kelp", "plain", 100, flat, 1.4)),
        ornaments=[b.bead(bore=50)], technique=technique, length_in=length, start_held=held,
        feeds=[b.feed("hold", width, held)], end=["trim"] if trim else [],
        accents=[b.accent(every, held=held if same else 1.75, side=side, stagger=True),
                 b.accent(every + 1, held=None, ornament="Pip", ornament_count=2)],
    )
    house = b.house(spare=spare, stock=(("Dune", stock), ("Nobody's", 2.0)), rack_pegs=pegs)
    _balance(recipe, house, b.wearer(brings=(("Dune", brings), ("Kelp", 0.5))), b.sections(count, 1300))


def test_a_blend_is_split_by_mass() -> None:
    parts = (BlendPart(hair="Dune", share=0.75), BlendPart(hair="Kelp", share=0.25))
    recipe = b.recipe(hairs=(b.use(parts=parts),), catalogue=(b.hair(), b.hair("Kelp", density=1.4)))
    _balance(recipe)
    _, _, material, _, _ = _all(recipe)
    dune, kelp = material.hair
    assert dune.worn_grams == pytest.approx(3 * kelp.worn_grams)
    assert dune.pieces == kelp.pieces


def test_shades_split_the_shopping_list_and_the_racks() -> None:
    """Umber to stitch 9, Honey to 29, Sand to the end: each colour bought and racked by itself."""
    base = b.use(colour="Umber", shades=((10, "Honey"), (30, "Sand")))
    curls = b.use("curls", "Dune Curl", "curly", 18, 0.5, 0, shades=((20, "Sand"),))
    recipe = b.recipe(hairs=(base, curls), accents=[b.accent()])
    kinds, strands, material, _, _ = _all(recipe)
    _balance(recipe)
    colour_at = lambda k: "Umber" if k < 10 else "Honey" if k < 30 else "Sand"  # noqa: E731
    for kind in kinds:
        assert all(fed.colour == colour_at(fed.stitch) for fed in kind.feed_ins)
        assert all(at.colour == (None if at.stitch < 20 else "Sand") for at in kind.accents)
    assert {line.colour for line in material.hair if line.name == "Dune"} == {
        colour_at(fed.stitch) for kind in kinds for fed in kind.feed_ins}
    assert [rack.colour for rack in material.racks if rack.role == "curls"] == [None, "Sand"]
    plain = _all(b.recipe(accents=[b.accent()]))[2]
    assert sum(line.worn_grams for line in material.hair) == pytest.approx(sum(line.worn_grams for line in plain.hair))


def test_the_shelf_is_shared_out_among_the_colours() -> None:
    wanted = {("Dune", "Umber"): 1.0, ("Dune", "Sand"): 2.5, ("Kelp", None): 0.5}
    assert credited(wanted, {"Dune": 3.0}) == {("Dune", "Umber"): 0.5, ("Dune", "Sand"): 2.5, ("Kelp", None): 0.0}
    # What nobody needs stays with the colour that took most, so that it is not lost sight of.
    assert credited(wanted, {"Dune": 9.0, "Moss": 4.0})[("Dune", "Sand")] == 8.0


def test_hair_the_wearer_brings_is_not_bought_and_half_packs_count() -> None:
    bought = lambda stock, brings: _all(  # noqa: E731
        b.recipe(), b.wearer(brings=(("Dune", brings),)), b.house(stock=(("Dune", stock),)))[2].hair[0]
    none = bought(0.0, 0.0)
    need = none.packs_used * 1.1
    assert none.packs_to_buy == ceil(need)
    half = bought(0.5, 1.5)
    assert (half.in_stock, half.brought) == (0.5, 1.5)
    assert half.packs_to_buy == ceil(need - 2.0)
    assert bought(0.0, 50.0).packs_to_buy == 0


def test_a_piece_cut_longer_than_its_hair_is_a_problem() -> None:
    recipe = b.recipe(hairs=(b.use(cut_in=60),))
    kinds = work_strands(recipe, b.wearer(), b.house(), b.sections()).part[0]
    outcome = portion_material(recipe, b.wearer(), b.house(), b.sections(), kinds)
    assert outcome.part is None
    assert outcome.problems[0].message == 'base is cut 60 in, but "Dune" is 56 in long laid flat'
    assert outcome.problems[0].help == "cut 56 in or less, or take a longer hair"


def test_a_piece_weighed_by_the_house() -> None:
    """ρ φ π w²/4 at 1.31 and 0.3 makes a pencil 15.1 g/m; a house that weighs 30 buys twice that."""
    light, heavy = (_all(b.recipe(feeds=(), length_in=8), house=b.house(**more))[2]
                    for more in ({}, {"pencil_g_m": b.plain(2 * 1.31 * 0.3 * math.pi / 4 * 49)}))
    assert heavy.hair[0].worn_grams == pytest.approx(2 * light.hair[0].worn_grams)


def test_hair_on_the_shelf_is_not_bought() -> None:
    material = _all(b.recipe(), house=b.house(stock=(("Dune", 50.0),)))[2]
    assert material.hair[0].packs_to_buy == 0 and material.hair[0].in_stock == 50


def test_load_is_weight_over_hairs_and_ranked() -> None:
    kinds, _, material, load, _ = _all(b.recipe(accents=[b.accent()]))
    sections = {section.number: section for section in b.sections().items}
    by_section = {n: kind for kind in kinds for n in kind.sections}
    assert [at.dry_mn for at in load.worst] == sorted((at.dry_mn for at in load.worst), reverse=True)
    for at in load.worst:
        kind, hairs = by_section[at.section], sections[at.section].hairs
        own = kind.own_g * hairs / kind.hairs
        assert at.dry_mn == pytest.approx((kind.added_g + own) * 9.80665 / hairs)
        assert at.wet_mn == pytest.approx(at.dry_mn * 1.7 + 0.3 * at.own_mn)
        assert at.own_mn == pytest.approx(own * 9.80665 / hairs)
    assert load.median_mn <= load.worst[0].dry_mn
    assert load.added_to_own == pytest.approx(material.added_worn_g / material.own_g, rel=0.02)


def test_own_hair_alone_adds_nothing() -> None:
    _, _, material, load, _ = _all(b.recipe(**LOOKS["own"]))
    assert material.hair == () and material.added_worn_g == 0
    assert load.added_to_own == 0
    assert load.worst[0].dry_mn == pytest.approx(load.worst[0].own_mn)
