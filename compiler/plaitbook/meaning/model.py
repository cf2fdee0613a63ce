"""What a book means once names, units, inheritance and choices are settled.

These models are what the passes read. Nothing here knows how a recipe is
spelled. Lengths are millimetres, masses grams, times seconds, temperatures
degrees Celsius (see :mod:`plaitbook.meaning.values`).
"""

# Annotations are evaluated here: as text, pydantic would have to read every field's again at a cold start.

from decimal import Decimal
from typing import Literal

from .values import Frozen, Measure, Origin

ZONES = ("nape", "back", "crown", "sides", "temples", "top", "hairline")
"""The parts of a head, in the order they are usually worked: nape up, edges last.

``hairline`` (also called the edges) is the front band from temple to temple.
"""

Zone = Literal["nape", "back", "crown", "sides", "temples", "top", "hairline"]
Technique = Literal["plait", "twist", "row"]
Tightness = Literal["relaxed", "ordinary", "firm"]
Shape = Literal["square", "brick", "rectangle", "triangle", "diamond", "rows"]
RowDirection = Literal["straight back", "to left", "to right", "up to bun"]


# --- the catalogue ---------------------------------------------------------


class SealingWindow(Frozen):
    """Temperatures at which a moment's contact fuses the tip; not a styling temperature."""

    low_c: float
    high_c: float
    origin: Origin


class Hair(Frozen):
    """One hair of the catalogue, as a pack of it is bought."""

    name: str
    kind: Literal["plain", "curly"]
    fibre: Literal[
        "modacrylic", "pvc", "polyester", "pbt", "nylon", "polypropylene", "acrylic", "human", "plant"
    ]
    colours: tuple[str, ...] = ()
    pack_g: Measure
    """Net mass of hair in one pack."""
    flat_mm: Measure
    """Length of a fibre laid out flat, unfolded, as it comes out of the pack."""
    label_mm: Measure | None = None
    worn_mm: Measure | None = None
    """Curly hair: the length at which a piece of the label's length hangs."""
    ends: Literal["blunt", "tapered"] = "blunt"
    styling_ceiling_c: Measure | None = None
    sealing: SealingWindow | None = None
    hot_water: Literal["allowed", "never", "unknown"] = "unknown"
    density_g_cm3: Measure
    price: Decimal | None = None
    currency: str | None = None
    coated: Literal["yes", "no", "unknown"] = "unknown"
    substitutes: tuple[str, ...] = ()
    """Hairs that may stand in when this one is out."""
    demo: bool = False
    origin: Origin


class Ornament(Frozen):
    """A bead, cuff, ring, shell or cord that is threaded on a finished strand."""

    name: str
    kind: Literal["bead", "cuff", "ring", "shell", "cord"]
    bore_mm: Measure | None = None
    length_mm: Measure | None = None
    mass_g: Measure
    price: Decimal | None = None
    currency: str | None = None
    origin: Origin


# --- the recipe, settled for one card -------------------------------------


class BlendPart(Frozen):
    """One hair of a blend; ``share`` is by mass and the shares of a blend sum to 1."""

    hair: str
    colour: str | None = None
    share: float


class Shade(Frozen):
    """From this stitch on, pieces of the role are of another colour."""

    from_stitch: int
    colour: str
    origin: Origin


class HairUse(Frozen):
    """A role that hair plays in the look ("base", "curls"): what it is and how it is cut."""

    role: str
    parts: tuple[BlendPart, ...]
    kind: Literal["plain", "curly"]
    cut_mm: Measure
    """The piece unfolded."""
    fold: float
    """Where the piece is folded, as a share of its length: 0.5 middle, 0 not folded."""
    pulled_mm: Measure
    """How far the ends are pulled apart when stretching, so that they taper; 0 for blunt."""
    shades: tuple[Shade, ...] = ()
    """Root-to-end shading, by rising stitch; before the first, the role's own colour."""
    origin: Origin


class Pieces(Frozen):
    """Pieces taken together: ``count`` of them, each held to ``held_mm`` wide."""

    count: int
    role: str
    held_mm: Measure
    """Width of the piece as held between the fingers, both legs of the fold together."""
    origin: Origin


class Grid(Frozen):
    """How one zone is parted.

    Either ``height_mm`` (with ``width_mm``) or ``count`` is given. Zones that
    share one written grid share its ``group``; a count is for the whole group.
    """

    shape: Shape
    height_mm: Measure | None = None
    """Size measured down the head; for rows, the width of one row."""
    width_mm: Measure | None = None
    """Size measured round the head; None means as ``height_mm``."""
    count: int | None = None
    direction: RowDirection = "straight back"
    group: int = 0
    origin: Origin


class Wearing(Frozen):
    """Finished length from the strand's own root, or the landmark where all strands end."""

    length_mm: Measure | None = None
    level: Literal["chin", "shoulder", "armpit", "mid back", "waist", "hip"] | None = None
    origin: Origin


class Start(Frozen):
    """How a strand begins: with an extension, on own hair first, or knotted."""

    kind: Literal["extension", "own hair first", "own hair only", "knotted"]
    own_mm: Measure | None = None
    pieces: Pieces | None = None
    origin: Origin


class Feed(Frozen):
    """One line of the feed-in schedule.

    ``hold`` and ``until`` ask for a width and leave the stitches to the
    solver; ``at`` names stitches; ``every`` repeats from ``first`` to ``last``
    (None: to the end).
    """

    kind: Literal["hold", "until", "at", "every"]
    pieces: Pieces
    width_mm: Measure | None = None
    stitches: tuple[int, ...] = ()
    every: int | None = None
    first: int = 1
    last: int | None = None
    origin: Origin


class Accent(Frozen):
    """Curly pieces or ornaments set along a strand."""

    every: int | None = None
    stitches: tuple[int, ...] = ()
    first: int = 1
    last: int | None = None
    pieces: Pieces | None = None
    ornament: str | None = None
    ornament_count: int = 0
    side: Literal["alternate", "left", "right", "both", "front"] = "alternate"
    stagger: bool = False
    """Shift the first stitch between neighbours, so that accents don't line up."""
    origin: Origin


EndKind = Literal[
    "knot", "heat seal", "dip", "curl rods", "ornaments", "band", "tuck", "leave loose",
    "leave curls loose", "trim",
]


class EndStep(Frozen):
    """One step of finishing a strand's end. Which fields are filled depends on ``kind``."""

    kind: EndKind
    turns: int | None = None
    temperature_c: Measure | None = None
    seconds: Measure | None = None
    length_mm: Measure | None = None
    """How much of the end: dipped, or wound on a rod of ``rod_mm``."""
    rod_mm: Measure | None = None
    ornament: str | None = None
    ornament_count: int = 0
    origin: Origin


class ZoneLook(Frozen):
    """Everything the recipe says of one zone, complete: no pass looks anything up."""

    zone: Zone
    left_out: bool = False
    technique: Technique
    tightness: Tightness
    grid: Grid
    wearing: Wearing
    start: Start
    feeds: tuple[Feed, ...] = ()
    accents: tuple[Accent, ...] = ()
    end: tuple[EndStep, ...] = ()


class Parting(Frozen):
    """The line that divides the hair in front of the crown."""

    kind: Literal["centre", "side", "off-centre", "none"] = "centre"
    side: Literal["left", "right"] | None = None
    """The wearer's own left or right."""
    offset_mm: Measure | None = None
    zigzag: bool = False
    origin: Origin


class Product(Frozen):
    """A finishing product as the recipe names it, with what one head takes if stated."""

    name: str
    mass_g: Measure | None = None
    origin: Origin


class Taken(Frozen):
    """A choice or an adaptation that shaped this card."""

    what: str
    """Such as ``size = medium`` or ``strand is fine``."""
    sets: tuple[str, ...]
    """In words, what it set: ``width 5 mm``."""
    by: Literal["choice", "when", "pick"]
    origin: Origin


class Expectation(Frozen):
    """A clause of the recipe's own tests."""

    figure: str
    low: float | None = None
    high: float | None = None
    text: str
    wearer: str | None = None
    house: str | None = None
    origin: Origin
    dimension: str | None = None
    """What the bounds were written in: a dimension, ``money EUR``, or empty for plain numbers.
    None: they are in the figure's own unit."""


class Allowance(Frozen):
    """A written reason to go on in spite of a stop."""

    code: str
    reason: str
    origin: Origin


class Recipe(Frozen):
    """A look settled for one card: inheritance, choices, adaptations and picks applied."""

    name: str
    version: int = 1
    summary: str = ""
    based_on: tuple[str, ...] = ()
    """Names of the looks it was built on, nearest first."""
    zones: tuple[ZoneLook, ...]
    """One for each zone, in the order of :data:`ZONES`."""
    parting: Parting
    mirrored: bool = True
    order: Literal["nape up", "front back", "left to right", "right to left"] = "nape up"
    hairs: tuple[HairUse, ...]
    catalogue: tuple[Hair, ...]
    """The catalogue's hairs that ``hairs`` names."""
    ornaments: tuple[Ornament, ...] = ()
    products: tuple[Product, ...] = ()
    choices: tuple[tuple[str, str], ...] = ()
    """(choice, option taken)."""
    taken: tuple[Taken, ...] = ()
    undone: tuple[str, ...] = ()
    """Sentences: each pick that undid an adaptation."""
    expects: tuple[Expectation, ...] = ()
    allows: tuple[Allowance, ...] = ()
    notes: tuple[str, ...] = ()
    swapped: tuple[tuple[str, str], ...] = ()
    """(hair, what stands in for it on this card)."""
    demo: bool = False
    origin: Origin

    def zone(self, name: str) -> ZoneLook:
        """The look of one zone. Raises KeyError for a name that is no zone."""
        for look in self.zones:
            if look.zone == name:
                return look
        raise KeyError(name)

    def role(self, name: str) -> HairUse:
        """The hair that plays a role. Raises KeyError for an unknown role."""
        for use in self.hairs:
            if use.role == name:
                return use
        raise KeyError(name)

    def hair(self, name: str) -> Hair:
        """A hair of the catalogue by name. Raises KeyError if the look doesn't use it."""
        for hair in self.catalogue:
            if hair.name == name:
                return hair
        raise KeyError(name)


# --- the wearer ------------------------------------------------------------


class OldSet(Frozen):
    """The set a wearer comes in: how many strands, and how wide if that is known."""

    strands: int
    width_mm: Measure | None = None
    origin: Origin


class Wearer(Frozen):
    """The person in the chair. ``None`` means unknown; unknown safety facts become questions."""

    name: str
    demo: bool = False
    age_years: Measure | None = None
    sex: Literal["female", "male"] | None = None
    """Used only to choose the anthropometric table for what was not measured."""

    strand: Literal["fine", "medium", "coarse"] | None = None
    strand_um: Measure
    """Shaft diameter in micrometres (equal-area)."""
    density: Literal["sparse", "medium", "dense"] | None = None
    density_cm2: Measure
    texture: Literal["straight", "wavy", "curly", "coily"] | None = None
    own_mm: Measure
    """Length of own hair, stretched straight."""
    growth_mm: Measure | None = None
    """Growth since own hair was measured; ``own_hair_mm`` counts it in."""
    own_by_zone: tuple[tuple[Zone, Measure], ...] = ()
    layers_mm: Measure
    """How much shorter the shortest layer is than the longest; 0 is one length."""

    circumference_mm: Measure | None = None
    ear_to_ear_mm: Measure | None = None
    """Over the crown, from the notch above one ear's flap (tragion) to the other's."""
    hairline_to_nape_mm: Measure | None = None
    head_length_mm: Measure | None = None
    head_breadth_mm: Measure | None = None
    hairline: Literal["ordinary", "low", "high", "receding"] | None = None

    edges: Literal["healthy", "thin", "fragile"] | None = None
    scalp: Literal["healthy", "dry", "flaking", "sore", "broken", "infected"] | None = None
    allergies: tuple[str, ...] | None = None
    """Empty: asked, and none. None: not asked."""
    reacts_to_added_hair: bool | None = None
    patch_test: Literal["clear", "reacted", "not done"] | None = None
    chemical: Literal["none", "relaxer", "bleach", "colour", "perm"] | None = None
    chemical_weeks: Measure | None = None
    """Weeks since that service."""
    shedding: Literal["ordinary", "heavy"] | None = None
    tender: bool | None = None
    past_breakage: bool | None = None
    rest_weeks: Measure | None = None
    """Weeks since the last set came down."""
    arrives: Literal["washed and dried", "washed", "unwashed", "in an old set"] | None = None
    old_set: OldSet | None = None
    """The set that is to be taken down, where she has told of it."""
    sits_s: Measure | None = None
    """Longest sit without a break."""
    brings: tuple[tuple[str, float], ...] = ()
    """(hair, packs) the wearer brings along."""
    note: str = ""
    allows: tuple[Allowance, ...] = ()
    origin: Origin

    def own_hair_mm(self, zone: str) -> Measure:
        """Own length in one zone, growth counted in: the zone's own value if it was given."""
        own = dict(self.own_by_zone).get(zone, self.own_mm)  # type: ignore[call-overload]
        if self.growth_mm is None:
            return own
        return Measure(value=own.value + self.growth_mm.value, text=f"{own.text} and {self.growth_mm.text} grown",
                       origin=self.growth_mm.origin)


# --- the house -------------------------------------------------------------


By = Literal["braider", "assistant"]
"""Who may do an operation: only a braider, or an assistant as well."""


class Rate(Frozen):
    """How long one operation takes: a mean in seconds and a spread as a share of it."""

    operation: str
    seconds: float
    spread: float
    """Standard deviation over mean."""
    per: str
    """What one operation is: ``stitch``, ``piece``, ``section``, ``head``, ``pack``, ``peg``."""
    ahead: bool = False
    """May be done the day before, without the wearer."""
    by: By | None = None
    """Who may do it; None where a house's line doesn't say, and then it is as shipped."""
    origin: Origin


class Braider(Frozen):
    """One of the house's braiders, as far as the clock cares."""

    name: str
    speed: Measure
    """Share of an ordinary practised braider's speed: 1.1 is a tenth faster."""
    arrives_clock: str | None = None
    """``HH:MM``; None is there from the start."""
    sets: int | None = None
    """Sets done so far, for a trainee whose speed follows from them."""
    origin: Origin


class House(Frozen):
    """The salon's own habits: money, units, racks, breaks and rates."""

    name: str
    demo: bool = False
    currency: str = "USD"
    units: Literal["inch", "metric"] = "metric"
    paper: Literal["letter", "a4", "half"] = "a4"
    hand: Literal["right", "left"] = "right"
    language: Literal["english", "french", "spanish", "portuguese"] = "english"
    """Of what is printed; what a person wrote prints as it was written."""
    labour_per_hour: Decimal
    overhead: Decimal = Decimal("0")
    """Share added to labour and hair."""
    tax: Decimal = Decimal("0")
    tax_included: bool = False
    round_to: Decimal | None = None
    deposit: Decimal | None = None
    """Share of the total."""
    deposit_amount: Decimal | None = None
    """A flat deposit, where the house asks the same of everyone."""
    discount: Decimal = Decimal("0")
    consumables: Decimal = Decimal("0")
    """Charged once a head."""
    hair_by: Literal["pack", "gram"] = "pack"
    spare: float = 0.1
    """Spare hair bought, as a share of what is used."""
    pencil_mm: Measure
    pencil_g_m: Measure | None = None
    """Mass of a metre of a piece one pencil wide, where the house has weighed its own."""
    length_ratio: Measure | None = None
    """Hair over finished braid, where the house has measured its own."""
    braiders: int = 1
    rack_pegs: int = 20
    pieces_per_peg: int = 10
    break_s: Measure
    break_every_s: Measure
    start_clock: str | None = None
    """``HH:MM`` when the service begins, if known."""
    load_limit_mn: Measure | None = None
    added_limit_g: Measure | None = None
    rates: tuple[Rate, ...] = ()
    """Only the rates the house has set itself; the rest are the shipped estimates."""
    stock: tuple[tuple[str, float], ...] = ()
    """(hair, packs on the shelf)."""
    pack_weights: tuple[tuple[str, Measure], ...] = ()
    """(hair, grams) where this house's packs weigh other than the catalogue says."""
    prices: tuple[tuple[str, Decimal], ...] = ()
    """(hair or ornament, price) where this house pays other than the catalogue says, in its own currency."""
    logo: str = ""
    """An image for the card's head, a PNG or JPEG file of the book; empty for none."""
    template: str = ""
    """The house's own card template, a file of the book; empty for ours."""
    note: str = ""
    origin: Origin
    crew: tuple[Braider, ...] = ()
    """The braiders by name; fewer names than ``braiders`` leaves the rest ordinary."""
