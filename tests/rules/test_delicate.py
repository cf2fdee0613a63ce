"""Edges under scalp rows, heads that bear no firm hand, and numbers that can't be meant."""

from __future__ import annotations

import pytest
from cases import BEADS, child
from plaitbook.meaning.model import Accent
from plaitbook.meaning.values import Origin
from plaitbook.passes.crossed import _even, _hairline, rows_through, zones_crossed
from plaitbook.passes.hairline import cubics, hairline_at
from plaitbook.plan.model import Finding
from plaitbook.rules import judge
from scenes import HOUSE, SAYS, at, scene
from shipped_book import SMALL, compile_in_book, shipped_text

SHINGLE = "looks/shingle.plait"


def found(keywords: dict, *codes: str) -> list[Finding]:
    return [finding for finding in judge(*scene(**keywords)) if finding.code in codes]


def compiled(text: str, wearer: str):  # type: ignore[no-untyped-def]
    done = compile_in_book(text, SHINGLE, wearer=wearer)
    assert done.plan is not None, [(p.span.line, p.message) for p in done.problems]
    return done


def codes(text: str, wearer: str) -> set[str]:
    return {finding.code for finding in compiled(text, wearer).plan.findings}


# --- scalp rows run through zones -----------------------------------------------------


def test_rows_that_start_at_the_hairline_braid_fragile_edges() -> None:
    stops = {f.code: f for f in compiled(shipped_text(SHINGLE), "Adaeze").plan.findings if f.severity == "stop"}
    assert "S07" in stops and stops["S07"].line and "braids the hairline" in stops["S07"].message


def test_thin_edges_under_rows_are_warned_of() -> None:
    assert {"S08", "S13"} <= codes(shipped_text(SHINGLE), "Tomasz")


def test_rows_behind_edges_left_out_are_no_stop() -> None:
    text = shipped_text(SHINGLE).replace("  parting none", "  leave out hairline, temples\n  parting none")
    assert codes(text, "Adaeze").isdisjoint({"S07", "S08", "S13", "L05"})


@pytest.mark.parametrize("direction", ("straight back", "to left", "to right", "up to bun"))
def test_every_zone_worked_is_crossed_by_a_row_whatever_its_direction(direction: str) -> None:
    text = shipped_text(SHINGLE).replace("straight back by", f"{direction} by")
    done = compiled(text, "Ilse")
    crossed = zones_crossed(done.recipe, done.plan.sections)
    assert set().union(*crossed.values()) == {look.zone for look in done.recipe.zones}
    assert all(crossed[item.number][0] == item.zone for item in done.plan.sections.items)


def test_a_row_straight_back_crosses_what_lies_before_and_behind_it_and_no_more() -> None:
    done = compiled(shipped_text(SHINGLE), "Ilse")
    crossed = zones_crossed(done.recipe, done.plan.sections)
    inner = min(done.plan.sections.items, key=lambda item: abs(item.centroid[0]))
    outer = max(done.plan.sections.items, key=lambda item: item.centroid[0])
    assert {"hairline", "top", "crown", "back"} <= set(crossed[inner.number]) and "sides" not in crossed[inner.number]
    assert "sides" in crossed[outer.number] and {"top", "back"}.isdisjoint(crossed[outer.number])


def test_a_row_up_from_the_nape_braids_no_hairline() -> None:
    done = compiled(shipped_text(SHINGLE).replace("straight back by", "up to bun by"), "Ilse")
    crossed = zones_crossed(done.recipe, done.plan.sections)
    hindmost = min(done.plan.sections.items, key=lambda item: item.centroid[1])
    assert "nape" in crossed[hindmost.number] and "hairline" not in crossed[hindmost.number]


def test_the_hairlines_load_is_that_of_the_rows_that_start_there() -> None:
    done = compiled(shipped_text(SHINGLE), "Adaeze")
    assert done.plan.load.hairline_median_mn is not None


def test_plaits_stay_in_their_own_zone() -> None:
    judged = scene()
    assert set(zones_crossed(judged.recipe, judged.parts.sections).values()) == {
        (zone,) for zone in rows_through(judged.recipe)}


# --- firm tightness, child ages, weights, hours ---------------------------------------

FIRM = {"kind": {"tightness": "firm"}, "zones": ("nape",)}


@pytest.mark.parametrize(("facts", "said"), [
    ({"edges": "thin"}, "thin edges"), ({"edges": "fragile"}, "fragile edges"), ({"tender": True}, "a tender head"),
    ({"past_breakage": True}, "breakage from an earlier set"), ({"age_years": at(12, "12 years", SAYS)}, "a child's head"),
])
def test_firm_tightness_on_a_delicate_head_is_one_stop(facts: dict, said: str) -> None:
    (finding,) = found(FIRM | {"wearer": facts}, "S10", "S14")
    assert (finding.code, finding.severity) == ("S14", "stop")
    assert finding.message == f"firm tightness in the nape on Ines: {said}"


def test_firm_tightness_elsewhere_and_on_an_unasked_head_stays_a_warning() -> None:
    for facts in ({}, {"edges": None, "tender": None, "past_breakage": None, "age_years": None}):
        (finding,) = found(FIRM | {"wearer": facts}, "S10", "S14")
        assert (finding.code, finding.severity) == ("S10", "warn")


@pytest.mark.parametrize(("grams", "who", "code"), [
    (1000, {}, ""), (1001, {}, "L07"), (2000, {}, "L07"), (2001, {}, "L08"),
    (250, child(12), ""), (251, child(12), "L07"), (500, child(4), "L07"), (501, child(12), "L08"),
    (501, child(13), ""), (2001, {"wearer": {"age_years": None}}, "L08"),
])
def test_weights_that_are_unusual_or_cannot_be_meant(grams: float, who: dict, code: str) -> None:
    heavy = {"sections": 10, "added_g": grams / 10}
    assert [finding.code for finding in found(heavy | who, "L07", "L08")] == ([code] if code else [])


def test_an_age_is_named_where_a_weight_is_judged_by_it() -> None:
    heavy = {"sections": 10, "added_g": 60.0}
    (finding,) = found(heavy | child(7), "L08")
    assert finding.message == "600 g of hair on a child: this can't be meant"


def test_a_long_service_is_said_once() -> None:
    said = {sections: [f.code for f in found({"sections": sections}, "T01", "T04", "T05")] for sections in (60, 160, 300)}
    assert said == {60: [], 160: ["T04"], 300: ["T05"]}


def test_the_houses_own_limits_stop_as_its_own_judgement() -> None:
    for limit in ({"load_limit_mn": at(0.02, "0.02 mN", HOUSE)}, {"added_limit_g": at(100, "100 g", HOUSE)}):
        for finding in found({"house": limit}, "L02", "L03"):
            assert finding.severity == "stop" and "house's own" in finding.message + finding.reason


# --- words ----------------------------------------------------------------------------


def test_loads_are_told_as_ratios_first() -> None:
    (own,) = found({}, "L01")
    assert "1.7 times what it would carry unbraided (0.05 mN dry, 0.09 mN wet)" in own.message
    (edge,) = found({"load": {"hairline_median_mn": 0.06}}, "L05")
    assert edge.message == ("hairs at the hairline carry 1.2 times as much as on the whole head "
                            "(0.06 mN against 0.05 mN)")


def test_beads_are_named_where_they_weigh() -> None:
    (finding,) = found(BEADS | {"load": {"added_to_own": 2.5}}, "L04")
    assert finding.message == "hair and beads added: 2.5 times the weight of the wearer's own hair"
    (finding,) = found({"load": {"added_to_own": 2.5}}, "L04")
    assert finding.message.startswith("hair added: ")


def test_a_tight_bead_stands_once_at_the_line_that_hangs_it_and_names_the_hole_it_needs() -> None:
    line = Origin(kind="recipe", where="recipe line 31", file="look.plait", line=31)
    hung = Accent(every=9, first=3, ornament="Pip", ornament_count=1, origin=line)
    (finding,) = found(BEADS | {"bead": {"bore_mm": at(6)}, "look": {"accents": (hung,)}}, "M05")
    assert finding.line == 31
    assert finding.message.endswith("end 6.3 mm wide: it takes a hole of 7 mm or wider")
    assert finding.fix.startswith("one with a hole of 7 mm or wider")


def test_the_hairline_between_known_points_is_the_hairline() -> None:
    """Which zones a row crosses is read off the ring of the plan: straight lines between its points are its curve."""
    head = compile_in_book(SMALL).plan.sections.head
    lattice, step = _even(head.hairline)
    curve = cubics(tuple(t for _, t in sorted((p, t) for p, t in head.hairline if p >= -1e-9)))
    for n in range(314):
        assert _hairline(lattice, step, n / 100) == pytest.approx(hairline_at(curve, n / 100), abs=0.01)
