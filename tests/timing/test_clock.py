"""The clock: quantiles against simulation, breaks, crew, arrival, checkpoints and figures."""

from __future__ import annotations

import math
import random
import statistics

import pytest
from hypothesis import given, settings
from hypothesis import strategies as some

from plaitbook.meaning.model import OldSet, Rate
from plaitbook.passes import rates
from plaitbook.passes.checkpoints import clock_at, place_checkpoints, start_minute
from plaitbook.passes.refresh import front_of
from plaitbook.passes.rest import REST, break_every, breaks_of, breaks_within, done_by, worked_in
from plaitbook.passes.timing import clock_service
from plaitbook.passes.work import MOTIONS, strand_counts
from plaitbook.plan.explain import recompute
from plaitbook.rules import Scene
from scenes import HOUSE, SAYS, a_house, a_step, a_wearer, at, scene

NO_BREAKS = {"break_s": at(0)}
PACE = 1 + REST
"""Without breaks, all of the braider's rest is short pauses."""


def timed(a_scene: Scene):
    recipe, wearer, house, parts = a_scene
    return clock_service(recipe, wearer, house, parts.sections, parts.kinds, parts.material)


def figures(a_scene: Scene) -> dict:
    return {figure.key: figure for figure in timed(a_scene).figures}


# --- quantiles ---------------------------------------------------------------


def test_normal_quantiles_are_those_of_the_standard_library() -> None:
    normal = statistics.NormalDist()
    assert rates.Z80 == pytest.approx(normal.inv_cdf(0.80), rel=1e-12)
    assert rates.Z95 == pytest.approx(normal.inv_cdf(0.95), rel=1e-12)


@pytest.mark.parametrize("sections, width_mm", [(60, 7.0), (8, 20.0)])
def test_quantiles_against_a_hundred_thousand_days(sections: int, width_mm: float) -> None:
    """Each strand's movements drawn on their own, each day's factor shared; without breaks.

    The strands' sums are drawn from gamma distributions of the stated mean and
    spread, so nothing of the pass's own lognormal sum is assumed.
    """
    a_scene = scene(sections=sections, width_mm=width_mm, house=NO_BREAKS)
    table = rates.rates_for(a_scene.house)
    movements: list[tuple[float, float]] = []  # (mean, spread)
    for kind in a_scene.parts.kinds:
        counts = strand_counts(a_scene.recipe, kind) | {"part": 1.0, "part line": 60.0}
        for name, parts in MOTIONS.items():
            mean = sum(counts.get(part, 0.0) * table[part].seconds for part in parts)
            if mean:
                movements += [(mean, table[name].spread)] * len(kind.sections)
    movements += [(table[name].seconds, table[name].spread) for name in ("consult", "finish head")]
    variance: dict[tuple[float, float], int] = {}
    for movement in movements:
        variance[movement] = variance.get(movement, 0) + 1
    chance, days = random.Random(7), []
    # n equal gammas of shape k sum to one gamma of shape n k: exact, and fast enough for 100 000 days.
    laws = [(count / spread**2, mean * spread**2) for (mean, spread), count in variance.items()]
    for _ in range(100_000):
        work = sum(chance.gammavariate(shape, scale) for shape, scale in laws)
        days.append(work * math.exp(chance.gauss(0.0, rates.DAY_SPREAD)))
    cuts = statistics.quantiles(days, n=100)
    timing = timed(a_scene).part
    assert timing.median_minutes * 60 / PACE == pytest.approx(cuts[49], rel=0.01)
    assert timing.p80_minutes * 60 / PACE == pytest.approx(cuts[79], rel=0.01)
    assert timing.p95_minutes * 60 / PACE == pytest.approx(cuts[94], rel=0.01)


def test_strands_average_out_and_the_day_does_not() -> None:
    few, many = (figures(scene(sections=n, house=NO_BREAKS))["timing.spread"].value for n in (4, 400))
    assert rates.DAY_SPREAD < many < few
    assert many == pytest.approx(rates.DAY_SPREAD, rel=0.01)


# --- sizes ---------------------------------------------------------------------


def test_sets_of_common_sizes_come_out_plausible() -> None:
    """Bands of web guides and the trade press; the rates were not fitted to them.

    Medium: the trade fact of a 16 to 18 in knotless set with loose curls, 3 h 50
    to 5 h 45. Small, 20 in: 6 to 14 h ("Typical installation time for a small box
    braid", extremes 5 and 14). Jumbo: 2 to 4 h, and here hair comes washed and dried.
    """
    medium = timed(scene()).part.median_minutes / 60
    small = timed(scene(sections=200, side_mm=16, width_mm=4, length_mm=508, accents=0, feeds=3)).part.median_minutes / 60
    jumbo = timed(scene(sections=25, side_mm=45, width_mm=14, length_mm=508, accents=0, feeds=6)).part.median_minutes / 60
    assert 3 + 50 / 60 < medium < 5.75
    assert 6 < small < 14
    assert 1.5 < jumbo < 4
    assert jumbo < medium < small


def test_a_thick_strand_takes_longer_a_stitch_and_longer_a_strand() -> None:
    """Hair in hand grows with the width squared, the number of stitches falls with the width only."""
    thin, thick = scene(width_mm=4, accents=0), scene(width_mm=12, accents=0)
    def stitching(a_scene: Scene) -> tuple[float, float]:
        found = figures(a_scene)
        return found["timing.op.stitch"].value, found["timing.count.stitch"].value
    (thin_s, thin_n), (thick_s, thick_n) = stitching(thin), stitching(thick)
    assert thin_s / thin_n < thick_s / thick_n
    assert thin_s < thick_s < 3 * thin_s


@given(some.integers(1, 150), some.floats(2, 20), some.floats(50, 900))
@settings(max_examples=25, deadline=None)
def test_more_sections_or_longer_strands_never_take_less(sections: int, width: float, length: float) -> None:
    def minutes(n: int, mm: float) -> float:
        return timed(scene(sections=n, width_mm=width, length_mm=mm)).part.median_minutes
    base = minutes(sections, length)
    assert minutes(sections + 7, length) >= base
    assert minutes(sections, length * 1.2) >= base


# --- breaks -----------------------------------------------------------------------


@pytest.mark.parametrize("work, breaks", [(0, 0), (7200, 0), (7201, 600), (14400, 600), (14401, 1200)])
def test_a_break_after_each_full_stretch_but_not_after_the_last(work: float, breaks: float) -> None:
    assert breaks_within(work, 7200, 600) == breaks


@pytest.mark.parametrize("work, every, breaks", [
    (8400, 7200, 0), (8401, 7200, 600), (15600, 7200, 600), (15601, 7200, 1200), (3150, 2700, 0), (3151, 2700, 600)])
def test_no_break_with_minutes_to_go(work: float, every: float, breaks: float) -> None:
    """None in the last 20 minutes of an adult's stretches of two hours, in the last 7½ of a child's three quarters."""
    assert breaks_of(work, every, 600) == breaks


def test_a_service_that_ends_soon_after_a_full_stretch_has_no_break() -> None:
    """Work just over a full stretch ends without a break; its checkpoints and its end agree."""
    seated = timed(scene(house=NO_BREAKS)).part.median_minutes
    # A break of a second rests nobody, so the work is the same.
    house = {"break_every_s": at((seated - 10) * 60), "break_s": at(1.0)}
    timing = timed(scene(house=house)).part
    assert timing.breaks == () and timing.break_minutes == 0
    assert timing.checkpoints[-1].minutes < timing.median_minutes


def test_no_breaks_where_the_house_takes_none() -> None:
    assert breaks_within(90000, 0, 600) == breaks_within(90000, 7200, 0) == 0
    assert timed(scene(house=NO_BREAKS)).part.break_minutes == 0
    assert timed(scene(house={"break_every_s": at(0)})).part.breaks == ()


def test_breaks_come_sooner_for_a_wearer_who_cannot_sit_and_for_a_child() -> None:
    assert break_every(a_wearer(), a_house()).value == 7200
    assert break_every(a_wearer(sits_s=at(5400)), a_house()).value == 5400
    assert break_every(a_wearer(age_years=at(8)), a_house()).value == rates.CHILD_BREAK_EVERY_S
    adult, child = (timed(scene(wearer=who)).part for who in ({}, {"age_years": at(8)}))
    assert child.break_minutes > adult.break_minutes
    assert len(child.breaks) == round(child.break_minutes / 10)


# --- arrival, preparation, rates ----------------------------------------------------


def test_arriving_washed_and_dried_takes_those_steps_off() -> None:
    """A web guide says that it saves 45 to 60 minutes."""
    def work(arrives: str) -> tuple[float, list[str]]:
        timing = timed(scene(wearer={"arrives": arrives}, house=NO_BREAKS)).part
        return timing.median_minutes, [stage.name for stage in timing.stages]
    ready, stages = work("washed and dried")
    unwashed, all_stages = work("unwashed")
    assert not {"wash", "blow-dry", "detangle"} & set(stages)
    assert {"wash", "blow-dry", "detangle"} <= set(all_stages)
    assert 45 <= unwashed - ready <= 60
    assert work("washed")[0] < unwashed < work("in an old set")[0]


def test_an_unknown_arrival_is_timed_as_ready_and_says_so() -> None:
    timing = timed(scene(wearer={"arrives": None})).part
    assert any("ask" in stage.note for stage in timing.stages)


def test_preparation_is_told_apart_from_chair_time() -> None:
    timing = timed(scene()).part
    assert {stage.name for stage in timing.stages if stage.when == "ahead"} >= {"cut the hair", "load the racks"}
    ahead = sum(stage.minutes for stage in timing.stages if stage.when == "ahead")
    chair = sum(stage.minutes for stage in timing.stages if stage.when == "chair")
    assert timing.ahead_minutes == pytest.approx(ahead)
    assert timing.median_minutes == pytest.approx(chair)


def test_the_house_overrides_a_rate_by_its_name() -> None:
    slow = Rate(operation="feed in", seconds=60, spread=0.3, per="piece", origin=HOUSE)
    moved = Rate(operation="divide", seconds=4, spread=0.3, per="piece", ahead=False, origin=HOUSE)
    before = timed(scene(house=NO_BREAKS)).part
    after = timed(scene(house=NO_BREAKS | {"rates": (slow, moved)})).part
    assert after.median_minutes - before.median_minutes == pytest.approx(PACE * (240 * 54 / 60 + 780 * 4 / 60))
    assert after.ahead_minutes < before.ahead_minutes


def test_an_unknown_operation_and_a_bad_clock_are_problems() -> None:
    odd = Rate(operation="stich", seconds=1, spread=0.1, per="stitch", origin=HOUSE)
    outcome = timed(scene(house={"rates": (odd,), "start_clock": "25:00"}))
    assert outcome.part is not None
    assert [problem.code for problem in outcome.problems] == ["E005", "E006"]
    assert '"stitch"' in outcome.problems[0].help and outcome.problems[0].span.line == HOUSE.line


def test_every_shipped_rate_says_why() -> None:
    assert len(rates.OPERATIONS) == len(rates.SHIPPED)
    for rate in rates.SHIPPED:
        assert rate.origin.where.startswith(("our own estimate: ", "MTM-1 motion times")) and rate.seconds > 0
        assert 0 < rate.spread < 1 and rate.by in ("braider", "assistant")
    assert {part for parts in MOTIONS.values() for part in parts} <= rates.OPERATIONS


def test_scalp_rows_pick_up_along_the_scalp_only() -> None:
    found = figures(scene(sections=8, side_mm=200, technique="row", width_mm=12, accents=0))
    assert found["timing.count.pick_up"].value == pytest.approx(8 * 200 / (12 * 0.83))
    assert "timing.op.pick_up" not in figures(scene())


def test_two_strand_twists_have_rates_of_their_own() -> None:
    found = figures(scene(technique="twist", accents=0))
    assert "timing.op.twist" in found and "timing.op.stitch" not in found


def test_the_ends_are_timed_step_by_step() -> None:
    bare = timed(scene(look={"end": (a_step("leave loose"),)}, house=NO_BREAKS)).part.median_minutes
    rods = timed(scene(look={"end": (a_step("curl rods"), a_step("dip"))}, house=NO_BREAKS)).part.median_minutes
    assert rods - bare == pytest.approx(PACE * 60 * 35 / 60)


# --- crew ------------------------------------------------------------------------------


def test_a_crew_shares_the_strands_and_never_more_than_four_stand_at_a_head() -> None:
    minutes = [timed(scene(house={"braiders": k} | NO_BREAKS)).part for k in range(1, 7)]
    assert [timing.braiders for timing in minutes] == [1, 2, 3, 4, 4, 4]
    falling = [timing.median_minutes for timing in minutes]
    assert falling[:4] == sorted(falling[:4], reverse=True) and falling[3] == falling[5]
    # Two are never more than twice as fast.
    assert falling[1] > falling[0] / 2


def test_a_head_of_two_strands_has_work_for_two() -> None:
    assert timed(scene(sections=2, zones=("nape",), house={"braiders": 4})).part.braiders == 2


# --- checkpoints -------------------------------------------------------------------------


@given(some.lists(some.tuples(some.sampled_from(("nape", "back", "crown")), some.floats(1, 900)), max_size=200))
def test_checkpoints_rise_and_end_with_the_last_strand(work: list[tuple[str, float]]) -> None:
    by_section = tuple((n, zone, seconds) for n, (zone, seconds) in enumerate(work, 1))
    places = place_checkpoints(by_section)
    assert len(places) <= 8
    if not work:
        assert places == ()
        return
    done = [place.sections for place in places]
    assert done == sorted(set(done)) and done[-1] == len(work)
    assert places[-1].strand_s == pytest.approx(sum(seconds for _, seconds in work))
    if len(work) >= 12:
        assert len(places) >= 4


def test_checkpoints_stand_at_the_ends_of_zones_and_include_breaks() -> None:
    timing = timed(scene(house={"start_clock": "09:30"})).part
    assert [point.sections for point in timing.checkpoints] == [9, 18, 26, 35, 43, 52, 60]
    assert [point.zone for point in timing.checkpoints][:2] == ["nape", "back"]
    last = timing.checkpoints[-1]
    # What is left is a quarter of an hour of finishing, and its short pauses.
    assert last.minutes == pytest.approx(timing.median_minutes - 15 * (1 + REST - 600 / 7200))
    assert last.clock == clock_at(9 * 60 + 30, last.minutes)


def test_one_zone_gets_even_steps() -> None:
    timing = timed(scene(zones=("crown",))).part
    assert [point.sections for point in timing.checkpoints] == [10, 20, 30, 40, 50, 60]


@pytest.mark.parametrize("text, minute", [("09:30", 570), ("9:05", 545), ("00:00", 0), ("24:00", None), ("9:5", None),
                                          ("nine", None), ("9.30", None), ("²3:00", None), (None, None)])
def test_clock_times(text: str | None, minute: int | None) -> None:
    assert start_minute(text) == minute


def test_a_late_start_runs_past_midnight() -> None:
    assert clock_at(23 * 60, 90) == "00:30"
    assert clock_at(None, 90) is None


# --- figures -----------------------------------------------------------------------------


@pytest.mark.parametrize("keywords", [
    {}, {"sections": 0}, {"sections": 1, "zones": ("top",)}, {"technique": "row"}, {"technique": "twist"},
    {"accent_ornament": True}, {"house": {"braiders": 3, "start_clock": "10:00"}}, {"house": NO_BREAKS},
    {"wearer": {"arrives": "in an old set", "age_years": at(6), "sits_s": at(1800)}},
])
def test_every_figure_recomputes_and_every_printed_number_has_one(keywords: dict) -> None:
    a_scene = scene(**keywords)
    outcome = timed(a_scene)
    found = {figure.key: figure for figure in outcome.figures}
    assert len(found) == len(outcome.figures), "a key is used twice"
    for key, figure in found.items():
        assert recompute(found, key) == pytest.approx(float(figure.value), rel=1e-9, abs=1e-12), key
        assert figure.source
    timing = outcome.part
    for name in ("median_minutes", "p80_minutes", "p95_minutes", "ahead_minutes", "break_minutes", "braiders"):
        assert found[f"timing.{name}"].value == getattr(timing, name)
    for stage in timing.stages:
        key = f"timing.stage.{stage.name.replace(' ', '_').replace('-', '_')}"
        assert found[key].value == stage.minutes
    for number, point in enumerate(timing.checkpoints, 1):
        assert found[f"timing.checkpoint.{number}.minutes"].value == point.minutes
    for number, (begins, _) in enumerate(timing.breaks, 1):
        assert found[f"timing.break.{number}.begins"].value == begins


def test_the_same_scene_gives_the_same_clock() -> None:
    assert timed(scene()) == timed(scene())


# --- the whole visit --------------------------------------------------------------------


def test_taking_down_an_old_set_grows_with_its_size() -> None:
    def minutes(sections: int, width: float) -> float:
        found = figures(scene(sections=sections, width_mm=width, wearer={"arrives": "in an old set"}))
        return found["timing.stage.take_down_the_old_set"].value
    large, medium, small = minutes(25, 14), minutes(60, 7), minutes(200, 4)
    assert 8 < large < medium < small
    assert 20 < medium < 60 and 90 < small < 300
    note = next(s.note for s in timed(scene(wearer={"arrives": "in an old set"})).part.stages if s.name == "take down the old set")
    assert "ask" in note


def test_an_old_set_she_has_told_of_is_taken_down_as_it_is() -> None:
    """Stitches over own hair go with one over the width, and that with the root of the hair in each strand."""
    def counted(**told: object) -> tuple[float, float]:
        old = OldSet(strands=240, origin=SAYS, **told)
        found = figures(scene(sections=60, width_mm=6, wearer={"arrives": "in an old set", "old_set": old}))
        return found["timing.count.take_down"].value, found["timing.count.take_down_stitch"].value
    like_this = figures(scene(sections=60, width_mm=6, wearer={"arrives": "in an old set"}))["timing.count.take_down_stitch"].value
    # Four times the strands, each half as wide: twice the stitches in each.
    assert counted() == (240, pytest.approx(8 * like_this))
    # As wide as the new ones: as many stitches in each.
    assert counted(width_mm=at(6)) == (240, pytest.approx(4 * like_this))


def test_the_clock_says_whether_the_old_set_is_known() -> None:
    def note(**wearer: object) -> str:
        return next(s.note for s in timed(scene(wearer=wearer)).part.stages if s.name == "take down the old set")
    told = OldSet(strands=80, origin=SAYS)
    assert "ask" in note(arrives="in an old set") and note(arrives="in an old set", old_set=told) == "an old set of 80"
    # Who tells of an old set comes in it, unless she says otherwise.
    assert note(arrives=None, old_set=told) == "an old set of 80"
    ready = timed(scene(wearer={"arrives": "washed and dried", "old_set": told})).part
    assert "take down the old set" not in {stage.name for stage in ready.stages}


def test_the_house_says_who_may_do_what() -> None:
    def notes(*said: Rate) -> dict[str, str]:
        timing = timed(scene(wearer={"arrives": "in an old set"}, house={"rates": said})).part
        return {stage.name: stage.note for stage in timing.stages}
    assert "assistant" in notes()["wash"] and "assistant" not in notes()["take down the old set"]
    mine = Rate(operation="wash", seconds=900, spread=0.2, per="operation", by="braider", origin=HOUSE)
    theirs = Rate(operation="take down", seconds=20, spread=0.2, per="operation", by="assistant", origin=HOUSE)
    unsaid = Rate(operation="blow-dry", seconds=900, spread=0.2, per="operation", origin=HOUSE)
    found = notes(mine, theirs, unsaid)
    assert found["wash"] == "" and "assistant" in found["take down the old set"] and "assistant" in found["blow-dry"]


def test_the_front_refresh_is_a_visit_of_its_own() -> None:
    a_scene = scene()
    timing = timed(a_scene).part
    refresh, = [stage for stage in timing.stages if stage.when == "later"]
    assert refresh.minutes == timing.later_minutes > 5 and "weeks later" in refresh.note
    assert timing.median_minutes == pytest.approx(sum(s.minutes for s in timing.stages if s.when == "chair"))
    assert timed(scene(zones=("nape", "back", "crown"))).part.later_minutes == 0


def test_a_front_refresh_holds_a_look_the_strands_and_their_share_of_the_hair() -> None:
    a_scene = scene()
    timing, found = timed(a_scene).part, {figure.key: figure for figure in timed(a_scene).figures}
    shipped = rates.rates_for(a_scene.house)
    least = (shipped["consult refresh"].seconds + found["timing.later.strand_s"].value + shipped["finish refresh"].seconds) / 60
    assert timing.later_minutes > least
    assert len(timing.later_hair) == len(a_scene.parts.material.hair) and all(0 < share < 1 for share in timing.later_hair)
    assert front_of(a_scene.parts.kinds) == tuple(k for k in a_scene.parts.kinds if k.zone in ("temples", "hairline"))
    rows = tuple(k.model_copy(update={"technique": "row"}) for k in a_scene.parts.kinds)
    assert {k.zone for k in front_of(rows)} == {k.zone for k in rows} & {"temples", "hairline", "top"}


def test_rest_follows_the_allowance_and_breaks_count_towards_it() -> None:
    """15 % of the work: 8⅓ % of it in 10 min every 2 h, the rest as short pauses; none left over for a child."""
    assert figures(scene())["timing.short_pauses"].value == pytest.approx(REST - 600 / 7200)
    assert figures(scene(house=NO_BREAKS))["timing.short_pauses"].value == REST
    assert figures(scene(wearer={"age_years": at(8)}))["timing.short_pauses"].value == 0
    ready = figures(scene())
    assert ready["timing.ahead_minutes"].value == pytest.approx(ready["timing.ahead_s"].value * (1 + REST) / 60)


@given(some.floats(0, 60000), some.sampled_from([(7200.0, 900.0), (2700.0, 600.0), (0.0, 600.0), (7200.0, 0.0)]))
def test_work_done_by_a_moment_is_the_inverse_of_adding_breaks(work: float, rests: tuple[float, float]) -> None:
    assert done_by(work + breaks_within(work, *rests), *rests) == pytest.approx(work)
    assert worked_in(work + breaks_of(work, *rests), *rests) == pytest.approx(work)
    most = round(breaks_of(work, *rests) / rests[1]) if rests[1] else 0
    assert done_by(work + breaks_of(work, *rests), *rests, most) == pytest.approx(work)


def test_a_house_rate_written_in_words_stays_where_it_was() -> None:
    """A line of a house file gives seconds and spread: preparation stays ahead, a stitch stays a stitch."""
    said = Rate(operation="divide", seconds=4, spread=0.3, per="operation", origin=HOUSE)
    rate = rates.rates_for(scene(house={"rates": (said,)}).house)["divide"]
    assert rate.ahead and rate.per == "piece" and rate.seconds == 4
