"""One scene that triggers and one that doesn't, for every built-in code."""

from __future__ import annotations

from typing import Any

from plaitbook.meaning.model import Allowance, Expectation
from scenes import HOUSE, LINE, SAYS, a_step, at


def _seal(celsius: float = 180, **changes: Any) -> dict[str, Any]:
    return {"look": {"end": (a_step("heat seal", temperature_c=at(celsius), **changes),)}}


def _dip(celsius: float | None = 95, **changes: Any) -> dict[str, Any]:
    heat = {} if celsius is None else {"temperature_c": at(celsius)}
    return {"look": {"end": (a_step("dip", **heat, **changes),)}}


def _wearer(**facts: Any) -> dict[str, Any]:
    return {"wearer": facts}


OWN_ONLY: dict[str, Any] = {"added_g": 0.0, "accents": 0, "kind": {"pieces": (), "feed_ins": ()}}
BEADS: dict[str, Any] = {"accent_ornament": True}
NOBODY: dict[str, Any] = {"sections": 0, "load": {"worst": ()}}
PLAIN: dict[str, Any] = {"accents": 0}


def child(years: float) -> dict[str, Any]:
    return {"wearer": {"age_years": at(years, f"{years:g} years", SAYS)}}


CASES: dict[str, tuple[dict[str, Any], dict[str, Any]]] = {
    # code: (triggers, doesn't)
    "H01": (_seal(205), _seal(204)),
    "H02": (_seal(196), _seal(195)),
    "H03": (_seal(169), _seal(170)),
    "H04": (_seal() | {"hair": {"sealing": None}}, _seal()),
    "H05": (_seal() | {"hair": {"fibre": "human"}}, _seal()),
    "H06": (_seal(180, length_mm=at(40)), _seal(110, length_mm=at(40))),
    "H07": (_seal() | {"kind": {"own_ends_stitch": 70}}, _seal()),
    "H08": (_seal(), PLAIN),
    "H09": (_seal() | {"length_mm": 140.0}, _seal()),
    "W01": (_dip(), _dip() | PLAIN),
    "W02": (_dip() | {"hair": {"hot_water": "unknown"}}, _dip()),
    "W03": (_dip() | {"hair": {"fibre": "plant"}}, _dip()),
    "W04": (_dip(60), _dip(40)),
    "W05": (_dip() | child(8), child(8)),
    "W06": (_dip() | {"length_mm": 190.0}, _dip()),
    "W07": (_dip(length_mm=at(30)) | {"kind": {"own_ends_stitch": 66}}, _dip(length_mm=at(13))),
    "S01": (_wearer(scalp="broken"), _wearer(scalp="dry")),
    "S02": (_wearer(scalp="flaking"), _wearer(scalp="healthy")),
    "S03": (_wearer(chemical="relaxer", chemical_weeks=at(1.5, "1½ weeks", SAYS)),
            _wearer(chemical="relaxer", chemical_weeks=at(2, "2 weeks", SAYS))),
    "S04": (_wearer(chemical="colour"), _wearer(chemical="none")),
    "S05": (_wearer(chemical="bleach", chemical_weeks=at(9, "9 weeks", SAYS)),
            _wearer(chemical="colour", chemical_weeks=at(9, "9 weeks", SAYS))),
    "S06": (_wearer(shedding="heavy"), _wearer(shedding="ordinary")),
    "S07": (_wearer(edges="fragile"), _wearer(edges="fragile") | {"zones": ("nape", "back", "crown")}),
    "S08": (_wearer(edges="thin"), _wearer(edges="healthy")),
    "S09": (_wearer(tender=True), _wearer(tender=False)),
    "S10": ({"kind": {"tightness": "firm"}}, {"kind": {"tightness": "firm"}} | child(12)),
    "S13": (_wearer(edges="thin") | {"zones": ("crown", "temples")},
            _wearer(edges="fragile") | {"zones": ("crown", "hairline")}),
    "S14": ({"kind": {"tightness": "firm"}, "zones": ("nape",)} | _wearer(tender=True),
            {"kind": {"tightness": "firm"}, "zones": ("nape",)} | _wearer(edges=None, tender=None, age_years=None)),
    "S11": (_wearer(past_breakage=True), _wearer(past_breakage=True) | OWN_ONLY),
    "S12": (_wearer(rest_weeks=at(0.5, "half a week", SAYS)), _wearer(rest_weeks=at(1, "1 week", SAYS))),
    "A01": (_wearer(patch_test="reacted"), _wearer(patch_test="clear")),
    "A02": (_wearer(allergies=("latex",)), _wearer(allergies=())),
    "A03": (_wearer(reacts_to_added_hair=True), _wearer(reacts_to_added_hair=True) | OWN_ONLY),
    "A04": ({"hair": {"coated": "yes"}}, {"hair": {"coated": "unknown"}}),
    "C01": (BEADS | child(2.9), BEADS | child(3)),
    "C02": (BEADS | child(4), BEADS | child(6)),
    "C03": (child(4.9), child(5)),
    "C04": (child(12), child(13)),
    "C05": (child(8), child(8) | {"sections": 20}),
    "L01": ({}, OWN_ONLY),
    "L02": ({"house": {"load_limit_mn": at(0.02, "0.02 mN", HOUSE)}}, {"house": {"load_limit_mn": at(0.03, "0.03 mN", HOUSE)}}),
    "L03": ({"house": {"added_limit_g": at(100, "100 g", HOUSE)}}, {"house": {"added_limit_g": at(200, "200 g", HOUSE)}}),
    "L04": ({"load": {"added_to_own": 2.0}}, {"load": {"added_to_own": 1.9}}),
    "L05": ({"load": {"hairline_median_mn": 0.06}}, {"load": {"hairline_median_mn": None}}),
    "L06": ({}, NOBODY),
    "L07": ({"added_g": 16.7}, {"added_g": 16.6}),
    "L08": ({"added_g": 33.4}, {"added_g": 33.3}),
    "R01": ({}, NOBODY),
    "G01": ({"side_mm": 7.5}, {"side_mm": 8.0}),
    "G02": ({"hairs": 24}, {"hairs": 25}),
    "G03": (_wearer(own_mm=at(50, "5 cm", SAYS)), _wearer(own_mm=at(51, "5.1 cm", SAYS))),
    "G04": ({"count": {"count_low": 55, "count_high": 66}}, {}),
    "G05": ({"asked_cm2": 18.5}, {"asked_cm2": 17.5}),
    "G06": ({"asked_cm2": 4.4}, {"asked_cm2": 4.6}),
    "M01": ({"hair": {"price": None}}, {}),
    "M02": ({"packs": 2.1}, {"packs": 2.0}),
    "M03": ({"kind": {"unmet": ("7 mm can't be held past stitch 60",)}}, {}),
    "M04": ({"kind": {"reach_mm": 400.0}}, {"kind": {"reach_mm": 431.0}}),
    "M05": (BEADS | {"bead": {"bore_mm": at(6)}}, BEADS),
    "M06": (BEADS | {"bead": {"bore_mm": None}}, BEADS),
    "T01": ({"sections": 120}, {}),
    "T04": ({"sections": 160}, {"sections": 60}),
    "T05": ({"sections": 300}, {"sections": 160}),
    "T02": (_wearer(sits_s=at(3600, "1 h", SAYS)), _wearer(sits_s=at(7200, "2 h", SAYS))),
    "T03": ({"house": {"break_every_s": at(9000, "2 h 30", HOUSE)}}, {}),
    "P01": ({"recipe": {"undone": ("width 9 mm undoes \"when strand is fine\"",)}}, {}),
    "P02": ({"recipe": {"expects": (Expectation(figure="packs of base", low=1, high=1.2, text="packs of base between "
                                                "1 and 1.2", origin=LINE),)}},
            {"recipe": {"expects": (Expectation(figure="packs of base", low=1, high=1.5, text="", origin=LINE),
                                    Expectation(figure="packs", high=1, text="", wearer="Odile", origin=LINE))}}),
    "Q01": (_wearer(scalp=None), {}),
    "Q02": (_wearer(allergies=None), _wearer(allergies=())),
    "Q03": (_wearer(patch_test="not done"), {}),
    "Q04": (_wearer(chemical=None), {}),
    "Q05": (_wearer(shedding=None), {}),
    "Q06": (_wearer(tender=None), {}),
    "Q07": (_wearer(edges=None), {}),
    "Q08": (_wearer(reacts_to_added_hair=None), _wearer(reacts_to_added_hair=None) | OWN_ONLY),
    "Q09": (_wearer(age_years=None), _wearer(age_years=None) | OWN_ONLY),
    "Q10": (_wearer(past_breakage=None), {}),
    "Q11": (_wearer(arrives=None), {}),
    "O01": ({"recipe": {"allows": (Allowance(code="H99", reason="because", origin=LINE),)}},
            {"recipe": {"allows": (Allowance(code="H02", reason="because", origin=LINE),)}}),
    "O02": ({"recipe": {"allows": (Allowance(code="H02", reason="  ", origin=LINE),)}},
            {"recipe": {"allows": (Allowance(code="H02", reason="because", origin=LINE),)}}),
}
"""Codes O01 and O02 belong to the engine: they are about written reasons, not about hair."""

