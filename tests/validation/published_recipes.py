"""Turning a published row's words into a recipe: sizes, lengths and packs, each chosen once.

Sources name a size, not a measure. The tables here say what a name is taken
to mean and who says so. They were written down from the sources' words, after a
first look at six sizes and before any row was compiled, and not moved since. Lengths are inches where
the source has inches.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache

from plaitbook import Request, compile_recipe
from plaitbook.plan.model import Plan


@dataclass(frozen=True)
class Size:
    """What a size name is taken to mean: the side of the part and the width of the braid, mm."""

    part_mm: float
    width_mm: float
    why: str


SIZES: dict[str, Size] = {
    "micro": Size(12, 3, "part under ½ in ('How to use braid extensions', web magazine); braid 'tiny' (a salon's 'Box "
                  "braids – everything you need to know'): no thinner than the part's own hair, which plaits to 2.8 mm"),
    "small": Size(16, 4, "part between micro and medium: ⅝ in, our own estimate; braid thinner than the next size up"),
    "smedium": Size(19, 5, "'medium-size part, slightly less hair' and 'thicker than spaghetti, thinner than a "
                    "pencil' ('Smedium v small', web guide): between 2 and 7 mm"),
    "medium": Size(25, 7, "braid like a pencil or pen (the same salon page): 7 mm; part 1 in, common practice, no source"),
    "large": Size(32, 10, "braid like a marker (the same salon page): about 10 mm across, from memory; part 1¼ in, the "
                  "round size whose count is within the 50 to 100 thick braids of a hair lexicon ('Rastazöpfe')"),
    "jumbo": Size(51, 16, "braid like a jumbo marker (the same salon page): about 16 mm, from memory; part 2 in, "
                  "common practice, no source"),
}

LENGTHS: dict[str, tuple[float, str]] = {
    "bob": (10, "common practice, no source"),
    "shoulder": (12, "common practice, no source"),
    "mid back": (18, "folded hair of 20 to 26 in is needed for it (a lifestyle site); taken where no length is named"),
    "long": (24, "between mid back and waist, our own estimate"),
    "waist": (27, "finished 24 to 30 in (a web guide): the middle"),
    "hip": (29, "two inches below the waist, our own estimate"),
    "tailbone": (32, "five inches below the waist, our own estimate"),
}

LOOSE_FROM_IN = 1.5
"""How far a micro braid is plaited where its ends are left loose, in. A braiding salon's page ('Micro styles'): plaited
about an inch, knotted, then the hair falls free. A blog ('Tight micros and lesson learned'): about an inch and a half.
A newspaper on a braider's customer ('Give me a head of hair', 2002): micro braids with the ends loose. The longer of
the two lengths is taken. A question page ('What are micro braids styles?') has both: plaited to the ends, or loose."""


@dataclass(frozen=True)
class Pack:
    """A kind of pack: grams (with bounds), flat length and the length of a cut piece, in."""

    grams: float
    low_g: float
    high_g: float
    flat_in: float
    cut_in: float
    why: str
    known: bool = True
    published: bool = True
    """A source states the grams of such a pack; where it doesn't, they are from memory or guessed."""


LONG = Pack(165, 165, 165, 82, 41, "large long pack: 165 g, 82 in flat, cut in half (from memory: the usual such pack)",
            published=False)
ORDINARY = Pack(90, 80, 100, 48, 48, "ordinary pack: 80 to 100 g (weighed in the blog 'How I got my braids, part 3'), "
                "24 in folded, 48 in flat")
LABEL_25 = Pack(90, 80, 100, 50, 36, "ordinary pack of 80 to 100 g, 25 in folded, cut to 18 in: 36 in flat")
LABEL_20 = Pack(90, 80, 100, 40, 40, "ordinary pack of 80 to 100 g, 20 in folded")
UNKNOWN = Pack(90, 80, 165, 48, 48, "unknown pack; shown as if it were an ordinary one", known=False, published=False)


@dataclass(frozen=True)
class Look:
    """What one row says, with what had to be added to make it a recipe."""

    size: str = "medium"
    length: str | float = "mid back"
    pack: Pack = ORDINARY
    technique: str = "plait"
    start: str = "knotted"
    braiders: int = 1
    count: int | None = None
    rows: int | None = None
    """Scalp rows over the whole head, straight back."""
    front_rows: int | None = None
    """Scalp rows in front only (Fulani)."""
    curls: bool = False
    """One curly piece at the top and one part-way down."""
    arrives: str = "washed and dried"
    age: int = 30
    own_in: float = 6
    circumference_cm: float | None = None
    thinner: float = 1.0
    """A factor on the braid's width; used once, to see what a misfit hangs on. Never in a scored figure."""

    loose_from_in: float | None = None
    """Plaited so far and knotted, the hair below left loose."""
    part_mm: float | None = None
    """A part's side that is not the size's own; for the table of counts by part."""

    def at_width(self, factor: float) -> Look:
        return replace(self, thinner=factor)

    @property
    def length_in(self) -> float:
        return LENGTHS[self.length][0] if isinstance(self.length, str) else self.length

    def assumed(self) -> str:
        """What was fed in, in short."""
        size = SIZES[self.size]
        if self.rows:
            parts = [f"{self.rows} rows"]
        elif self.count:
            parts = [f"{self.count} sections"]
        else:
            parts = [f"{size.part_mm:g} mm parts"]
        if self.front_rows:
            parts.append(f"{self.front_rows} front rows")
        loose = f"plaited {self.loose_from_in:g} in, then loose" if self.loose_from_in else f"{self.length_in:g} in"
        parts += [f"{size.width_mm:g} mm", loose]
        if self.braiders > 1:
            parts.append(f"{self.braiders} braiders")
        if self.curls:
            parts.append("2 curls each")
        return ", ".join(parts)


def recipe(look: Look) -> str:
    """A self-contained text. Pieces are half as wide as the braid, as half a pencil is for a pencil's width."""
    size, pack = SIZES[look.size], look.pack
    width = size.width_mm * look.thinner
    piece = width / 2
    first = f"1 piece of base {piece:g} mm"
    start = {"knotted": f"knotted, {first}", "extension": f"extension at root, {first}",
             "own first": f"own hair 1½ in first, then {first}"}[look.start]
    body = {"plait": "plait", "twist": "two-strand twist", "rows": "scalp rows"}[look.technique]
    if look.rows:
        grid = f"grid scalp rows straight back, {look.rows} rows"
    elif look.count:
        grid = f"grid square {look.count} sections"
    else:
        grid = f"grid square {look.part_mm or size.part_mm:g} mm"
    front = ""
    lines = ["edition 1", 'hair "Plain"', "kind plain", "fibre modacrylic", f"pack {pack.grams:g} g",
             f"flat {pack.flat_in:g} in", 'hair "Curl"', "kind curly", "fibre modacrylic", "pack 90 g", "flat 36 in",
             'wearer "Sitter"', f"age {look.age} years", "strand medium", "density medium",
             f"own hair {look.own_in:g} in", f"arrives {look.arrives}"]
    if look.circumference_cm:
        lines.append(f"circumference {look.circumference_cm:g} cm")
    lines += ['house "Chair"', f"braiders {look.braiders}", 'recipe "Row"', f"technique {body}, ordinary"]
    if look.front_rows:
        front = " in hairline, temples, top"
        lines.append("technique scalp rows, ordinary" + front)
    lines += [f"wearing {look.loose_from_in or look.length_in:g} in", "hair:",
              f'base: "Plain", cut {pack.cut_in:g} in, folded in the middle, ends pulled 4 in']
    if look.curls:
        lines.append('curls: "Curl", cut 36 in, folded in the middle')
    lines += ["sections:", grid]
    if look.front_rows:
        lines.append(f"grid scalp rows straight back, {look.front_rows} rows{front}")
    lines += [f"start: {start}", f"feed: pieces of base {piece:g} mm, hold width {width:g} mm"]
    if look.curls:
        lines.append("accents: at stitches 3 and 25: 1 piece of curls ¼ pencil")
    lines.append("end: knot 1 turn" if look.loose_from_in else "end: dip 80 °C for 10 s last 1 in")
    return "\n".join(lines) + "\n"


@lru_cache(maxsize=None)
def plan(look: Look) -> Plan:
    """The plan with the shipped constants and rates."""
    done = compile_recipe(recipe(look), "published.plait", Request(wearer="Sitter", house="Chair"))
    assert done.plan is not None, [(p.span.line, p.message, p.help) for p in done.problems]
    return done.plan


def grams(look: Look) -> float:
    """Plain hair used, g, off-cuts and shedding included."""
    return next(line.grams for line in plan(look).material.hair if line.name == "Plain")


def worn(look: Look) -> float:
    """Plain hair on the finished head, g."""
    return next(line.worn_grams for line in plan(look).material.hair if line.name == "Plain")


def packs_used(look: Look) -> float:
    return next(line.packs_used for line in plan(look).material.hair if line.name == "Plain")


def packs_to_buy(look: Look) -> int:
    return next(line.packs_to_buy for line in plan(look).material.hair if line.name == "Plain")


def hours(look: Look) -> float:
    """Median chair time, h, breaks included."""
    return plan(look).timing.median_minutes / 60


def sections(look: Look) -> int:
    return plan(look).sections.count
