"""A look, its wearer, a house and their plan, built by hand: the numbers are plausible, not computed.

``sample()`` gives a knotless look with loose curls on fine hair; its arguments
change one thing at a time (sections, findings, zones with other techniques,
hostile words in every field).
"""

from __future__ import annotations

import math
from decimal import Decimal
from pathlib import Path
from typing import NamedTuple

from plaitbook.meaning.model import (
    Accent, BlendPart, EndStep, Feed, Grid, Hair, HairUse, House, Ornament, Parting, Pieces, Product,
    Recipe, SealingWindow, Start, Taken, Wearer, Wearing, ZONES, ZoneLook,
)
from plaitbook.meaning.values import Measure, Origin
from plaitbook.plan.model import (
    AccentAt, Checkpoint, CutLine, FeedIn, Figure, Finding, Given, HairLine, Head, Load, LoadAt,
    Material, OrnamentLine, Plan, Quote, QuoteLine, RackLine, Sections, Stage, Strand,
    StrandKind, Timing, WidthAt,
)

RECIPE = Origin(kind="recipe", where="recipe line 4", file="saltmarsh.plait", line=4)
HOUSE = Origin(kind="house", where="house line 2", file="house.plait", line=2)
WEARER = Origin(kind="wearer", where='wearer "Ines" line 3', file="wearers.plait", line=3)


class Sample(NamedTuple):
    plan: Plan
    recipe: Recipe
    wearer: Wearer
    house: House


def m(value: float, text: str, origin: Origin = RECIPE) -> Measure:
    return Measure(value=value, text=text, origin=origin)


def _sections(count: int) -> Sections:
    """A grid that was laid once for a head of 54.8 cm and kept: 60, 120 or 150 sections."""
    return Sections.model_validate_json((Path(__file__).parent / f"sections-{count}.json").read_text())


def _kind(id: int, zone: str, technique: str, sections: tuple[int, ...], accents: bool = True) -> StrandKind:
    pitch, stitches = 5.6, 77
    feeds = (FeedIn(stitch=0, at_mm=0, role="base", pieces=1, held_mm=3.5),) + tuple(
        FeedIn(stitch=s, at_mm=s * pitch, role="base", pieces=1, held_mm=3.5, part=0.5 if s == 24 else 1.0)
        for s in (3, 7, 13, 24))
    curls = tuple(AccentAt(stitch=s, at_mm=s * pitch, role="curls", count=1, held_mm=1.75,
                           side="left" if i % 2 else "right") for i, s in enumerate(range(3, stitches, 9)))
    return StrandKind(
        id=id, zone=zone, technique=technique, tightness="ordinary", sections=sections, hairs=1180,
        length_mm=431.8, stitches=stitches, pitch_mm=pitch, length_ratio=1.31, width_mm=6.9, width_min_mm=6.2,
        width_max_mm=7.4, target_mm=7.0,
        profile=tuple(WidthAt(stitch=s, at_mm=s * pitch, width_mm=7 - 0.4 * math.sin(s / 6) - s * 0.006,
                              own_share=max(0.0, 0.45 - s * 0.008)) for s in range(stitches + 1)),
        feed_ins=feeds if technique != "row" else feeds[1:], accents=curls if accents else (),
        own_ends_stitch=52, reach_mm=470, added_g=3.9, own_g=0.9,
        pieces=(("base", 4.5), ("curls", 9.0)) if accents else (("base", 4.5),),
    )


def findings(count: int) -> tuple[Finding, ...]:
    some = (
        Finding(code="PB101", severity="stop", message="The hairline is fragile and this look carries added hair there.",
                reason="The edges have the finest hairs and lose them first.",
                source="Akingbola & Vyas, Traction alopecia: a neglected entity in 2017, Indian J Dermatol (2017)",
                fix="Leave the edges out: `hairline left out`.", file="saltmarsh.plait", line=9,
                allowed_because="Edges stay out; only the second row is worked. Agreed with the wearer."),
        Finding(code="PB203", severity="warn", message="Base hair softens at 150 °C; the seal at 177 °C is for a moment's touch on the tip only.",
                reason="Modacrylic softens below its sealing window.", source="common practice, no source",
                fix="Touch the knot for one second, never the length."),
        Finding(code="PB301", severity="ask", message="Has the scalp been sore, flaking or broken lately?",
                reason="Not asked yet.", source="our own estimate"),
        Finding(code="PB302", severity="ask", message="Any reaction to added hair before?", reason="Not asked yet.",
                source="our own estimate"),
        Finding(code="PB120", severity="note", message="The heaviest strand hangs 4.1 mN on each own hair, wet 6.9.",
                reason="Ranked by weight over hairs.", source="our own estimate"),
    )
    return tuple(some[i % len(some)].model_copy(update={"code": f"PB{100 + i}"}) if i >= len(some) else some[i]
                 for i in range(count))


def sample(*, sections: int = 60, found: int = 5, units: str = "inch", paper: str = "letter", techniques: bool = False,
           words: str | None = None, name: str | None = None, ornaments: bool = False) -> Sample:
    """``words`` goes into every field that a person fills; ``name`` only into names."""
    said = (lambda text: words) if words is not None else (lambda text: text)
    named = (lambda text: name) if name is not None else said
    grid = Grid(shape="brick", height_mm=m(19.05, "¾ in"), group=1, origin=RECIPE)
    start = Start(kind="extension", pieces=Pieces(count=1, role=named("base"), held_mm=m(3.5, "½ pencil"), origin=RECIPE), origin=RECIPE)
    feed = Feed(kind="hold", pieces=start.pieces, width_mm=m(7, "7 mm"), origin=RECIPE)
    accent = Accent(every=9, first=3, pieces=Pieces(count=1, role=named("curls"), held_mm=m(1.75, "¼ pencil"), origin=RECIPE),
                    side="alternate", stagger=True, origin=RECIPE)
    end = (
        EndStep(kind="knot", turns=5, origin=RECIPE),
        EndStep(kind="heat seal", temperature_c=m(176.6667, "350 °F"), seconds=m(1, "1 s"), origin=RECIPE),
        EndStep(kind="leave curls loose", origin=RECIPE),
        EndStep(kind="trim", origin=RECIPE),
    ) + ((EndStep(kind="ornaments", ornament=named("Pewter cuff"), ornament_count=2, origin=RECIPE),) if ornaments else ())

    def technique(zone: str) -> str:
        if not techniques:
            return "plait"
        return {"nape": "plait", "back": "plait", "crown": "twist", "top": "row", "hairline": "row"}.get(zone, "plait")

    looks = tuple(ZoneLook(zone=z, technique=technique(z), tightness="relaxed" if z == "hairline" else "ordinary", grid=grid,
                           wearing=Wearing(length_mm=m(431.8, "17 in"), origin=RECIPE), start=start, feeds=(feed,),
                           accents=(accent,), end=end) for z in ZONES)
    dune = Hair(name=named("Dune"), kind="plain", fibre="modacrylic", colours=(said("wet sand"),), pack_g=m(165, "165 g"),
                flat_mm=m(1320.8, "52 in"), styling_ceiling_c=m(150, "150 °C"),
                sealing=SealingWindow(low_c=176.6667, high_c=198.8889, origin=RECIPE), hot_water="allowed",
                density_g_cm3=m(1.35, "1.35"), price=Decimal("6.50"), currency="USD", demo=True, origin=RECIPE)
    curl = Hair(name=named("Dune Curl"), kind="curly", fibre="modacrylic", colours=(said("wet sand"),), pack_g=m(100, "100 g"),
                flat_mm=m(457.2, "18 in"), worn_mm=m(355.6, "14 in"), hot_water="never", density_g_cm3=m(1.35, "1.35"),
                price=Decimal("9.00"), currency="USD", demo=True, origin=RECIPE)
    recipe = Recipe(
        name=named("Saltmarsh"), version=3, summary=said("Knotless plaits, loose curls from cheekbone down."), zones=looks,
        parting=Parting(kind="centre", origin=RECIPE),
        hairs=(
            HairUse(role=named("base"), parts=(BlendPart(hair=dune.name, colour=said("wet sand"), share=1.0),), kind="plain",
                    cut_mm=m(660.4, "26 in"), fold=0.5, pulled_mm=m(100, "4 in"), origin=RECIPE),
            HairUse(role=named("curls"), parts=(BlendPart(hair=curl.name, colour=said("wet sand"), share=1.0),), kind="curly",
                    cut_mm=m(457.2, "18 in"), fold=0.5, pulled_mm=m(0, "0 in"), origin=RECIPE),
        ),
        catalogue=(dune, curl),
        ornaments=(Ornament(name=named("Pewter cuff"), kind="cuff", mass_g=m(0.9, "0.9 g"), origin=RECIPE),) if ornaments else (),
        products=(Product(name=said("light mousse"), mass_g=m(20, "20 g"), origin=RECIPE), Product(name=said("edge cream"), origin=RECIPE)),
        choices=(("size", "medium"), ("length", "mid back")),
        taken=(Taken(what=said("strand is fine"), sets=(said("start pieces ½ pencil"),), by="when", origin=RECIPE),),
        demo=True, origin=RECIPE,
    )
    wearer = Wearer(
        name=named("Ines"), demo=True, strand="fine", strand_um=m(58, "58 µm", WEARER), density="medium",
        density_cm2=m(180, "180 /cm²", WEARER), texture="straight", own_mm=m(280, "11 in", WEARER), layers_mm=m(50, "2 in", WEARER),
        circumference_mm=m(548, "54.8 cm", WEARER), edges="fragile", allergies=(), origin=WEARER,
    )
    house = House(
        name=named("Tern & Tide"), demo=True, currency="USD", units=units, paper=paper, labour_per_hour=Decimal("45"),
        pencil_mm=m(7, "7 mm", HOUSE), break_s=m(900, "15 min", HOUSE), break_every_s=m(7200, "2 h", HOUSE), start_clock="09:30",
        note=said("Ring the bell twice; park behind the bakery."), origin=HOUSE,
    )
    placed = _sections(sections)
    kinds = []
    for i, zone in enumerate(ZONES, 1):
        numbers = tuple(s.number for s in placed.items if s.zone == zone)
        kinds.append(_kind(i, zone, technique(zone), numbers, accents=zone != "hairline"))
    if not techniques:
        whole = tuple(s.number for s in placed.items if s.zone != "hairline")
        kinds = [_kind(1, "back", "plait", whole), _kind(2, "hairline", "plait", kinds[-1].sections, accents=False)]
    kind_of = {n: k for k in kinds for n in k.sections}
    strands = tuple(Strand(section=s.number, kind=kind_of[s.number].id, stitches=kind_of[s.number].stitches, width_mm=6.9,
                           feed_ins=kind_of[s.number].feed_ins, accents=kind_of[s.number].accents) for s in placed.items)
    base_pieces, curl_pieces = math.ceil(sections * 4.5), sections * 8
    material = Material(
        hair=(
            HairLine(name=dune.name, roles=(named("base"),), colour=said("wet sand"), pieces=math.ceil(base_pieces * 1.1),
                     pieces_used=base_pieces, grams=222.4 * sections / 60, worn_grams=204 * sections / 60,
                     packs_used=1.348 * sections / 60, packs_to_buy=math.ceil(1.5 * sections / 60), pack_g=165),
            HairLine(name=curl.name, roles=(named("curls"),), colour=said("wet sand"), pieces=math.ceil(curl_pieces * 1.1),
                     pieces_used=curl_pieces, grams=203 * sections / 60, worn_grams=190 * sections / 60,
                     packs_used=2.03 * sections / 60, packs_to_buy=math.ceil(2.2 * sections / 60), pack_g=100, in_stock=1.5),
        ),
        cuts=(
            CutLine(hair=dune.name, role=named("base"), cut_mm=660.4, cuts_per_length=2, offcut_mm=0, fold=0.5, pulled_mm=100,
                    held_mm=3.5, pieces=math.ceil(base_pieces * 1.1), text="fold in two, cut at the fold"),
            CutLine(hair=curl.name, role=named("curls"), cut_mm=457.2, cuts_per_length=1, offcut_mm=0, fold=0.5, pulled_mm=0,
                    held_mm=1.75, pieces=math.ceil(curl_pieces * 1.1), text="leave whole"),
        ),
        racks=(
            RackLine(role=named("base"), held_mm=3.5, pieces=math.ceil(base_pieces * 1.1), pegs=20, per_peg=10, reloads=1),
            RackLine(role=named("curls"), held_mm=1.75, pieces=math.ceil(curl_pieces * 1.1), pegs=20, per_peg=10, reloads=2),
        ),
        ornaments=(OrnamentLine(name=named("Pewter cuff"), kind="cuff", count=sections * 2, grams=sections * 1.8),) if ornaments else (),
        added_worn_g=394 * sections / 60, own_g=52,
    )
    worst = tuple(LoadAt(section=i + 1, zone="nape", dry_mn=4.1 - i * 0.1, wet_mn=6.9 - i * 0.1, own_mn=0.9) for i in range(5))
    edges = [z.sections for z in placed.zones]
    done, marks = 0, []
    for zone, n in zip(ZONES, edges):
        done += n
        minutes = 35 + 245 * done / sections
        hours, rest = divmod(round(9 * 60 + 30 + minutes), 60)
        marks.append(Checkpoint(minutes=minutes, sections=done, zone=zone, clock=f"{hours:02d}:{rest:02d}"))
    timing = Timing(
        median_minutes=290, p80_minutes=325, p95_minutes=352, ahead_minutes=55, break_minutes=30, braiders=1,
        stages=(
            Stage(name="Cut, stretch and load", minutes=55, when="ahead"), Stage(name="Consult and brush out", minutes=20, when="chair"),
            Stage(name="Part the head", minutes=25, when="chair"), Stage(name="Braid", minutes=195, when="chair"),
            Stage(name="Finish the ends", minutes=20, when="chair"), Stage(name="Breaks", minutes=30, when="chair"),
        ),
        checkpoints=tuple(marks),
    )
    quote = Quote(
        currency="USD", lines=(QuoteLine(label="Hair", amount=Decimal("40.00")), QuoteLine(label="Consumables", amount=Decimal("8.00")),
                               QuoteLine(label="Labour", amount=Decimal("217.50"), note="4 h 50 at 45")),
        tax=Decimal("22.57"), total=Decimal("290.00"), deposit=Decimal("72.50"),
    )
    figure = Figure(key="sections.count", label="Sections", value=sections, how="words", formula="sections laid", inputs={
        "height": Given(value=19.05, unit="mm", origin=RECIPE)}, source="our own estimate")
    found_list = findings(found)
    if words is not None:
        found_list = tuple(f.model_copy(update={k: words for k in ("message", "reason", "source", "fix")}
                                        | ({"allowed_because": words} if f.allowed_because else {})) for f in found_list)
    plan = Plan(
        head=Head(edition=1, recipe=recipe.name, version=3, summary=recipe.summary, file="saltmarsh.plait", wearer=wearer.name,
                  house=house.name, choices=recipe.choices, adaptations=(said("strand is fine: start pieces ½ pencil"),), demo=True,
                  compiler="plaitbook 0.1.0"),
        sections=placed, strand_kinds=tuple(kinds), strands=strands, material=material,
        load=Load(worst=worst, median_mn=3.2, hairline_median_mn=2.1, added_to_own=7.6), timing=timing, quote=quote,
        findings=found_list, figures={"sections.count": figure},
    )
    if words is not None or name is not None:
        plan = _renamed(plan, named)
    return Sample(plan, recipe, wearer, house)


def _renamed(plan: Plan, named) -> Plan:
    """Roles in the strands follow the renamed roles."""
    def strand(s):
        return s.model_copy(update={
            "feed_ins": tuple(f.model_copy(update={"role": named("base")}) for f in s.feed_ins),
            "accents": tuple(a.model_copy(update={"role": named("curls")}) for a in s.accents)})

    kinds = tuple(strand(k).model_copy(update={"pieces": tuple((named(r), n) for r, n in k.pieces)}) for k in plan.strand_kinds)
    return plan.model_copy(update={"strand_kinds": kinds, "strands": tuple(strand(s) for s in plan.strands)})
