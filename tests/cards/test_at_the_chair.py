"""What a braider reads off the card with a tape and a comb in hand: lengths on the tape, which piece goes in where."""

from __future__ import annotations

import re

import pytest
from sample import sample

from plaitbook.cards.diagrams.strand_strip import MOST_PLACES, strand_strip
from plaitbook.cards.speech import speech
from plaitbook.cards.told import told_cut
from plaitbook.plan.model import CutLine, FeedIn


TEXT = "cut 16.1 in off the end, one length of 31.9 in; pull the ends 3.9 in apart; fold each piece in the middle"


def cut(text: str) -> CutLine:
    return CutLine(hair="Dune", role="base", cut_mm=810, cuts_per_length=1, offcut_mm=409, fold=0.5, pulled_mm=99, held_mm=3.5,
                   pieces=10, text=text)


@pytest.mark.parametrize(("code", "units", "text", "said"), [
    ("en", "inch", TEXT, "cut 16 in off the end, one length of 32 in; pull the ends 4 in apart; fold each piece in the middle"),
    ("en", "metric", "cut 40.6 cm off the end, one length of 81.3 cm", "cut 40.5 cm off the end, one length of 81.5 cm"),
    ("fr", "inch", "pull the ends 0.8 in apart", "étirer les pointes de ¾ po"),
    ("fr", "metric", "pull the ends 10.2 cm apart", "étirer les pointes de 10 cm"),
])
def test_a_cut_is_said_in_the_marks_of_a_tape(code: str, units: str, text: str, said: str) -> None:
    assert told_cut(speech(code, units), cut(text)).replace(" ", " ") == said


def words_of(drawing: str) -> str:
    return " ".join(re.findall(r">([^<>]+)</text>", drawing))


def fed(stitch: int, pieces: int) -> FeedIn:
    return FeedIn(stitch=stitch, at_mm=stitch * 5.0, role="base", pieces=pieces, held_mm=3.5)


def test_where_pieces_differ_the_strip_says_which_goes_in_where() -> None:
    kind = sample()[0].strand_kinds[0].model_copy(update={"feed_ins": (fed(0, 1), fed(3, 1), fed(5, 2), fed(8, 2)), "accents": ()})
    said = words_of(strand_strip(kind))
    assert "lay in 1 × base 3.5 mm at the root, stitch 3" in said and "lay in 2 × base 3.5 mm at stitches 5 and 8" in said


def test_where_all_are_alike_or_too_many_to_list_the_strip_names_no_places() -> None:
    kind = sample()[0].strand_kinds[0]
    for feeds in ((fed(0, 1), fed(3, 1)), tuple(fed(stitch, 1 + stitch % 2) for stitch in range(MOST_PLACES + 1))):
        said = words_of(strand_strip(kind.model_copy(update={"feed_ins": feeds, "accents": ()})))
        assert "lay in 1 × base 3.5 mm" in said and " at " not in said.replace("at stitch", "").partition("own hair ends")[0]
