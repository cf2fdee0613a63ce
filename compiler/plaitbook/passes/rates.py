"""The shipped rates: how long each operation takes until a house puts in its own.

Every rate but one is **our own estimate**; the reasoning stands beside it and in
its origin, so that a card can say where a minute came from. No published
time study of braiding was found. The rates were set by reasoning about the
movements of the hand, with the published bands of hours by size (micro, small,
medium, jumbo) as a check on their shape; they are not fitted to any one set.
A twist's turn is put together from published motion times. So was everything else
a hand does, as a check: ``docs/validation.md`` says why only the turn was taken over.

What a rate means:

* ``seconds`` is an ordinary day's time for one operation, for one practised
  braider; ``per`` says what one operation is.
* A stitch takes a fixed time and a time that grows with the hair in hand
  (``stitch`` and ``stitch hair``), because a fine strand needs a flick of the
  fingers and a thick one a movement of both arms.
* ``by`` is who may do it: preparing the hair, detangling, washing and drying need no
  braider (common practice, no source). A house may say otherwise.
* ``spread`` is a standard deviation over the mean. For work on the strands it
  is that of the whole operation on one strand (all its stitches together):
  the stitches of one strand are not independent of each other.
"""

from __future__ import annotations

from types import MappingProxyType
from typing import Mapping

from ..meaning.model import By, House, Rate
from ..meaning.values import Origin
from ..plan.model import Given

DAY_SPREAD = 0.12
"""Spread (log standard deviation) of the factor a whole day shares: hair that
won't lie down, a tired hand, talk. Our own estimate: sources give bands like
"4 to 6 h" for one size, about plus or minus 20 %, and part of that is the size
itself, so an eighth or so is left for the day."""

CREW_CAP = 4
"""Braiders who can stand at one head. A report from a busy market names three or
four at one client (The Standard, Nairobi, "Why Kenyatta market is Nairobi's hair
capital")."""

CREW_EFFICIENCY = (1.0, 0.95, 0.90, 0.85)
"""Share of each braider's speed that is left when 1, 2, 3, 4 work on one head:
they wait for each other's parts and share the light. Our own estimate."""

CHILD_AGE_YEARS = 13.0
"""Under this age the child's breaks apply. Our own estimate."""

CHILD_BREAK_EVERY_S = 2700.0
"""A child sits three quarters of an hour at most without a break. Our own estimate."""

LAST_STRETCH_S, LAST_STRETCH_SHARE = 1200.0, 1 / 6
"""No break begins with less work than this to go: 20 min, or a sixth of a stretch where stretches are
short (a child's). Our own estimate: a break of a quarter of an hour then makes everyone later."""

Z80 = 0.8416212335729143
Z95 = 1.6448536269514722
"""80 % and 95 % quantiles of the standard normal distribution (its definition;
a test compares them with ``statistics.NormalDist``)."""


def _rate(operation: str, seconds: float, spread: float, per: str, why: str, ahead: bool = False,
          by: By = "braider") -> Rate:
    origin = Origin(kind="default", where=f"our own estimate: {why}")
    return Rate(operation=operation, seconds=seconds, spread=spread, per=per, ahead=ahead, by=by, origin=origin)


def _motions(operation: str, seconds: float, spread: float, per: str, why: str) -> Rate:
    origin = Origin(kind="source", where=f"MTM-1 motion times (Maynard, Stegemerten and Schwab, 1948), the list of motions "
                                         f"our own: {why}")
    return Rate(operation=operation, seconds=seconds, spread=spread, per=per, by="braider", origin=origin)


SHIPPED: tuple[Rate, ...] = (
    # preparation, which can be done the day before
    _rate("cut", 150, 0.20, "pack", "unwrap, fold, cut at the folds and tie off one pack: a few minutes", ahead=True, by="assistant"),
    _rate("stretch", 300, 0.25, "pack", "draw out the ends of a pack by small handfuls: five minutes", ahead=True, by="assistant"),
    _rate("brush", 120, 0.20, "pack", "brush a straight pack smooth: two minutes; curly hair is not brushed", ahead=True, by="assistant"),
    _rate("divide", 3, 0.25, "piece", "part one piece off the hank and judge its width", ahead=True, by="assistant"),
    _rate("load racks", 15, 0.25, "peg", "lay about ten pieces on one peg", ahead=True, by="assistant"),
    # arrival. A web guide says that coming washed and blown out saves 45 to 60 minutes.
    _rate("consult", 600, 0.30, "head", "ten minutes' talk: look, scalp, allergies, price"),
    # An old set: each strand is cut below the wearer's own ends, its root or knot opened, its own
    # hair unbraided with a tail comb and the shed hair drawn out. Accounts: half an hour to an hour
    # for a child's few plaits, 4 h for a head of mini twists that took 6.5 to 8 h to put in.
    _rate("take down", 20, 0.40, "strand", "cut the tail off, open the root, draw out the shed hair"),
    _rate("take down stitch", 0.35, 0.40, "stitch over own hair", "three stitches a second with a tail comb"),
    _rate("detangle", 900, 0.35, "head", "a quarter of an hour, section by section", by="assistant"),
    _rate("wash", 900, 0.20, "head", "two washes, condition, rinse, towel: a quarter of an hour", by="assistant"),
    _rate("blow-dry", 1200, 0.25, "head", "twenty minutes to dry and stretch", by="assistant"),
    # each section
    _rate("part", 6, 0.30, "section", "pick up the comb, clip the rest away, check the line"),
    _rate("part line", 0.30, 0.30, "mm of parting", "the comb draws about 3 mm of clean line a second; a section adds two sides"),
    _rate("start extension", 8, 0.30, "section", "lay one piece at the root, split it over three strands, set the grip"),
    _rate("start extension width", 1.4, 0.30, "mm of width", "more hair to split and smooth: 18 s in all at a pencil"),
    _rate("start own hair first", 10, 0.30, "section", "divide in three, set the grip at the root"),
    _rate("start own hair only", 10, 0.30, "section", "divide in three, set the grip at the root"),
    _rate("start knotted", 9, 0.30, "section", "fold a piece, wrap it round the root, anchor it, set the grip"),
    _rate("start knotted width", 1.6, 0.30, "mm of width", "more hair to wrap and smooth: 20 s in all at a pencil"),
    # each strand. A finger taps at most five or six times a second (from memory) and the two hands
    # take turns, so the two crossings of a stitch can't take less than 0.2 to 0.4 s: 0.3 s. What is
    # added grows with the hair in hand, and that goes with the width squared (a strand twice as wide
    # holds four times the hair): 0.4 s in all at 2.5 mm, 0.6 s at 4 mm, 1.1 s at a pencil (7 mm),
    # 3.7 s at 14 mm, where every crossing is a movement of both arms that drags its hair along.
    _rate("stitch", 0.3, 0.15, "stitch", "two crossings at the fingers' own pace"),
    _rate("stitch hair", 0.0171, 0.15, "stitch and mm² of width", "the hair in hand grows with the width squared"),
    # A turn of a twist is two half turns, and in each both legs are rolled and then change hands. Fine legs: two
    # regrasps (5.6 TMU each, 0.036 s a TMU) a half turn, and once a turn the pull that keeps them taut (3.4): 25.8.
    # Legs as thick as a pencil (a twist 10.8 mm wide): 86.1. Five per cent are added for slips, and between the
    # two it goes with the width squared. tests/validation/motion_study.py has the list.
    _motions("twist", 0.975, 0.15, "turn", "both legs rolled and swapped between the fingertips, twice"),
    _motions("twist hair", 0.0194, 0.15, "turn and mm² of width", "thick legs are turned, let go, reached for, carried over, drawn tight"),
    _rate("pick up", 3, 0.25, "stitch on the scalp", "divide a little hair off the scalp and smooth it in: as long as dividing a piece"),
    _rate("feed in", 6, 0.30, "piece", "draw a piece off the peg, lay it under the rotation, blend its ends"),
    _rate("accent", 9, 0.30, "piece", "draw off a curly piece, lay it in, draw its end out, clip it away"),
    _rate("ornament", 6, 0.35, "ornament", "thread one on a beader or close one round the strand"),
    # each strand's end
    _rate("knot", 4, 0.30, "strand", "take up the end and draw the knot down"),
    _rate("knot turn", 1.2, 0.30, "turn", "pass the end round once"),
    _rate("heat seal", 6, 0.30, "strand", "pick up the iron, tap twice, let it cool"),
    _rate("dip", 5, 0.40, "strand", "ends are dipped and dried in bunches"),
    _rate("curl rods", 30, 0.30, "strand", "wind one end on a rod and fasten it"),
    _rate("band", 8, 0.30, "strand", "wind on one small band"),
    _rate("tuck", 10, 0.30, "strand", "hide the end with a latch hook or a pin"),
    _rate("trim", 3, 0.30, "strand", "snip the stray ends"),
    # the whole head
    _rate("consult refresh", 300, 0.30, "head", "five minutes' look at roots, edges and scalp before anything is opened"),
    _rate("finish refresh", 300, 0.30, "head", "smooth the front and seal it: five minutes"),
    _rate("finish head", 900, 0.30, "head", "trim to a line, mousse, smooth flyaways, check, explain the aftercare"),
)

OPERATIONS: frozenset[str] = frozenset(rate.operation for rate in SHIPPED)
_SHIPPED: Mapping[str, Rate] = MappingProxyType({rate.operation: rate for rate in SHIPPED})

PREPARATION = ("cut", "stretch", "brush", "divide", "load racks")
"""The operations that may be done ahead; for the others ``Rate.ahead`` has no meaning."""

REFRESH_ZONES = ("temples", "hairline")
"""What a front refresh takes out and braids anew: the edges grow out first and show most.
Common practice, no source."""

REFRESH_ROW_ZONES = ("temples", "hairline", "top")
"""The same where they are scalp rows: a row over the top begins at the front and is braided anew whole.
Common practice, no source."""

REFRESH_LEAST_MIN = 30.0
"""Minutes charged at the least for a visit of its own. Our own estimate: less isn't worth the chair."""

REFRESH_WEEKS = (3, 4)
"""Weeks after which the front is refreshed. Common practice, no source."""


def rates_for(house: House) -> dict[str, Rate]:
    """Every operation's rate: the house's own where it has set one, else the shipped estimate."""
    rates = dict(_SHIPPED)
    for rate in house.rates:
        shipped = _SHIPPED.get(rate.operation)
        if shipped is None:
            continue
        # A line of a house file gives seconds, spread and perhaps who; what one operation is stays as shipped.
        changed: dict[str, object] = {"by": rate.by or shipped.by}
        if rate.per == "operation":
            changed |= {"per": shipped.per, "ahead": shipped.ahead}
        rates[rate.operation] = rate.model_copy(update=changed)
    return rates


def ahead(rates: Mapping[str, Rate], operation: str) -> bool:
    """Whether this operation is done before the wearer comes."""
    return operation in PREPARATION and rates[operation].ahead


def as_input(rate: Rate) -> Given:
    """The rate as a figure's input, with where it comes from."""
    # Shipped rates are most of the inputs of a clock, and building them was a third of its time.
    if _SHIPPED.get(rate.operation) is rate:
        return _SHIPPED_INPUTS[rate.operation]
    return Given(value=rate.seconds, unit=f"s per {rate.per}", origin=rate.origin)


_SHIPPED_INPUTS: Mapping[str, Given] = MappingProxyType({
    rate.operation: Given(value=rate.seconds, unit=f"s per {rate.per}", origin=rate.origin) for rate in SHIPPED})
