"""The strands pass: kinds, schedules, what can't be had, and how fast."""

from __future__ import annotations

from math import ceil

import pytest
import strand_builders as b
from hypothesis import given, settings
from hypothesis import strategies as st

from plaitbook.meaning.model import EndStep, Grid
from plaitbook.passes.accents import accent_stitches, starting_places
from plaitbook.passes.sections import lay_sections
from plaitbook.passes.strands import work_strands
from plaitbook.plan.model import StrandKind


def _kinds(recipe, wearer=None, house=None, sections=None) -> tuple[StrandKind, ...]:
    part = work_strands(recipe, wearer or b.wearer(), house or b.house(), sections or b.sections()).part
    assert part is not None
    return part[0]


def test_every_section_has_one_strand() -> None:
    sections = b.sections(97)
    part = work_strands(b.recipe(), b.wearer(), b.house(), sections).part
    assert part is not None
    kinds, strands = part
    assert [strand.section for strand in strands] == [section.number for section in sections.items]
    assert sorted(n for kind in kinds for n in kind.sections) == list(range(1, 98))
    assert {kind.zone for kind in kinds} == {section.zone for section in sections.items}


def test_a_zone_left_out_has_no_strands() -> None:
    assert _kinds(b.recipe(left_out=True)) == ()


def test_width_is_held_and_stitches_add_up() -> None:
    for kind in _kinds(b.recipe()):
        assert kind.target_mm == 7.0
        assert not kind.unmet
        assert kind.stitches * kind.pitch_mm == pytest.approx(17 * 25.4)
        assert kind.length_mm == pytest.approx(17 * 25.4)
        tapered = kind.length_mm - 50
        held = [at.width_mm for at in kind.profile if at.at_mm <= tapered]
        assert min(held) >= 6.3 - 1e-9 and max(held) <= 7.7 + 1e-9
        assert len(kind.profile) == kind.stitches
        assert kind.feed_ins[0].stitch == 0
        steps = [abs(b.width_mm - a.width_mm) for a, b in zip(kind.profile, kind.profile[1:])]
        assert kind.largest_step_mm == max(steps)
        assert kind.width_min_mm == min(at.width_mm for at in kind.profile)


def test_a_finer_plait_has_more_stitches_and_less_hair() -> None:
    thick, thin = (_kinds(b.recipe(feeds=[b.feed(width=w, held=2.5)], start_held=2.5))[0] for w in (7, 5))
    assert thin.stitches > thick.stitches
    assert thin.added_g < thick.added_g


@pytest.mark.parametrize("technique", ["plait", "twist", "row"])
@pytest.mark.parametrize("tightness", ["relaxed", "ordinary", "firm"])
def test_tighter_work_takes_up_more_hair(technique: str, tightness: str) -> None:
    kind = _kinds(b.recipe(technique=technique, tightness=tightness))[0]
    assert 1.05 < kind.length_ratio < 1.45
    assert kind.stitches > 10


def test_a_house_that_has_measured_its_own_ratio() -> None:
    assert _kinds(b.recipe(), house=b.house(length_ratio=b.plain(1.25)))[0].length_ratio == 1.25


def test_hair_too_short_for_the_length_says_by_how_much() -> None:
    kind = _kinds(b.recipe(hairs=(b.use(cut_in=20, pulled_in=0),), length_in=17, start="knotted", feeds=()))[0]
    assert kind.length_mm < 17 * 25.4
    said = next(s for s in kind.unmet if "short of the wearing length" in s)
    # Cut as long as it says, and the wish is met.
    cut = float(said.split("cut longer than ")[1].split(" in")[0]) + 0.3
    longer = _kinds(b.recipe(hairs=(b.use(cut_in=cut, pulled_in=0),), length_in=17, start="knotted", feeds=()))[0]
    assert not longer.unmet


def test_own_hair_too_thick_for_the_width() -> None:
    kind = _kinds(b.recipe(feeds=[b.feed(width=4)], start_held=None, start="own hair only"),
                  b.wearer(um=80), sections=b.sections(hairs=2500))[0]
    (said,) = kind.unmet
    assert said.startswith("at the root they come out ") and ", not 4; own hair alone is already that thick there" in said
    assert said.endswith("so ask for more width or smaller sections") and len(said) < 140
    assert not [fed for fed in kind.feed_ins if fed.at_mm < 200]


def test_a_width_that_the_pieces_cannot_reach() -> None:
    kind = _kinds(b.recipe(feeds=[b.feed(width=30, held=1.75, last=9)]))[0]
    assert any("30 mm can't be reached" in s for s in kind.unmet)


def test_until_stops_once_the_width_is_there() -> None:
    kind = _kinds(b.recipe(feeds=[b.feed("until", 7.0)]))[0]
    hold = _kinds(b.recipe(feeds=[b.feed("hold", 7.0)]))[0]
    assert max(fed.stitch for fed in kind.feed_ins) < max(fed.stitch for fed in hold.feed_ins)


def test_own_hair_first_waits() -> None:
    kind = _kinds(b.recipe(start="own hair first", own_mm=40))[0]
    assert min(fed.at_mm for fed in kind.feed_ins) == pytest.approx(40, abs=kind.pitch_mm / 2)


def test_own_hair_only_goes_as_far_as_it_goes() -> None:
    kind = _kinds(b.recipe(start="own hair only", start_held=None, feeds=(), length_in=None))[0]
    assert kind.added_g == 0 and kind.pieces == ()
    assert kind.length_mm * kind.length_ratio <= 14 * 25.4 + 1e-6
    assert all(at.own_share == pytest.approx(1) for at in kind.profile)


def test_own_hair_that_goes_past_the_strand_is_told() -> None:
    short, fitting = (_kinds(b.recipe(start="own hair only", start_held=None, feeds=(), length_in=inches))[0] for inches in (6, None))
    (said,) = short.unmet
    assert said.startswith("own hair is ") and "longer than the wearing length" in said and said.endswith("lengthen 'wearing'")
    assert not fitting.unmet
    assert not _kinds(b.recipe(length_in=6))[0].unmet, "with hair added the strand ends where it is worked to"


@pytest.mark.parametrize("width", [5, 6, 7, 8])
def test_a_piece_that_is_split_weighs_its_share(width: float) -> None:
    """Hair is neither made nor lost: what is on the strand is what was laid in, half pieces as halves."""
    piece = _kinds(b.recipe(feeds=()))[0].added_g
    found = _kinds(b.recipe(feeds=[b.feed("hold", width)]))
    for kind in found:
        assert kind.added_g == pytest.approx(piece * sum(fed.pieces * fed.part for fed in kind.feed_ins))
    assert width == 8 or any(fed.part < 1 for kind in found for fed in kind.feed_ins)


def test_an_explicit_schedule_is_simulated_as_written() -> None:
    kind = _kinds(b.recipe(feeds=[b.feed("at", None, stitches=(2, 5, 300)), b.feed("every", None, every=10, first=10, last=30)]))[0]
    assert [fed.stitch for fed in kind.feed_ins] == [0, 2, 5, 10, 20, 30]
    assert any(s.startswith("pieces at stitch 300, but this strand ends at stitch") for s in kind.unmet)


def test_own_hair_is_held_until_it_runs_out() -> None:
    """Natural hair of 14 in is held for so many stitches, and tucked where the longest ends."""
    for kind in _kinds(b.recipe()):
        shares = [at.own_share for at in kind.profile]
        held = sum(1 for share in shares if share > 0)
        assert kind.own_ends_stitch in (held, held + 1)
        assert kind.own_ends_stitch * kind.pitch_mm * kind.length_ratio <= 14 * 25.4 + 1e-6
        grown = next(k for k in _kinds(b.recipe(), b.wearer(own_in=15)) if k.id == kind.id)
        assert grown.own_ends_stitch > kind.own_ends_stitch


def test_a_level_gives_each_section_its_own_length() -> None:
    kinds = _kinds(b.recipe(length_in=None, level="armpit"))
    by_zone = {kind.zone: kind.length_mm for kind in kinds}
    assert by_zone["nape"] < by_zone["crown"] < by_zone["hairline"]


def test_a_row_runs_at_least_as_far_as_its_section() -> None:
    kind = _kinds(b.recipe(technique="row", length_in=2), sections=b.sections(8, 4000, height=200))[0]
    assert kind.length_mm >= 199
    widths = [at.width_mm for at in kind.profile]
    assert widths[0] < max(widths)


def test_staggered_neighbours_never_start_alike() -> None:
    sections = b.sections(100)
    places = starting_places(sections.items)
    assert places.count == 3
    assert all(places.of[s.number] != places.of[n] for s in sections.items for n in s.neighbours)
    part = work_strands(b.recipe(accents=[b.accent(stagger=True)]), b.wearer(), b.house(), sections).part
    assert part is not None
    first = {strand.section: strand.accents[0].stitch for strand in part[1]}
    assert all(first[s.number] != first[n] for s in sections.items for n in s.neighbours)
    assert set(first.values()) == {3, 6, 9}


@pytest.mark.parametrize("shape", ["square", "brick"])
@pytest.mark.parametrize("count", [40, 67, 90, 150, 300])
def test_no_neighbours_start_alike_on_a_real_head(shape: str, count: int) -> None:
    """Where zones meet a grid needs more than three starting places."""
    grid = Grid(shape=shape, count=count, origin=b.HERE)
    recipe = b.recipe(accents=[b.accent(stagger=True)])
    recipe = recipe.model_copy(update={"zones": tuple(z.model_copy(update={"grid": grid}) for z in recipe.zones)})
    sections = lay_sections(recipe, b.wearer(), b.house()).part
    assert sections is not None
    part = work_strands(recipe, b.wearer(), b.house(), sections).part
    assert part is not None
    first = {strand.section: strand.accents[0].stitch for strand in part[1]}
    assert not [(s.number, n) for s in sections.items for n in s.neighbours if first[s.number] == first[n]]


@given(st.integers(1, 20), st.integers(1, 30), st.integers(10, 120), st.integers(3, 6), st.integers(0, 5))
def test_accents_stay_on_the_strand(every: int, first: int, stitches: int, places: int, place: int) -> None:
    from plaitbook.passes.accents import AccentLine

    line = AccentLine(every, (), first, None, "curls", 1.75, 1, None, 0, "alternate", True)
    inside, past = accent_stitches(line, stitches, place % places, places)
    assert all(first <= k <= stitches for k in inside)
    assert not inside or inside[0] < first + every
    assert all(b - a == every for a, b in zip(inside, inside[1:]))
    assert (past is None) == (first <= stitches)
    assert bool(inside) == (first <= stitches)


def test_accents_past_the_end() -> None:
    kind = _kinds(b.recipe(accents=[b.accent(first=190)]))[0]
    assert f"accents from stitch 190, but this strand ends at stitch {kind.stitches}" in " ".join(
        s.replace("curls", "accents") for s in kind.unmet
    )


def test_beads_are_counted_and_measured_against_the_strand() -> None:
    end = [EndStep(kind="ornaments", ornament="Pip", ornament_count=4, origin=b.HERE)]
    narrow = b.recipe(ornaments=[b.bead(bore=1.5)], end=end)
    kind = _kinds(narrow)[0]
    assert kind.ornaments == (("Pip", 4.0),)
    assert any('"Pip" has a bore of 1.5 mm' in s for s in kind.unmet)
    assert not _kinds(b.recipe(ornaments=[b.bead(bore=6)], end=end))[0].unmet


def test_trimmed_ends_weigh_less() -> None:
    loose, trimmed = (_kinds(b.recipe(hairs=(b.use(cut_in=56),), end=end))[0] for end in ([], ["trim"]))
    assert trimmed.trimmed_g > 0
    assert trimmed.added_g == pytest.approx(loose.added_g - trimmed.trimmed_g)


@settings(max_examples=60, deadline=None)
@given(
    technique=st.sampled_from(["plait", "twist", "row"]), length=st.floats(1, 40), um=st.floats(30, 110),
    own=st.floats(0.5, 40), layers=st.floats(0, 12), hairs=st.integers(1, 9000), width=st.floats(1, 25),
    held=st.floats(0.5, 14), start=st.sampled_from(["extension", "own hair first", "own hair only", "knotted"]),
    feed=st.sampled_from(["hold", "until"]), cut=st.floats(4, 56), fold=st.sampled_from([0.0, 0.3, 0.5]),
)
def test_any_wish_gives_a_plan(technique, length, um, own, layers, hairs, width, held, start, feed, cut, fold) -> None:
    """Whatever is asked, strands come out finite and what is missing is said in words."""
    recipe = b.recipe(hairs=(b.use(cut_in=cut, fold=fold),), technique=technique, length_in=length, start=start,
                      start_held=held, feeds=[b.feed(feed, width, held)])
    outcome = work_strands(recipe, b.wearer(um, 160, own, layers), b.house(), b.sections(3, hairs, 0))
    if outcome.part is None:  # own hair ends before the first piece is to be laid in
        assert start == "own hair first" and {problem.code for problem in outcome.problems} == {"E010"}
        return
    for kind in outcome.part[0]:
        assert kind.stitches >= 1
        assert 0 <= kind.width_min_mm <= kind.width_mm + 1e-9 <= kind.width_max_mm + 2e-9
        assert all(0 <= at.own_share <= 1 + 1e-12 for at in kind.profile)
        assert all(fed.pieces >= 1 and 0 < fed.part <= 1 for fed in kind.feed_ins)
        assert kind.stitches == ceil(kind.length_mm / kind.pitch_mm - 1e-6)


def test_a_wish_beyond_all_measure_is_cut_off() -> None:
    kind = _kinds(b.recipe(length_in=1e6, feeds=[b.feed("hold", 1.0, 1.0)], start_held=1.0), sections=b.sections(3, 50))[0]
    assert kind.stitches <= 2000
    assert any("no more are planned" in said for said in kind.unmet)
