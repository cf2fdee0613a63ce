"""Published packs, hours and counts beside what the compiler says, with its shipped constants.

Nothing is fitted here. ``python tests/validation/published.py`` prints the
tables of docs/validation.md, "Published packs, hours, counts". The rows and their sources are in
``published_rows``; what a size name, a length or a pack is taken to mean is
in ``published_recipes``.
"""

from __future__ import annotations

from dataclasses import replace
from statistics import geometric_mean, median
from typing import Callable, Iterable, NamedTuple

from published_recipes import (
    LENGTHS, LONG, LOOSE_FROM_IN, SIZES, Look, grams, hours, packs_to_buy, packs_used, plan, sections, worn,
)
from published_rows import HOURS, LEFT_OUT, PACKS, Row

NEAR = 0.25
"""A prediction this share from the middle of a band still counts as right."""
BADLY = 0.50
"""From here a miss has to be explained."""


# --- one row ------------------------------------------------------------------


def packs(row: Row) -> float:
    """Packs as the source counts them: bought (with the spare) or used."""
    return float(packs_to_buy(row.look)) if row.bought else packs_used(row.look)


def error(row: Row, value: float) -> float:
    """Relative error against the middle of the published band."""
    return value / ((row.low + row.high) / 2) - 1


def inside(row: Row, value: float) -> bool:
    return row.low <= value <= row.high


def right(row: Row, value: float) -> bool:
    return inside(row, value) or abs(error(row, value)) <= NEAR


def scored(rows: Iterable[Row]) -> list[Row]:
    return [row for row in rows if row.scored]


def pack_errors() -> list[float]:
    return [error(row, packs(row)) for row in scored(PACKS)]


def published_grams() -> list[Row]:
    """The scored pack rows whose kind of pack has been weighed in public."""
    return [row for row in scored(PACKS) if row.look.pack.published]


def bands_held() -> tuple[int, int]:
    """Pack rows that give a band, scored or not: inside it, and in all."""
    rows = [row for row in PACKS if row.low != row.high]
    return sum(inside(row, packs(row)) for row in rows), len(rows)


def share_right(rows: list[Row]) -> tuple[int, int]:
    return sum(right(row, hours(row.look)) for row in rows), len(rows)


def one_chair() -> list[Row]:
    """Scored rows of one braider: told, or taken where the source doesn't say."""
    return [row for row in scored(HOURS) if row.look.braiders == 1]


def usable() -> list[Row]:
    """Rows of one braider that tell how large the strands are: what a prediction needs."""
    return [row for row in one_chair() if row.sized and row.crew_told]


def unsized() -> list[Row]:
    """Rows of one braider that don't: medium, or what the style's name suggests, was taken."""
    return [row for row in one_chair() if not row.sized and row.crew_told]


def uncounted() -> list[Row]:
    """Rows that don't tell how many braided: one was taken."""
    return [row for row in one_chair() if not row.crew_told]


def most_right(rows: list[Row]) -> int:
    """How many rows could be right at the most: rows with the same words make the same recipe, and it has one time."""
    alike: dict[Look, list[Row]] = {}
    for row in rows:
        alike.setdefault(row.look, []).append(row)
    return sum(max(sum(right(row, tenth / 10) for row in same) for tenth in range(1, 300)) for same in alike.values())


def concordant(rows: list[Row], value: Callable[[Row], float]) -> tuple[int, int]:
    """Pairs of rows that the sources put in a clear order (bands apart) and the prediction in the same."""
    same = pairs = 0
    for i, a in enumerate(rows):
        for b in rows[i + 1:]:
            low, high = (a, b) if a.high < b.low else (b, a)
            if low.high < high.low and value(a) != value(b):
                pairs += 1
                same += value(low) < value(high)
    return same, pairs


# --- counts ----------------------------------------------------------------------

PARTS_IN = (0.47, 0.5, 0.625, 0.75, 0.875, 1.0, 1.25, 1.5, 2.0)


class Count(NamedTuple):
    """A published count of sections and the look it belongs to."""

    says: str
    low: int
    high: int
    grade: str
    source: str
    look: Look
    note: str = ""


LEXICON = "German hair lexicon, 'Rastazöpfe'"
COUNTS: tuple[Count, ...] = (
    Count("thick: 50 to 100", 50, 100, "D", LEXICON, Look("large"), "the part was chosen with this band in view"),
    Count("medium: up to 150", 100, 150, "D", LEXICON, Look("medium"), "lower end: where 'thick' stops"),
    Count("very fine: over 200", 200, 10**6, "D", LEXICON, Look("small")),
    Count("very fine: over 200", 200, 10**6, "D", LEXICON, Look("micro")),
    Count("micro: 150 to over 400", 150, 450, "D", "web guide, 'How long does it take to get micro braids?'", Look("micro")),
    Count("box, adult: at least about 100", 90, 10**6, "D", "web guide, 'How to braid box braids'", Look("medium"), "'about': 90"),
    Count("European fine hair: 100 to 300", 100, 300, "D", "student paper on African braids", Look("small")),
    Count("child, small: 80, counted", 80, 80, "C", "blog, 'First box braids'", Look("small", age=7), "a 'smallish' braid"),
    Count("child, bigger: at most 50, a wish", 35, 50, "C", "blog, 'More box braids'", Look("medium", age=7)),
    Count("child, bigger: at most 50, a wish", 35, 50, "C", "blog, 'More box braids'", Look("large", age=7)),
    Count("own-hair twists, medium to large: 30 to 55", 30, 55, "C", "blog on keeping twists, 2010", Look("large")),
    Count("own-hair twists, fine hair: about 90", 80, 100, "C", "blog, 2011", Look("medium"), "size not told"),
)


def count_rows() -> list[tuple[float, int, int, int]]:
    """(part in inches, sections, low, high) for square parts on an unmeasured adult head."""
    found = []
    for part in PARTS_IN:
        laid = plan(_square(part)).sections
        found.append((part, laid.count, laid.count_low, laid.count_high))
    return found


def _square(part_in: float) -> Look:
    return Look("medium", "bob", LONG, part_mm=part_in * 25.4)


# --- tables --------------------------------------------------------------------------


def _band(row: Row) -> str:
    if row.low == 0:
        return f"≤ {row.high:g}"
    return f"{row.low:g}" if row.low == row.high else f"{row.low:g}–{row.high:g}"


def _table(head: str, lines: Iterable[str]) -> str:
    columns = [part.strip() for part in head.split("|")]
    return "\n".join(["| " + " | ".join(columns) + " |", "|" + " --- |" * len(columns), *lines])


def size_table() -> str:
    return _table("size | part | width | why", (
        f"| {name} | {s.part_mm:g} mm | {s.width_mm:g} mm | {s.why} |" for name, s in SIZES.items()))


def length_table() -> str:
    return _table("word | finished | why", (f"| {name} | {inches:g} in, {inches * 25.4:.0f} mm | {why} |" for name, (inches, why) in LENGTHS.items()))


def pack_table() -> str:
    def line(row: Row) -> str:
        value, pack = packs(row), row.look.pack
        off = error(row, value)
        verdict = ("inside" if inside(row, value) else f"{off:+.0%}") if row.scored else (
            f"not scored: {row.note or 'web guide'}" + ("" if inside(row, value) else f" ({off:+.0%})"))
        kind = "unknown" if not pack.known else f"{pack.grams:g} g, {pack.flat_in:g} in flat"
        return (f"| {row.id} | {row.says} | {row.grade} | {row.look.assumed()}; {sections(row.look)} strands | {kind} "
                f"| {_band(row)}{' bought' if row.bought else ''} | {value:.1f} | {worn(row.look):.0f} g | {verdict} | {row.source} |")
    return _table("row | published | grade | recipe | pack | packs | predicted | worn | error | source", map(line, PACKS))


def hours_table(rows: Iterable[Row]) -> str:
    def line(row: Row) -> str:
        value = hours(row.look)
        verdict = "inside" if inside(row, value) else ("near" if right(row, value) else "**miss**") + f", {error(row, value):+.0%}"
        return (f"| {row.id} | {row.says} | {row.grade} | {row.look.assumed()}; {sections(row.look)} strands | {_band(row)} "
                f"| {value:.1f} | {verdict} | {row.source}{'; ' + row.note if row.note else ''} |")
    return _table("row | published | grade | recipe | hours | predicted | verdict | source", map(line, rows))


def grid_table() -> str:
    return _table("part | sections | unmeasured head", (
        f"| {part:g} in, {part * 25.4:.0f} mm | {count} | {low}–{high} |" for part, count, low, high in count_rows()))


def count_table() -> str:
    def line(row: Count) -> str:
        laid = plan(row.look).sections
        top = "and more" if row.high >= 10**6 else f"–{row.high}"
        band = f"{row.low}" if row.low == row.high else f"{row.low}{top if top[0] == '–' else ' ' + top}"
        if row.low <= laid.count <= row.high:
            verdict = "inside"
        else:
            edge = row.low if laid.count < row.low else row.high
            touches = laid.count_low <= row.high and laid.count_high >= row.low
            verdict = f"**miss**, {laid.count / edge - 1:+.0%} from the nearer end" + (" (the head's spread reaches it)" if touches else "")
        return (f"| {row.says} | {row.grade} | {row.look.size}, {SIZES[row.look.size].part_mm:g} mm | {band} | {laid.count} "
                f"({laid.count_low}–{laid.count_high}) | {verdict} | {row.source}{'; ' + row.note if row.note else ''} |")
    return _table("published | grade | part | count | predicted | verdict | source", map(line, COUNTS))


def order_table() -> str:
    head = "size | " + " | ".join(f"{name}" for name in ("bob", "mid back", "waist"))
    def line(size: str) -> str:
        looks = [Look(size, length, LONG) for length in ("bob", "mid back", "waist")]
        return f"| {size} | " + " | ".join(f"{grams(look):.0f} g, {hours(look):.1f} h" for look in looks) + " |"
    return _table(head, map(line, SIZES))


def width_table() -> str:
    """What the misfit of packs hangs on. Nothing here was taken over."""
    def line(factor: float) -> str:
        off = [error(row, (packs_to_buy if row.bought else packs_used)(row.look.at_width(factor))) for row in scored(PACKS)]
        long = [e for row, e in zip(scored(PACKS), off) if row.look.pack is LONG]
        other = [e for row, e in zip(scored(PACKS), off) if row.look.pack is not LONG]
        return (f"| {factor:g} | {median(abs(e) for e in off):.0%} | {geometric_mean(1 + e for e in long):.2f} "
                f"| {geometric_mean(1 + e for e in other):.2f} |")
    return _table("widths times | median absolute error | predicted over published, long packs | the same, ordinary packs",
                  map(line, (0.6, 0.8, 1.0, 1.25, 1.5)))


def at_pencil() -> list[tuple[Row, float]]:
    """Every scored pack row on the same sections, but as a pencil-wide braid; (row, packs)."""
    looks = [(row, row.look.at_width(7 / SIZES[row.look.size].width_mm)) for row in scored(PACKS)]
    return [(row, float(packs_to_buy(look)) if row.bought else packs_used(look)) for row, look in looks]


def pencil_table() -> str:
    """What the misfit looks like if the name goes with the part alone. Not scored."""
    found = at_pencil()
    middle = median(abs(error(row, value)) for row, value in found)
    return _table("row | published | predicted | error", (
        *(f"| {row.id} | {_band(row)}{' bought' if row.bought else ''} | {value:.1f} | {error(row, value):+.0%} |" for row, value in found),
        f"| median absolute error | | | {middle:.0%} |"))


def per_strand() -> list[tuple[Row, float, float]]:
    """Every scored pack row with its grams of opened packs for each strand: (row, published, predicted)."""
    found = []
    for row in scored(PACKS):
        each = row.look.pack.grams / sections(row.look)
        found.append((row, (row.low + row.high) / 2 * each, packs(row) * each))
    return found


def per_strand_table() -> str:
    """The same misfit strand by strand: whether hair goes with the size's name at all."""
    return _table("row | size by name | strands | published, g a strand | predicted", (
        f"| {row.id} | {row.look.size}, {SIZES[row.look.size].width_mm:g} mm | {sections(row.look)}"
        f"{'' if row.look.count else ' (ours)'} | {told:.1f} | {ours:.1f} |"
        for row, told, ours in sorted(per_strand(), key=lambda found: SIZES[found[0].look.size].width_mm)))


def strand_table() -> str:
    """Where a strand's seconds go, by size; mid back, one braider."""
    def line(size: str) -> str:
        look = Look(size)
        each = {stage.name: stage.minutes * 60 / sections(look) for stage in plan(look).timing.stages}
        return (f"| {size} | {sections(look)} | {plan(look).strand_kinds[0].stitches} | {each['work the strands']:.0f} s "
                f"| {sum(each[name] for name in ('part the sections', 'start the strands', 'feed in', 'finish the ends')):.0f} s | {hours(look):.1f} h |")
    return _table("size | strands | stitches in one | stitching one | the rest of one | whole set", map(line, SIZES))


def micro_table() -> str:
    """The two readings of a micro set beside the guides' hours."""
    def line(row: Row) -> str:
        ends = hours(row.look)
        loose = hours(replace(row.look, loose_from_in=LOOSE_FROM_IN))
        return (f"| {row.id} | {sections(row.look)} | {_band(row)} | {ends:.1f}, {error(row, ends):+.0%} "
                f"| {loose:.1f}, {'inside' if inside(row, loose) else format(error(row, loose), '+.0%')} |")
    return _table("row | strands | hours | plaited to the ends | plaited 1½ in, then loose",
                  map(line, (row for row in HOURS if row.look.size == "micro")))


def left_out_table() -> str:
    return _table("row | published | why it is left out", (f"| {a} | {b} | {c} |" for a, b, c in LEFT_OUT))


def summary() -> str:
    off = pack_errors()
    all_rows, chair = scored(HOURS), one_chair()
    (a, n), (b, m), (c, k), (d, o), (e, p) = map(share_right, (all_rows, chair, usable(), unsized(), uncounted()))
    held, bands = bands_held()
    (same_u, pairs_u), (same_h, pairs_h) = (concordant(rows, lambda row: hours(row.look)) for rows in (usable(), chair))
    return "\n".join((
        f"- Packs: {len(published_grams())} rows whose pack grams are published ("
        f"{', '.join(row.id for row in published_grams())}), {len(off) - len(published_grams())} more with grams from memory. "
        f"Over all {len(off)}: median absolute error {median(map(abs, off)):.0%}; "
        f"predicted over published, geometric mean {geometric_mean(1 + e for e in off):.2f}.",
        f"- Packs, rows that give a band: {held} of {bands} inside.",
        f"- Hours, one braider and the size told: right for {c} of {k} rows ({c / k:.0%}).",
        f"- Hours, one braider, no size: {d} of {o} ({d / o:.0%}); no prediction could have more than {most_right(unsized())}.",
        f"- Hours, number of braiders not told: {e} of {p} ({e / p:.0%}); no prediction could have more than {most_right(uncounted())}.",
        f"- Hours, all rows of one chair: {b} of {m} ({b / m:.0%}); with several braiders: {a - b} of {n - m}.",
        f"- Order between rows: hours, usable rows {same_u} of {pairs_u} clear pairs, all of one chair {same_h} of {pairs_h}.",
    ))


if __name__ == "__main__":
    for title, text in (
        ("Sizes", size_table()), ("Lengths", length_table()), ("Summary", summary()),
        ("Packs", pack_table()), ("Packs and widths", width_table()),
        ("Packs at a pencil's width", pencil_table()), ("Packs by the strand", per_strand_table()), ("Seconds by strand", strand_table()), ("Micro sets", micro_table()),
        ("Hours, one braider, size told", hours_table(usable())), ("Hours, one braider, no size", hours_table(unsized())),
        ("Hours, number of braiders not told", hours_table(uncounted())),
        ("Hours, several braiders", hours_table(row for row in scored(HOURS) if row.look.braiders > 1)),
        ("Hours, shown only", hours_table(row for row in HOURS if not row.scored)),
        ("Counts by part", grid_table()), ("Counts by name", count_table()), ("Sizes and lengths", order_table()),
        ("Left out", left_out_table()),
    ):
        print(f"## {title}\n\n{text}\n")
