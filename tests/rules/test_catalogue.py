"""Every code has its words, its source, a scene that triggers it and one that doesn't."""

from __future__ import annotations

import re

import pytest

from cases import CASES
from plaitbook.meaning.model import Allowance
from plaitbook.plan.model import Finding
from plaitbook.rules import CAUTION, RULES, judge, rule_of
from plaitbook.rules import REASON_RULES
from plaitbook.rules.page import rule_page
from plaitbook.rules.work import _ranged
from scenes import LINE, a_step, at, scene

ALL = {rule.code: rule for rule in (*RULES, *REASON_RULES)}


def found(keywords: dict, code: str) -> list[Finding]:
    return [finding for finding in judge(*scene(**keywords)) if finding.code == code]


def test_every_code_has_both_cases_and_no_case_is_left_over() -> None:
    assert set(CASES) == set(ALL)
    assert len(ALL) == len(RULES) + len(REASON_RULES)


@pytest.mark.parametrize("code", sorted(CASES))
def test_triggers(code: str) -> None:
    findings = found(CASES[code][0], code)
    assert findings, f"{code} should have been found"
    for finding in findings:
        assert finding.severity == ALL[code].severity
        assert finding.message and finding.reason and finding.fix and finding.source
        assert finding.line > 0 and finding.file


@pytest.mark.parametrize("code", sorted(CASES))
def test_stays_quiet(code: str) -> None:
    assert found(CASES[code][1], code) == []


@pytest.mark.parametrize("rule", ALL.values(), ids=lambda rule: rule.code)
def test_words(rule) -> None:
    assert re.fullmatch(r"[A-Z]\d\d", rule.code)
    for text in (rule.name, rule.what, rule.why, rule.fix, rule.source):
        assert text.strip()
    # The product ranks and compares; it calls no load safe.
    assert not re.search(r"\bsafe(ly)?\b", " ".join((rule.name, rule.what, rule.why, rule.fix)).lower())


def test_a_plain_scene_finds_only_the_notes_of_every_set() -> None:
    assert [finding.code for finding in judge(*scene())] == ["L01", "L06", "R01"]


@pytest.mark.parametrize("code", [code for code, rule in sorted(ALL.items()) if rule.severity == "stop"])
def test_a_stop_yields_only_to_a_written_reason(code: str) -> None:
    keywords = dict(CASES[code][0])
    allow = Allowance(code=code, reason="agreed with the clinician", origin=LINE)
    keywords["recipe"] = keywords.get("recipe", {}) | {"allows": (allow,)}
    findings = found(keywords, code)
    assert findings and all(f.severity == "warn" and f.allowed_because == allow.reason for f in findings)
    keywords["recipe"]["allows"] = (allow.model_copy(update={"reason": " "}),)
    assert all(f.severity == "stop" and f.allowed_because is None for f in found(keywords, code))


def test_the_caution_line_says_what_it_must() -> None:
    for word in ("Hot tools", "hot water", "pull", "allergic", "local codes", "licensed practice", "no medical advice"):
        assert word in CAUTION


def test_look_up() -> None:
    assert rule_of("H01") in RULES
    assert rule_of("Z99") is None


@pytest.mark.parametrize("rule", ALL.values(), ids=lambda rule: rule.code)
def test_every_code_has_a_page(rule) -> None:
    page = rule_page(rule)
    assert page.startswith(f"# {rule.code}: {rule.name}\n") and page.endswith(".\n") and ".." not in page
    assert ("To go on all the same" in page) == (rule.severity == "stop")


def test_one_thing_in_many_zones_is_one_finding() -> None:
    seal = a_step("heat seal", temperature_c=at(210))
    (finding,) = found({"look": {"end": (seal,)}}, "H01")
    assert finding.message == "sealing at 210 °C (410 °F) in every zone"
    (finding,) = found({"look": {"end": (seal,)}, "zones": ("nape", "crown")}, "H01")
    assert finding.message == "sealing at 210 °C (410 °F) in the nape and crown"


def test_a_wish_missed_by_many_kinds_is_one_finding() -> None:
    (finding,) = found({"kind": {"unmet": ("asked for 7 mm, found 7.9 mm",)}}, "M03")
    assert finding.message.endswith(": asked for 7 mm, found 7.9 mm")
    assert _ranged(["asked for ", " mm, found ", " mm at stitch ", "."], [("7", "7.9", "3"), ("7", "10", "3")]) == (
        "asked for 7 mm, found 7.9 to 10 mm at stitch 3.")
