"""A crew's clock: its bands against simulation, each braider's own list, arrivals, the drawing."""

from __future__ import annotations

import math
import xml.etree.ElementTree as xml

import pytest
from hypothesis import given, settings
from hypothesis import strategies as some

from plaitbook.cards.diagrams.clock_strip import LETTER_MM
from plaitbook.cards.diagrams.crew_lanes import crew_lanes, crew_text, number_ranges
from plaitbook.meaning.book import file_meaning
from plaitbook.meaning.model import Braider
from plaitbook.meaning.values import default
from plaitbook.passes import rates
from plaitbook.passes.crew_lanes import share_out, team_of
from plaitbook.passes.rest import REST
from plaitbook.passes.spread import greatest
from plaitbook.passes.timing import clock_service
from plaitbook.passes.work import labour
from plaitbook.plan.explain import recompute
from scenes import HOUSE, at, scene

SVG = "{http://www.w3.org/2000/svg}"
NO_BREAKS = {"break_s": at(0)}


def braider(name: str, speed: float = 1.0, arrives: str | None = None) -> Braider:
    return Braider(name=name, speed=default(speed, f"{speed:.0%}", "test"), arrives_clock=arrives, origin=HOUSE)


CREW = (braider("Ana", 1.1), braider("Bo", 0.6), braider("Cy", 1.0, "10:15"))


def timed(a_scene):
    recipe, wearer, house, parts = a_scene
    return clock_service(recipe, wearer, house, parts.sections, parts.kinds, parts.material)


@pytest.mark.parametrize("sections, width_mm, house", [
    (60, 7.0, {"braiders": 3}), (12, 20.0, {"braiders": 2}), (60, 7.0, {"crew": CREW, "start_clock": "09:00"}),
])
def test_crew_quantiles_against_a_hundred_thousand_days(sections: int, width_mm: float, house: dict) -> None:
    """Each strand of each lane drawn on its own, the last braider's end taken, the day's factor shared."""
    numpy = pytest.importorskip("numpy", reason="a hundred thousand days of every strand want numpy")
    a_scene = scene(sections=sections, width_mm=width_mm, house=house | NO_BREAKS)
    recipe, wearer, where, parts = a_scene
    hands = labour(recipe, parts.sections, parts.kinds, rates.rates_for(where))
    found = {f.key: f.value for f in timed(a_scene).figures}
    shared = share_out(hands, team_of(where, sections), 540, found["timing.before_s"], 1 + REST, 7200, 0)
    of = {each[0]: (each[2], variance) for each, variance in zip(hands.by_section, hands.variances)}
    chance, days = numpy.random.default_rng(5), 100_000
    team = team_of(where, sections)
    last = numpy.zeros(days)
    for lane, speed in zip(shared.split.lanes, team.speeds()):
        end = numpy.full(days, lane[0].begins)
        idle = sum(b.begins - a.ends for a, b in zip(lane, lane[1:]))
        for placed in lane:
            mean, variance = of[placed.number]
            end += chance.gamma(mean * mean / variance, variance / mean / speed, days)
        last = numpy.maximum(last, end + idle)
    for name, mean in (("consult", found["timing.op.consult"]), ("finish head", found["timing.op.finish_head"])):
        spread = rates.rates_for(where)[name].spread
        last += chance.gamma(1 / spread**2, mean * spread**2, days)
    last *= numpy.exp(chance.normal(0, rates.DAY_SPREAD, days))
    timing = timed(a_scene).part
    for share, minutes in ((0.5, timing.median_minutes), (0.8, timing.p80_minutes), (0.95, timing.p95_minutes)):
        assert minutes * 60 / (1 + REST) == pytest.approx(numpy.quantile(last, share), rel=0.01)


def test_the_greatest_of_normals_against_clark_and_simulation() -> None:
    """Two standard normals: mean 1/sqrt(pi), variance 1 - 1/pi (Clark 1961 gives 0.5642)."""
    mean, variance = greatest(((0.0, 1.0), (0.0, 1.0)))
    assert mean == pytest.approx(1 / math.sqrt(math.pi)) and variance == pytest.approx(1 - 1 / math.pi)
    assert greatest(((5.0, 0.0), (3.0, 0.0))) == (5.0, 0.0) and greatest(()) == (0.0, 0.0)


def test_each_braider_has_her_own_list_with_clock_times() -> None:
    a_scene = scene(house={"crew": CREW, "start_clock": "09:00"})
    timing = timed(a_scene).part
    assert [lane.braider for lane in timing.crew] == ["Ana", "Bo", "Cy"]
    assert sorted(n for lane in timing.crew for n in lane.sections) == list(range(1, 61))
    ana, bo, cy = timing.crew
    assert cy.joins >= 75 and cy.stretches[0].begins == cy.joins
    assert len(ana.sections) > len(bo.sections)
    for lane in timing.crew:
        assert lane.checkpoints[-1].sections == len(lane.sections) and lane.checkpoints[-1].clock
        assert lane.checkpoints[-1].minutes == pytest.approx(lane.leaves)
    assert timing.checkpoints[-1].minutes == pytest.approx(timing.median_minutes - 15 * (1 + REST - 600 / 7200))
    assert timing.crew_minutes < 3 * timing.median_minutes


def test_one_named_braider_works_at_her_own_speed() -> None:
    slow, plain = (timed(scene(house=NO_BREAKS | {"crew": crew})).part.median_minutes for crew in ((braider("Bo", 0.5),), ()))
    assert slow > plain * 1.7


def test_a_crew_without_an_opening_time_begins_with_the_first_arrival() -> None:
    timing = timed(scene(house={"crew": (braider("A", 1.0, "10:00"), braider("B", 1.0, "11:00"))})).part
    assert timing.crew[1].joins >= 60 and timing.checkpoints[0].clock.startswith("10:")


@pytest.mark.parametrize("house", [{"braiders": 2}, {"crew": CREW, "start_clock": "09:00"}, {"braiders": 4}])
def test_every_figure_of_a_crew_recomputes(house: dict) -> None:
    found = {figure.key: figure for figure in timed(scene(house=house)).figures}
    for key, figure in found.items():
        assert recompute(found, key) == pytest.approx(float(figure.value), rel=1e-9, abs=1e-12), key


def test_house_facts_name_the_braiders() -> None:
    meaning = file_meaning('edition 1\nhouse "H"\nlabour 30 USD per hour\nbraider "Ana" speed 110 %, arrives 09:30\n'
                           'braider "Bo" 12 sets so far\nbraider "Ana"\nbraider "Cy" quick\nrate "take down" 10 s, 20 s, 60 s\n',
                           "h.plait")
    ana, bo = meaning.houses[0].crew
    assert (ana.speed.value, ana.arrives_clock) == (1.1, "09:30")
    assert bo.sets == 12 and bo.speed.value == pytest.approx((12 / 100) ** -(math.log(0.85) / math.log(2)))
    assert sorted(p.code for p in meaning.problems) == ["E302", "E305"]
    rate, = meaning.houses[0].rates
    assert rate.seconds == pytest.approx(25) and rate.spread * rate.seconds == pytest.approx(50 / 6)


@given(some.sets(some.integers(1, 60), max_size=20))
@settings(max_examples=40, deadline=None)
def test_ranges_name_every_number_once(numbers: set[int]) -> None:
    said = []
    for part in filter(None, number_ranges(tuple(numbers)).split(", ")):
        first, _, last = part.partition("–")
        said += range(int(first), int(last or first) + 1)
    assert said == sorted(numbers)


@pytest.mark.parametrize("house", [{"braiders": 2}, {"crew": CREW, "start_clock": "09:00"}, {"braiders": 4, "break_s": at(0)}])
def test_the_lanes_are_drawn_inside_and_say_who_works_where(house: dict) -> None:
    timing = timed(scene(house=house)).part
    root = xml.fromstring(crew_lanes(timing))
    _, _, width, height = map(float, root.attrib["viewBox"].split())
    for text in root.iter(f"{SVG}text"):
        size, at_x, at_y = (float(text.attrib[key]) for key in ("font-size", "x", "y"))
        wide = len(text.text or "") * size * LETTER_MM
        left = {"start": at_x, "middle": at_x - wide / 2, "end": at_x - wide}[text.attrib["text-anchor"]]
        assert left >= -0.01 and left + wide <= width + 0.5 and size <= at_y <= height, text.text
    for box in root.iter(f"{SVG}rect"):
        if "x" in box.attrib:
            assert 0 <= float(box.attrib["x"]) <= float(box.attrib["x"]) + float(box.attrib["width"]) <= width
    words = crew_text(timing)
    assert len(words) == len(timing.crew) and all(lane.braider in line for lane, line in zip(timing.crew, words))
    assert crew_lanes(timed(scene()).part) == ""
