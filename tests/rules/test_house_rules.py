"""Rules as a house writes them: what they find, what they print, and a clear word for every slip."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as some
from shipped_book import SMALL, compile_in_book

from plaitbook.rules.names import FACTS, FIGURES
from plaitbook.rules.things import THINGS


def rule(asked: str, code: str = "X80", severity: str = "warn", message: str = "found", more: str = "") -> str:
    return f'\nrule "{code}"\ncode {code}\nseverity {severity}\nif {asked}\nmessage "{message}"\n{more}\n'


def found(*rules: str, wearer: str = "Ilse", house: str = "Harbour Chair"):  # type: ignore[no-untyped-def]
    done = compile_in_book(SMALL + "".join(rules), wearer=wearer, house=house)
    assert done.plan is not None, [(p.code, p.message, p.help) for p in done.problems]
    return [finding for finding in done.plan.findings if finding.code.startswith("X8")]


def wrong(*rules: str):  # type: ignore[no-untyped-def]
    done = compile_in_book(SMALL + "".join(rules))
    assert done.plan is None
    return done.problems


# --- what they print ---------------------------------------------------------------------


def test_figures_in_a_message_print_in_the_houses_own_units() -> None:
    asks = rule("wearing over 1 in", message="{wearing}, {own hair}, {time}, {added weight}, {price}, {age}, {width}",
                more='fix "shorter than {wearing}"')
    (inch,) = found(asks)
    (metric,) = found(asks, house="Zimmer Sieben")
    assert inch.message.startswith("12 in, 9 in, ") and " USD, " in inch.message and inch.fix == "shorter than 12 in"
    assert metric.message.startswith("30 cm, 23 cm, ") and " EUR, " in metric.message and " mm" in metric.message
    assert " h" in inch.message and " g, " in inch.message


def test_a_message_speaks_of_what_was_found() -> None:
    (one,) = found(rule("any section in nape and hairline where area over 1 cm²",
                        message="{zones}: {numbers}, {area}, {hairs} hairs"))
    assert one.message.startswith("the nape and hairline: sections 1, 2, ") and " to " in one.message
    (each,) = found(rule("any hair where kind is plain", message="{hair} is {kind}, {fibre}"))
    assert each.message == '"Dune" is plain, modacrylic'
    seal = found(rule("any sealed hair where heat over 100 °C", message="{hair} at {heat} in {zones}"))
    assert [f.message for f in seal] == ['"Dune" at 356 °F (180 °C) in every zone']


@pytest.mark.parametrize(("asked", "holds"), [
    ("every section where hairs over 5", True), ("every section where hairs over 5000", False),
    ("any strand where technique is twist", False), ("any strand in nape where technique is plait", True),
    ("added weight over 2 times own weight", True), ("own weight over 2 times added weight", False),
    ("sits is unknown", True), ("age is not unknown", True), ("scalp is unknown", False),
    ("load in nape over 0 mN", True), ("load in nape over 100 times load in hairline", False),
    ("not (strand is fine) or sections at least 1", True), ("chemical is none or relaxer", True),
    ("patch test is not done", False), ("styled hair is unknown", None),
])
def test_what_the_language_can_say(asked: str, holds: bool | None) -> None:
    if holds is None:
        assert wrong(rule(asked))
    else:
        assert bool([f for f in found(rule(asked)) if f.severity == "warn"]) is holds


def test_an_unknown_asks_and_names_what_is_missing() -> None:
    (asked,) = found(rule("sits under 2 h and sections at least 1", message="Sits {sits} only."))
    assert (asked.severity, asked.message) == ("ask", "Sits unknown only? That can't be said without: sits")


# --- slips -------------------------------------------------------------------------------


@pytest.mark.parametrize(("asked", "code", "words", "help_words"), [
    ("sectons over 5", "E806", 'nothing is called "sectons"', "did you mean 'sections"),
    ("strand is fyne", "E806", "strand is never 'fyne'", "did you mean 'fine'"),
    ("added weight over 5 cm", "E506", "is a length, not a weight", "80 g"),
    ("added weight over 300", "E105", "'300' has no unit", "write"),
    ("price over 20", "E105", "has no currency", "20 USD"),
    ("sections over 5 cm", "E506", "a measure where a plain number goes", "take the unit out"),
    ("width over 1/0 mm", "E501", "'1/0' divides by nothing", "fraction"),
    ("added weight over 1/0 times own weight", "E501", "'1/0' divides by nothing", "fraction"),
    ("added weight over 2 times time", "E806", "can't be compared", "one kind"),
    ("area over 3 cm²", "E806", 'nothing is called "area"', "any section where"),
    ("strand over 3", "E806", "known in words, not in numbers", "strand is"),
    ("time is long", "E806", "time is a number, not a word", "time over"),
    ("any section where any strand where strand width over 1 mm", "E808", "stands inside another 'where'", "two rules"),
    ("any section where every section where any section where area over 1 cm²", "E808", "inside another", "two rules"),
    ("any sektion where area over 3 cm²", "E101", "'sektion' is not understood", "did you mean 'section'"),
    ("any section in elbow where area over 3 cm²", "E101", "'elbow' is not understood", ""),
    ("any hair in nape where kind is plain", "E806", "a hair stands in no zone", ""),
    ("sections over 5 and strand is fine or age under 3 years", "E702", "could mean two things", "brackets"),
    ("not strand", "E701", "'strand' says nothing to test", "strand is fine"),
    ("strand", "E701", "'strand' says nothing to test", "strand is fine"),
    ("age under 3 years and", "E103", "stops after 'and'", ""),
    ("(" * 30 + "age under 3 years" + ")" * 30, "E101", "30 brackets", "at most 12"),
    (" and ".join(["age under 3 years"] * 200), "E106", "characters long", "2,000"),
])
def test_every_slip_is_one_clear_problem(asked: str, code: str, words: str, help_words: str) -> None:
    (problem,) = wrong(rule(asked))
    assert problem.code == code and words in problem.message and help_words in problem.help
    assert problem.span.line > 10 and problem.help


@pytest.mark.parametrize(("message", "words", "help_words"), [
    ("{tim} x", "'{tim}' is no figure", "did you mean 'time'"), ("{} x", "'{}' is no figure", ""),
    ("{time x", "a brace stands alone", "between { and }"), ("time} x", "a brace stands alone", "between { and }"),
    ("{area} x", "'{area}' is no figure", ""), ("{{time}} x", "a brace stands alone", ""),
    ("{numbers} x", "'{numbers}' is no figure", ""),
])
def test_braces_are_checked_before_anything_is_planned(message: str, words: str, help_words: str) -> None:
    (problem,) = wrong(rule("sections over 5", message=message))
    assert problem.code == "E807" and words in problem.message and help_words in problem.help


@pytest.mark.parametrize(("text", "code"), [
    ('\nrule "a"\ncode X80\nif sections over 5\nmessage "x"\n', "E801"),
    (rule("sections over 5") + 'message "again"\n', "E803"),
    (rule("sections over 5", code="H01"), "E804"),
    (rule("sections over 5", severity="halt"), "E805"),
    (rule("sections over 5") + rule("packs over 5").replace('rule "X80"', 'rule "other"'), "E802"),
    (rule("sections over 5") + 'fxi "x"\n', "E112"),
])
def test_slips_outside_the_condition(text: str, code: str) -> None:
    assert [p.code for p in wrong(text)] == [code]


PIECES = some.sampled_from([
    *FIGURES, *FACTS, *(f"any {thing} where" for thing in THINGS), *(f"every {thing} in nape where" for thing in THINGS),
    "and", "or", "not", "(", ")", "is", "is not", "unknown", "fine", "over", "under", "at least", "at most", "2 times",
    "5", "5 mm", "3 years", "1/0", "250 USD", "½ in", "hairs", "area", "heat", "kind", "-3", "in", "where", "9" * 30,
])


@given(some.lists(PIECES, min_size=1, max_size=9))
@settings(max_examples=150, deadline=None)
def test_no_condition_crashes_or_passes_silently(pieces: list[str]) -> None:
    """Whatever stands after if: the rule is judged, or there is a problem at the rule. Never an exception."""
    done = compile_in_book(SMALL + rule(" ".join(pieces)))
    if done.plan is None:
        assert done.problems and all(p.message and p.span.line >= 12 for p in done.problems)


@given(some.text(alphabet="{}abctime \u2003éß", max_size=24))
@settings(max_examples=60, deadline=None)
def test_no_message_crashes(message: str) -> None:
    done = compile_in_book(SMALL + rule("sections over 1", message=message))
    assert done.plan is not None or all(p.message for p in done.problems)
