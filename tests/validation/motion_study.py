"""What a braider's hands do in each operation, put together from published motion times, beside the shipped rates.

A check from outside: the times are from the MTM-1 tables (H. B. Maynard, G. J. Stegemerten and J. L. Schwab,
*Methods-Time Measurement*, 1948), in inches, 1 TMU = 0.00001 h = 0.036 s, for a practised worker's normal pace.
Reach, move, grasp, turn and press were read in stored copies of the tables; position, release, disengage, focus,
side step and apply force are from memory. Which motions an operation is made of is our own analysis: nobody has
filmed a braider for it. Where two motions are made at once only the longer counts (the tables' own rule).

The list was written down before any hour was computed from it, and revised once: the first had every leg handed on
by the same move and transfer, fine or thick (``stitch`` 19.5 TMU and 1.2 a millimetre of width). What came out
stands in docs/validation.md. ``python tests/validation/motion_study.py`` prints it again.

Rest is not in these times; the clock adds it.
"""

from __future__ import annotations

from functools import lru_cache
from math import floor, sqrt
from types import MappingProxyType
from typing import Mapping, NamedTuple

from plaitbook import Request, compile_recipe
from plaitbook.meaning.tables import BREAK_S
from plaitbook.passes.constants import PACKING_HELD, PACKING_PLAITED
from plaitbook.passes.rates import SHIPPED
from plaitbook.passes.rest import breaks_of
from plaitbook.passes.strand_models import strand_model
from plaitbook.plan.model import Plan, Section, StrandKind

import published as trade
from published_recipes import SIZES, Look, hours, recipe

TMU_S = 0.036
"""Seconds in a TMU: a hundred-thousandth of an hour (its definition)."""

CONTINGENCY = 0.05
"""Share added for what no list holds: a leg that slips, a piece that drops, a client who turns. Contingency
allowances should stay within 5 % (International Labour Office, *Introduction to Work Study*, from memory)."""

HAND_MM = 79.0
"""Breadth of a woman's hand: how far the grip moves down before the tails are cleared (ANSUR 1988, from memory)."""

COMB_MM = 50.0
"""Width of scalp that one pass of a comb takes (our own estimate: two inches, half a comb)."""

WHOLE_HAND_MM = 7.0
"""A leg, as it is held, that fills the fingers: a pencil's thickness (our own estimate)."""

_INCH = 25.4

TMU: Mapping[str, float] = MappingProxyType({
    "reach 2 D": 5.9, "reach 3 D": 7.3, "reach 4 B": 6.4, "reach 6 B": 8.6, "reach 6 E": 8.0, "reach 10 B": 11.5, "reach 12 C": 14.2,
    "move 1 C": 3.4, "move 2 B": 4.6, "move 3 B": 5.7, "move 3 C": 6.7, "move 4 B": 6.9,
    "move 4 C": 8.0, "move 6 B": 8.9, "move 10 B": 12.2, "move 10 C": 13.5, "move 12 B": 13.4, "move 12 C": 15.2,
    "grasp": 2.0, "regrasp": 5.6, "transfer": 5.6, "select": 9.1, "select small": 12.9,
    "position loose": 5.6, "position close": 16.2, "release": 2.0, "disengage": 4.0,
    "press": 10.6, "apply force": 3.4, "focus": 7.3, "side step": 34.1, "turn 180": 9.4,
    # A way across grows with the strand: the legs are held four widths below the root and half a right
    # angle apart, so the hand goes eight widths (our own estimate). The slope from move 1 B (2.9) to move 5 B (8.0).
    "cross, mm of width": (8.0 - 2.9) / 4 * 8 / _INCH,
    # Fingers or a comb drawn along the hair and the hand back: move B and reach E together, a straight line
    # through 4 in (6.9 + 6.8) and 30 in (24.3 + 22.9), at most 1.3 TMU from the table between.
    "stroke": 13.7 - (47.2 - 13.7) / 26 * 4, "stroke, mm": (47.2 - 13.7) / 26 / _INCH,
})


class Motion(NamedTuple):
    """One line of an operation's list."""

    times: float
    motion: str
    """A key of :data:`TMU`."""
    what: str


_TAKE_PIECE = (
    Motion(1, "reach 12 C", "to the rack"), Motion(1, "select", "one piece"), Motion(1, "move 12 B", "to the head"))
_OWN_IN_THREE = (
    Motion(2, "reach 3 D", "into the section"), Motion(2, "select", "a third of it"), Motion(2, "move 2 B", "apart"),
    Motion(1, "focus", "are the legs even?"))
_PIECE_OVER_LEGS = (
    Motion(2, "select", "a part of the piece"), Motion(2, "move 2 B", "apart"), Motion(2, "regrasp", "with the leg"),
    Motion(2, "position loose", "to the leg"))
_GRIP = (Motion(2, "regrasp", "the legs, one after the other"), Motion(1, "press", "draw tight at the root"))

MOTIONS_OF: Mapping[str, tuple[Motion, ...]] = MappingProxyType({
    # One section: its two new lines, then the comb and the product down its hair.
    "part": (
        Motion(1, "side step", "to where the section is seen"),
        Motion(1, "reach 10 B", "to the comb"), Motion(1, "grasp", "it"), Motion(1, "move 10 B", "to the head"),
        Motion(2, "position close", "the tail of the comb at the line's beginning"), Motion(2, "focus", "on the line"),
        Motion(2, "select", "the section's hair"), Motion(2, "move 6 B", "away from the rest"),
        Motion(1, "reach 10 B", "to a clip"), Motion(1, "grasp", "it"), Motion(1, "disengage", "it"),
        Motion(1, "move 10 C", "to the rest of the hair"), Motion(1, "position loose", "the clip"),
        Motion(1, "press", "it open"), Motion(1, "release", "it"),
        Motion(2, "focus", "is the line straight?"), Motion(1, "move 10 B", "the comb aside"), Motion(1, "release", "it")),
    # A millimetre of line: every inch a stretch drawn to an exact end; every 10 mm a stray hair picked over to
    # its side; the comb's teeth once along either side for every 40 mm.
    "part line": (
        Motion(1 / _INCH, "move 1 C", "an inch of line"), Motion(1 / _INCH, "focus", "on its end"),
        Motion(1 / 10, "reach 2 D", "to a stray hair"), Motion(1 / 10, "select small", "it"),
        Motion(1 / 10, "move 2 B", "to its side"),
        Motion(2 / 40, "move 6 B", "comb a side away"), Motion(2 / 40, "reach 6 E", "and back")),
    # Three strokes from the ends upwards, of half the hair on average, then two of all of it; product between.
    "comb out": (
        Motion(5, "position loose", "the comb"), Motion(5, "stroke", "down the hair"),
        Motion(1, "reach 10 B", "to the product"), Motion(1, "grasp", "some"), Motion(1, "move 10 B", "to the head"),
        Motion(3, "move 3 B", "smooth it over the roots")),
    "comb out length": (Motion(3.5, "stroke, mm", "three half strokes and two whole"),),
    # Starts.
    "start extension": (*_TAKE_PIECE, *_OWN_IN_THREE, *_PIECE_OVER_LEGS, *_GRIP),
    "start extension width": (Motion(4, "cross, mm of width", "to take the piece and the own hair apart"),),
    "start own hair first": (*_OWN_IN_THREE, *_GRIP),
    "start own hair only": (*_OWN_IN_THREE, *_GRIP),
    "start knotted": (
        *_TAKE_PIECE, Motion(1, "move 12 B", "draw it to its middle"), Motion(1, "transfer", "to the other hand"),
        Motion(1, "position close", "the fold at the root"), Motion(2, "move 3 C", "round the root"),
        Motion(2, "transfer", "behind it"), Motion(1, "press", "the knot tight"),
        *_OWN_IN_THREE, *_PIECE_OVER_LEGS, *_GRIP),
    "start knotted width": (Motion(6, "cross, mm of width", "to take apart and to go round"),),
    # Stitches, in the two grips that there are. Fine legs stay in the fingertips: they are swapped while the
    # finger moves, so the longer of the two motions counts, and both hands keep them taut as they go. A leg as
    # thick as a pencil fills the fingers: the hand lets one go, reaches for the next, carries it over with the
    # arm, and each stitch is drawn tight against the drag of its hair. A twist's legs are rolled before each half turn.
    "stitch": (Motion(2, "regrasp", "swap an outside leg over"), Motion(1, "apply force", "taut")),
    "stitch, whole hand": (
        Motion(2, "release", "a leg"), Motion(2, "reach 4 B", "to the next"), Motion(2, "grasp", "it"),
        Motion(2, "move 6 B", "over"), Motion(1, "move 4 B", "draw the legs apart"), Motion(1, "press", "tight")),
    "twist": (
        Motion(2, "regrasp", "roll both legs"), Motion(2, "regrasp", "swap them"), Motion(1, "apply force", "taut")),
    "twist, whole hand": (
        Motion(2, "turn 180", "roll both legs"), Motion(2, "regrasp", "for the next roll"),
        Motion(2, "release", "a leg"), Motion(2, "reach 4 B", "to the other"), Motion(2, "grasp", "it"),
        Motion(2, "move 6 B", "over"), Motion(1, "move 4 B", "draw the legs apart"), Motion(1, "press", "tight")),
    # On the scalp each crossing takes hair up, so a stitch takes up twice.
    "pick up": (
        Motion(2, "reach 3 D", "to the scalp"), Motion(2, "select", "a little hair"), Motion(2, "move 3 B", "up to the leg"),
        Motion(2, "regrasp", "with the leg"), Motion(1, "move 2 B", "thumb along the row"),
        Motion(1, "apply force", "flat to the scalp"), Motion(1, "focus", "on the row's edge")),
    # Each crossing above crosses the tails below the other way round: all legs but one are drawn free each time
    # the grip has gone down a hand's breadth, and once where added hair was split over the legs. Per leg:
    "clear tails": (
        Motion(1, "reach 6 B", "to a leg"), Motion(1, "grasp", "it"), Motion(1, "stroke", "to its end"),
        Motion(1, "release", "it")),
    "clear tails length": (Motion(1, "stroke, mm", "all the way down the free tail"),),
    "feed in": (
        *_TAKE_PIECE, Motion(1, "move 6 B", "draw it to its middle"), Motion(1, "transfer", "to the braiding hand"),
        Motion(1, "position loose", "under the rotation"), Motion(2, "regrasp", "with a leg"),
        Motion(1, "move 6 B", "smooth it in"), Motion(1, "reach 6 E", "and back")),
    "accent": (
        *_TAKE_PIECE, Motion(1, "position loose", "under the rotation"), Motion(2, "regrasp", "with a leg"),
        Motion(1, "reach 2 D", "to its end"), Motion(1, "select", "it"), Motion(1, "move 6 B", "draw it out"),
        Motion(1, "reach 10 B", "to a clip"), Motion(1, "grasp", "it"), Motion(1, "move 10 C", "to the curl"),
        Motion(1, "position loose", "the clip"), Motion(1, "press", "it open"), Motion(1, "release", "it")),
    "knot": (
        Motion(1, "reach 6 B", "to the end"), Motion(1, "grasp", "it"), Motion(1, "move 4 C", "to a loop"),
        Motion(1, "position loose", "through it"), Motion(1, "transfer", "to the other hand"),
        Motion(1, "move 4 B", "draw it down"), Motion(1, "press", "tight")),
    "knot turn": (
        Motion(1, "move 4 C", "round"), Motion(1, "position loose", "through"), Motion(1, "transfer", "to the other hand")),
})


def normal_seconds(operation: str) -> float:
    """Seconds of one operation at a normal pace, the contingency included; rest is not."""
    tmu = sum(line.times * TMU[line.motion] for line in MOTIONS_OF[operation])
    return tmu * TMU_S * (1 + CONTINGENCY)


def seconds_per_mm2(operation: str, technique: str) -> float:
    """What a stitch or turn takes more for each mm² of its strand's width squared.

    Between the fingertips and the whole hand the time grows with the hair in hand, which goes with the width
    squared. ``w`` is the width of the strand whose legs, as loosely as they are held, are :data:`WHOLE_HAND_MM` thick.
    """
    slack = sqrt(PACKING_PLAITED / PACKING_HELD)
    w = WHOLE_HAND_MM / slack * strand_model(technique, "ordinary").width
    return (normal_seconds(f"{operation}, whole hand") - normal_seconds(operation)) / (w * w)


# --- beside the shipped rates ---------------------------------------------------------------

COUNTED = ("comb out", "comb out length", "clear tails", "clear tails length")
"""Work that the shipped rates have no line for; it is in their round figures for parting, start and stitch."""


def study_seconds() -> dict[str, float]:
    """Every operation's seconds by the motion lists, under the names of the shipped rates."""
    found = {name: normal_seconds(name) for name in MOTIONS_OF if "whole hand" not in name}
    return found | {"stitch hair": seconds_per_mm2("stitch", "plait"), "twist hair": seconds_per_mm2("twist", "twist")}


def cleared(kind: StrandKind, laid_at_start: bool) -> tuple[float, float]:
    """(Legs drawn free below the hands, mm of tail drawn through) of one strand.

    All legs but one, each time the grip has gone down a hand's breadth, and once where added hair was split over
    them. The free tail shortens as the strand grows; its mean is what is left half way down.
    """
    legs = (1 if kind.technique == "twist" else 2) * (floor(kind.length_mm / HAND_MM) + laid_at_start)
    tail = max(0.0, (kind.reach_mm - kind.length_mm / 2) * kind.length_ratio)
    return float(legs), legs * tail


def combs(section: Section) -> float:
    """Comb's widths along a section's longer side, one at least."""
    return max(1.0, max(section.width_mm, section.height_mm) / COMB_MM)


@lru_cache(maxsize=None)
def _studied(look: Look) -> Plan:
    lines = "".join(f'rate "{name}" {seconds:.5f} s, spread 20 %\n'
                    for name, seconds in study_seconds().items() if name not in COUNTED)
    text = recipe(look).replace('house "Chair"\n', f'house "Chair"\n{lines}')
    done = compile_recipe(text, "study.plait", Request(wearer="Sitter", house="Chair"))
    assert done.plan is not None, [(p.span.line, p.message, p.help) for p in done.problems]
    return done.plan


def study_hours(look: Look) -> float:
    """Chair time by the motion lists, h: combing and clearing added to what the clock counts, rest included."""
    plan, each = _studied(look), study_seconds()
    own_mm = look.own_in * _INCH
    more = sum(combs(section) for section in plan.sections.items) * (each["comb out"] + own_mm * each["comb out length"])
    for kind in plan.strand_kinds:
        legs, tail = cleared(kind, look.start != "own first")
        more += len(kind.sections) * (legs * each["clear tails"] + tail * each["clear tails length"])
    known = {key: float(plan.figures[key].value) for key in (
        "timing.work_s", "timing.crew_speed", "timing.short_pauses", "timing.break_every_s")}
    seated = (known["timing.work_s"] + more / known["timing.crew_speed"]) * (1 + known["timing.short_pauses"])
    return (seated + breaks_of(seated, known["timing.break_every_s"], BREAK_S)) / 3600


def rate_table() -> str:
    """Operation by operation, at a pencil's width where the width counts."""
    shipped = {rate.operation: rate.seconds for rate in SHIPPED}
    study = study_seconds()
    rows = []
    for name, grows in (("part", None), ("part line", None), ("start extension", "start extension width"),
                        ("start own hair first", None), ("start knotted", "start knotted width"),
                        ("stitch", "stitch hair"), ("twist", "twist hair"), ("pick up", None), ("feed in", None),
                        ("accent", None), ("knot", None), ("knot turn", None)):
        def at(table: Mapping[str, float], width: float) -> float:
            return table[name] + (table[grows] * (width ** 2 if grows.endswith("hair") else width) if grows else 0.0)
        spans = ((3, 7, 16) if name == "stitch" else (5, 10) if name == "twist" else (7,)) if grows else (0,)
        for width in spans:
            said = f"{name}, {width} mm" if grows else name
            rows.append(f"| {said} | {at(shipped, width):.3g} s | {at(study, width):.3g} s |")
    own = 6 * _INCH
    rows.append(f"| comb out a section, 6 in of own hair | – | {study['comb out'] + own * study['comb out length']:.3g} s |")
    rows.append(f"| clear a leg, 15 in of tail | – | {study['clear tails'] + 15 * _INCH * study['clear tails length']:.3g} s |")
    return "\n".join(("| operation | shipped rate | motion times |", "| --- | --- | --- |", *rows))


def size_table() -> str:
    """Whole sets, mid back, one braider."""
    rows = [f"| {size} | {hours(Look(size)):.1f} h | {study_hours(Look(size)):.1f} h |" for size in SIZES]
    return "\n".join(("| size | shipped rates | motion times |", "| --- | --- | --- |", *rows))


def score() -> str:
    """The scored one-chair rows by the motion lists."""
    rows = trade.one_chair()
    good = [row.id for row in rows if trade.right(row, study_hours(row.look))]
    same, pairs = trade.concordant(rows, lambda row: study_hours(row.look))
    return (f"By the motion lists {len(good)} of {len(rows)} one-chair rows are right ({', '.join(good)}); "
            f"{same} of {pairs} clear pairs of rows in order.")


if __name__ == "__main__":
    print(f"{rate_table()}\n\n{size_table()}\n\n{score()}")
