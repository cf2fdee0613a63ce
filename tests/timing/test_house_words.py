"""What a house says of who may do a piece of work, and a wearer of the set she comes in."""

from __future__ import annotations

import pytest

from plaitbook.meaning.book import file_meaning
from plaitbook.meaning.model import Rate, Wearer


def wearer(line: str) -> tuple[Wearer, list[str]]:
    found = file_meaning(f'edition 1\nwearer "Ilse"\n{line}\n', "book.plait")
    return found.wearers[0], [problem.code for problem in found.problems]


def rates(line: str) -> tuple[tuple[Rate, ...], list[str]]:
    found = file_meaning(f'edition 1\nhouse "Pier"\nrate {line}\n', "book.plait")
    return found.houses[0].rates, [problem.code for problem in found.problems]


@pytest.mark.parametrize("line, strands, width", [
    ("old set 80 braids", 80, None), ("old set 80", 80, None), ("old set 40 twists, 8 mm", 40, 8.0), ("old set 80 braids, ¼ in", 80, 6.35)])
def test_an_old_set_is_told_by_count_and_width(line: str, strands: int, width: float | None) -> None:
    found, codes = wearer(line)
    assert codes == [] and found.old_set.strands == strands
    assert (found.old_set.width_mm.value if found.old_set.width_mm else None) == (None if width is None else pytest.approx(width))


def test_an_old_set_may_be_unknown() -> None:
    found, codes = wearer("old set unknown")
    assert codes == [] and found.old_set is None


@pytest.mark.parametrize("line, code", [
    ("old set many", "E302"), ("old set 80 braids, 18 in", "E508"), ("old set 80 braids 5 mm wide", "E302"), ("old set 5 mm", "E302"),
    ("old set 80 braids ¼ in", "E302"), ("old set 80 braids, 5", "E302"), ("old set 8½ braids", "E502")])
def test_an_old_set_that_says_something_else_is_a_problem(line: str, code: str) -> None:
    found, codes = wearer(line)
    assert codes == [code] and found.old_set is None


@pytest.mark.parametrize("arrives, codes", [
    ("washed", ["E310"]), ("washed and dried", ["E310"]), ("unwashed", ["E310"]), ("in an old set", []), ("unknown", [])])
def test_an_old_set_that_is_not_worn_is_a_problem(arrives: str, codes: list[str]) -> None:
    """It would be left out of the clock without a word."""
    assert wearer(f"arrives {arrives}\nold set 80 braids")[1] == codes
    assert wearer(f"old set unknown\narrives {arrives}")[1] == []


@pytest.mark.parametrize("line, by", [
    ('"wash" 15 min, by assistant', "assistant"), ('"wash" 15 min, spread 20 %, by braider', "braider"), ('"wash" 15 min', None),
    ('"take down" 10 s, 20 s, 60 s, by assistant', "assistant")])
def test_a_rate_may_say_who_does_it(line: str, by: str | None) -> None:
    (found,), codes = rates(line)
    assert codes == [] and found.by == by


@pytest.mark.parametrize("line", ['"wash" 15 min, by', '"wash" 15 min, assistant', '"wash" 15 min, by nobody', '"wash" 15 min, by by braider'])
def test_half_said_is_one_problem(line: str) -> None:
    found, codes = rates(line)
    assert found == () and len(codes) == 1
