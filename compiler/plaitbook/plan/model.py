"""The plan tree: what the passes found, read by the rules and printed by the cards.

The JSON form of :class:`Plan` is published (``plait schema``); renaming a
field is a change for users. Units stand in the field names.
"""

# Annotations are evaluated here: as text, pydantic would have to read every field's again at a cold start.

from decimal import Decimal
from typing import Literal

from pydantic import Field

from ..meaning.values import Frozen, Origin

Value = float | int | Decimal | str


class Given(Frozen):
    """An input that was not computed: its value, its unit and who says so."""

    value: Value
    unit: str = ""
    origin: Origin


class Figure(Frozen):
    """A computed number with its formula and inputs.

    ``formula`` is arithmetic over the names in ``inputs`` (``+ - * / **``,
    ``sqrt``, ``pi``, ``ceil``, ``floor``, ``round``, ``min``, ``max``,
    ``exp``, ``sum``) when ``how`` is ``formula``; anything else (a sum over sections, a
    search, a quantile) says in words what was done. An input that is a string
    is the key of another figure.
    """

    key: str
    label: str
    value: Value
    unit: str = ""
    how: Literal["formula", "words"] = "formula"
    formula: str
    inputs: dict[str, Given | str] = Field(default_factory=dict)
    source: str = ""
    """Published source, ``common practice, no source`` or ``our own estimate``."""


Point = tuple[float, float]


class Section(Frozen):
    """One section of the scalp. ``number`` is its place in the braid order, from 1."""

    number: int
    zone: str
    row: int
    """Row within its zone, from the zone's first worked row, counted from 1."""
    column: int
    side: Literal["left", "right", "middle"]
    area_cm2: float
    width_mm: float
    height_mm: float
    hairs: int
    centroid: tuple[float, float, float]
    """Point on the scalp, mm: x to the wearer's right, y forward, z up from the ear notches."""
    neighbours: tuple[int, ...] = ()
    outline: tuple[tuple[float, float], ...] = ()
    """Corners as (azimuth, polar angle) in radians on the head's parameter sphere."""


class RowGuide(Frozen):
    """What the comb is set by: one row of the parting guide."""

    zone: str
    row: int
    sections: tuple[int, ...]
    height_mm: float
    from_hairline_mm: float
    """Along the scalp from the hairline to the row's lower edge, at the zone's middle."""
    offset: Literal["none", "half"] = "none"
    note: str = ""
    from_last_mm: float = 0.0
    """Along the scalp from the last parting (or the zone's edge where its work begins) to the
    parting of this row, at the zone's middle; for scalp rows, across the row."""
    ear_mm: float = 0.0
    """The same at the row's end nearest the ear: with both the comb lies as drawn."""
    width_mm: float = 0.0
    """Mean width of the row's sections."""
    first_width_mm: float = 0.0
    """Width of the section the row begins with: bricks are set off by it."""


class ZoneSummary(Frozen):
    """One line of the zone table."""

    zone: str
    sections: int
    area_cm2: float
    rows: int
    mean_width_mm: float
    mean_height_mm: float
    left_out: bool = False
    asked_mm: tuple[float, float] | None = None
    """(height, width) that the grid asks for, or that its count comes to; None where left out."""
    asked_cm2: float | None = None
    """Area of a section of that size and shape; None for scalp rows."""


class HeadPlan(Frozen):
    """The head the grid was laid on."""

    semi_axes_mm: tuple[float, float, float]
    """Half breadth, half length, height above the ear notches."""
    circumference_mm: float
    ear_to_ear_mm: float
    hairline_to_nape_mm: float
    scalp_cm2: float
    hairline: tuple[tuple[float, float], ...]
    """(azimuth, polar angle) in radians, a closed ring."""
    measured: tuple[str, ...] = ()
    """Which measures were taken on the wearer; the rest are inferred."""


class Sections(Frozen):
    """The section grid on the head's surface."""

    count: int
    count_low: int
    count_high: int
    """The spread an unmeasured head leaves on the count; equal to ``count`` when measured."""
    head: HeadPlan
    items: tuple[Section, ...]
    zones: tuple[ZoneSummary, ...]
    rows: tuple[RowGuide, ...]
    parting: tuple[tuple[float, float], ...] = ()
    """The parting as (azimuth, polar angle), vertex to hairline; empty where there is none."""


class FeedIn(Frozen):
    """Pieces laid in at one stitch."""

    stitch: int
    """0 is before the first rotation (the start)."""
    at_mm: float
    """Along the finished strand from the root."""
    role: str
    pieces: int
    held_mm: float
    part: float = 1.0
    """Share of a full piece: 0.5 where a piece is split."""
    colour: str | None = None
    """Where the role is shaded from root to end: the colour here."""


class AccentAt(Frozen):
    """An accent at one stitch."""

    stitch: int
    at_mm: float
    role: str | None = None
    ornament: str | None = None
    count: int = 1
    held_mm: float = 0.0
    side: Literal["left", "right", "both", "front"] = "front"
    colour: str | None = None
    """Where the role is shaded from root to end: the colour here."""


class WidthAt(Frozen):
    """The strand at one stitch."""

    stitch: int
    at_mm: float
    width_mm: float
    own_share: float
    """Share of the mass here that is the wearer's own hair."""


class StrandKind(Frozen):
    """Strands that are worked the same way, described once."""

    id: int
    zone: str
    technique: Literal["plait", "twist", "row"]
    tightness: Literal["relaxed", "ordinary", "firm"]
    sections: tuple[int, ...]
    hairs: int
    """Own hairs in the typical section of this kind."""
    length_mm: float
    stitches: int
    pitch_mm: float
    """Finished length of one stitch."""
    length_ratio: float
    """Hair over finished strand, more than 1."""
    width_mm: float
    """Mean over the strand."""
    width_min_mm: float
    width_max_mm: float
    profile: tuple[WidthAt, ...]
    feed_ins: tuple[FeedIn, ...]
    accents: tuple[AccentAt, ...]
    own_ends_stitch: int
    """Stitch at which the wearer's longest own hair runs out; tuck it there."""
    reach_mm: float
    """Longest strand the added hair can reach."""
    added_g: float
    own_g: float
    pieces: tuple[tuple[str, float], ...]
    """(role, full pieces in one strand)."""
    target_mm: float | None = None
    """Width the recipe asked to hold or reach."""
    unmet: tuple[str, ...] = ()
    """Sentences: what the recipe asked of these strands that can't be had, why, and by how much."""
    portions: tuple[tuple[str, float, float], ...] = ()
    """(role, width held in mm, full pieces in one strand): the mean over the kind's strands."""
    ornaments: tuple[tuple[str, float], ...] = ()
    """(ornament, how many on one strand): the mean over the kind's strands."""
    trimmed_g: float = 0.0
    """Added hair of one strand that is cut off below its end."""
    largest_step_mm: float = 0.0
    """Greatest change of width between one stitch and the next."""
    shaded: tuple[tuple[str, float, str | None, float], ...] = ()
    """(role, width held in mm, colour, full pieces in one strand): ``portions`` split by shade;
    the colour is None where the role isn't shaded."""
    like: int = 0
    """The first kind worked just so (itself, or one of another zone): the figures
    ``strands.<like>.*`` stand for this kind too, but for ``strands.<id>.added_g``."""


class Strand(Frozen):
    """One strand of the head; shares its schedule with the rest of its kind."""

    section: int
    kind: int
    stitches: int
    width_mm: float
    feed_ins: tuple[FeedIn, ...]
    accents: tuple[AccentAt, ...]


class HairLine(Frozen):
    """One hair of the shopping list."""

    name: str
    roles: tuple[str, ...]
    colour: str | None = None
    pieces: int
    """Pieces to cut, spare included."""
    pieces_used: float
    grams: float
    """Hair in the finished set, off-cuts and shedding included."""
    worn_grams: float
    packs_used: float
    packs_to_buy: int
    pack_g: float
    in_stock: float = 0.0
    """Packs on the house's shelf that count towards this hair and colour."""
    brought: float = 0.0
    """Packs the wearer brings that count towards this hair and colour."""


class CutLine(Frozen):
    """How a pack is cut."""

    hair: str
    role: str
    cut_mm: float
    cuts_per_length: int
    """Pieces end to end in one flat length."""
    offcut_mm: float
    fold: float
    pulled_mm: float
    held_mm: float
    pieces: int
    text: str
    """The instruction: "fold in three, cut at the folds"."""
    colour: str | None = None
    """Where the role is shaded from root to end."""


class RackLine(Frozen):
    """Pieces of one size on the rack."""

    role: str
    held_mm: float
    pieces: int
    pegs: int
    per_peg: int
    reloads: int
    colour: str | None = None
    """Where the role is shaded from root to end."""


class OrnamentLine(Frozen):
    """Ornaments to lay out."""

    name: str
    kind: str
    count: int
    grams: float


class Material(Frozen):
    """Hair and ornaments: what to buy, cut and load."""

    hair: tuple[HairLine, ...]
    cuts: tuple[CutLine, ...]
    racks: tuple[RackLine, ...]
    ornaments: tuple[OrnamentLine, ...] = ()
    added_worn_g: float
    """All added hair and ornaments on the head, dry."""
    own_g: float
    """The wearer's own hair over the worked sections, dry."""


class Stage(Frozen):
    """One stage of the service."""

    name: str
    minutes: float
    when: Literal["ahead", "chair", "later"]
    """``later`` is another visit, weeks after: not part of the chair time."""
    note: str = ""


class Checkpoint(Frozen):
    """Where the work should stand: ``sections`` of the whole by ``minutes``."""

    minutes: float
    """Of chair time, breaks included."""
    sections: int
    zone: str
    clock: str | None = None


class CrewStretch(Frozen):
    """One braider's work in one zone without a change of zone."""

    zone: str
    sections: tuple[int, ...]
    begins: float
    """Minutes of chair time, breaks included."""
    ends: float


class CrewLane(Frozen):
    """One braider's own list, in the order of the work."""

    braider: str
    speed: float
    """Of an ordinary practised braider, working alone."""
    joins: float
    """Minute of chair time at which the braider begins on the strands."""
    leaves: float
    sections: tuple[int, ...]
    stretches: tuple[CrewStretch, ...]
    checkpoints: tuple[Checkpoint, ...] = ()
    """Of this braider's own sections."""


class Timing(Frozen):
    """How long, and by when what."""

    median_minutes: float
    p80_minutes: float
    p95_minutes: float
    ahead_minutes: float
    """Preparation that can be done before the wearer comes."""
    break_minutes: float
    braiders: int
    stages: tuple[Stage, ...]
    checkpoints: tuple[Checkpoint, ...]
    breaks: tuple[tuple[float, float], ...] = ()
    """(minute of chair time at which it begins, minutes) of each break on an ordinary day."""
    crew: "tuple[CrewLane, ...]" = ()
    """Who works which sections, where more than one works; empty for one braider."""
    crew_minutes: float = 0.0
    """Minutes of all braiders together in the chair time, breaks included."""
    later_minutes: float = 0.0
    """The front refresh, weeks later; 0 where the look has no front."""
    later_hair: tuple[float, ...] = ()
    """Of each line of the material's hair, the share that the front refresh takes anew."""


class QuoteLine(Frozen):
    """One line of the quote."""

    label: str
    amount: Decimal
    note: str = ""


class Quote(Frozen):
    """What it costs, in the house's currency (ISO 4217)."""

    currency: str
    lines: tuple[QuoteLine, ...]
    tax: Decimal
    total: Decimal
    deposit: Decimal | None = None
    later: tuple[QuoteLine, ...] = ()
    """What another visit weeks later will cost, tax included; not part of the total."""
    unpriced: tuple[str, ...] = ()
    """Hair and ornaments without a price in this currency: the total is without them."""


class LoadAt(Frozen):
    """Weight carried by each own hair of a section, hanging at rest."""

    section: int
    zone: str
    dry_mn: float
    wet_mn: float
    own_mn: float
    """What the same hair would carry of itself, unbraided."""


class Load(Frozen):
    """Load, ranked worst first. No published safe limit exists, so none is implied."""

    worst: tuple[LoadAt, ...]
    median_mn: float
    hairline_median_mn: float | None = None
    added_to_own: float
    """Added mass over the mass of the wearer's own hair."""


class Filled(Frozen):
    """What stands in for one name in braces in a rule's words, in a form that any language can say."""

    name: str
    """As it stands between the braces."""
    kind: Literal["measure", "words", "zones", "sections", "text", "phrase"]
    """``words`` are words of a fact, ``phrase`` our own English, ``text`` somebody's own words."""
    low: float = 0.0
    high: float = 0.0
    """Of a measure, in its fixed unit; alike where it is one number."""
    unit: str = ""
    style: str = ""
    words: tuple[str, ...] = ()
    numbers: tuple[int, ...] = ()


class Finding(Frozen):
    """What a rule found."""

    code: str
    severity: Literal["stop", "warn", "note", "ask"]
    message: str
    reason: str
    source: str
    fix: str = ""
    file: str = ""
    line: int = 0
    allowed_because: str | None = None
    """The written reason, where a stop was overridden."""
    template: str = ""
    """The message with its figures still in braces, so that a card can say it in another language."""
    fix_template: str = ""
    filled: tuple[Filled, ...] = ()
    """What stands in the braces of ``template`` and ``fix_template``."""


class Seal(Frozen):
    """The hashes of what a plan was made from (SHA-256, hexadecimal), and each in syllables to be read aloud."""

    look: str
    """Of the look: the recipe with all it inherits, the catalogue's entries and the rules it uses, by meaning."""
    plan: str
    """Of the look with the choices taken, the wearer, the house and its rates."""
    look_aloud: str
    plan_aloud: str


class Head(Frozen):
    """Who and what the plan is for."""

    edition: int
    recipe: str
    version: int
    summary: str
    file: str
    wearer: str
    house: str
    choices: tuple[tuple[str, str], ...] = ()
    picked: tuple[str, ...] = ()
    """Choices that somebody picked for this card; the others were taken as the look has them."""
    swapped: tuple[tuple[str, str], ...] = ()
    """(hair, what stands in for it on this card)."""
    adaptations: tuple[str, ...] = ()
    demo: bool = False
    compiler: str
    seal: Seal | None = None
    """None where the plan was not made from a book's look as it stands, as in trying what else would fit."""


class Plan(Frozen):
    """Everything a card says."""

    head: Head
    sections: Sections
    strand_kinds: tuple[StrandKind, ...]
    strands: tuple[Strand, ...]
    material: Material
    load: Load
    timing: Timing
    quote: Quote
    findings: tuple[Finding, ...]
    figures: dict[str, Figure]
