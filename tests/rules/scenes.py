"""A whole scene built by hand: one look, wearer, house and plan, to be bent one fact at a time.

Everything is invented. The wearer is well and every question is answered, so
the plain scene finds nothing but the notes that every set gets.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from plaitbook.meaning.model import (
    ZONES, BlendPart, EndStep, Grid, Hair, HairUse, House, Ornament, Parting, Recipe, SealingWindow, Start, Wearer,
    Wearing, ZoneLook,
)
from plaitbook.meaning.values import Measure, Origin
from plaitbook.plan.model import (
    AccentAt, CutLine, FeedIn, HairLine, HeadPlan, Load, LoadAt, Material, OrnamentLine, RackLine, Section, Sections,
    StrandKind, WidthAt, ZoneSummary,
)
from plaitbook.passes.quote import price_service
from plaitbook.passes.timing import clock_service
from plaitbook.rules import Parts, Scene

LINE = Origin(kind="recipe", where="recipe line 12", file="look.plait", line=12)
SAYS = Origin(kind="wearer", where='wearer "Ines" line 4', file="people.plait", line=4)
HOUSE = Origin(kind="house", where='house "Harbour" line 2', file="house.plait", line=2)
HAIR = Origin(kind="catalogue", where='hair "Dune" line 1', file="hair.plait", line=1)


def at(value: float, text: str = "", origin: Origin = LINE) -> Measure:
    return Measure(value=value, text=text or f"{value:g}", origin=origin)


def plain_hair(**changes: Any) -> Hair:
    values: dict[str, Any] = dict(
        name="Dune", kind="plain", fibre="modacrylic", pack_g=at(165), flat_mm=at(2083),
        styling_ceiling_c=at(120), sealing=SealingWindow(low_c=170, high_c=195, origin=HAIR), hot_water="allowed",
        density_g_cm3=at(1.3), price=Decimal("6.50"), coated="no", origin=HAIR)
    return Hair(**(values | changes))


def curly_hair(**changes: Any) -> Hair:
    values: dict[str, Any] = dict(
        name="Dune Curl", kind="curly", fibre="modacrylic", pack_g=at(100), flat_mm=at(914), worn_mm=at(356),
        styling_ceiling_c=at(120), sealing=SealingWindow(low_c=170, high_c=195, origin=HAIR), hot_water="never",
        density_g_cm3=at(1.3), price=Decimal("8.00"), coated="no", origin=HAIR)
    return Hair(**(values | changes))


def a_bead(**changes: Any) -> Ornament:
    values: dict[str, Any] = dict(name="Pip", kind="bead", bore_mm=at(9), length_mm=at(9), mass_g=at(0.4),
                                  price=Decimal("0.10"), origin=HAIR)
    return Ornament(**(values | changes))


def a_step(kind: str = "knot", **changes: Any) -> EndStep:
    return EndStep(kind=kind, origin=LINE, **changes)  # type: ignore[arg-type]


def a_look(zone: str, **changes: Any) -> ZoneLook:
    values: dict[str, Any] = dict(
        zone=zone, technique="plait", tightness="ordinary", grid=Grid(shape="brick", count=60, group=1, origin=LINE),
        wearing=Wearing(length_mm=at(432), origin=LINE), start=Start(kind="extension", origin=LINE),
        end=(a_step("knot", turns=4),))
    return ZoneLook(**(values | changes))


def a_wearer(**changes: Any) -> Wearer:
    values: dict[str, Any] = dict(
        name="Ines", age_years=at(31, "31 years", SAYS), strand="fine", strand_um=at(60, "60 µm", SAYS),
        density="medium", density_cm2=at(170, "170", SAYS), texture="straight", own_mm=at(250, "25 cm", SAYS),
        layers_mm=at(0), edges="healthy", scalp="healthy", allergies=(), reacts_to_added_hair=False,
        patch_test="clear", chemical="none", shedding="ordinary", tender=False, past_breakage=False,
        rest_weeks=at(6, "6 weeks", SAYS), arrives="washed and dried", origin=SAYS)
    return Wearer(**(values | changes))


def a_house(**changes: Any) -> House:
    values: dict[str, Any] = dict(
        name="Harbour", currency="USD", labour_per_hour=Decimal("32"), pencil_mm=at(7),
        break_s=at(600, "10 min", HOUSE), break_every_s=at(7200, "2 h", HOUSE), origin=HOUSE)
    return House(**(values | changes))


def scene(
    *,
    sections: int = 60,
    side_mm: float = 30.0,
    asked_cm2: float | None = None,
    width_mm: float = 7.0,
    length_mm: float = 432.0,
    hairs: int = 1400,
    accents: int = 8,
    accent_ornament: bool = False,
    feeds: int = 4,
    technique: str = "plait",
    zones: tuple[str, ...] = ZONES,
    look: dict[str, Any] | None = None,
    kind: dict[str, Any] | None = None,
    wearer: dict[str, Any] | None = None,
    house: dict[str, Any] | None = None,
    recipe: dict[str, Any] | None = None,
    hair: dict[str, Any] | None = None,
    curl: dict[str, Any] | None = None,
    bead: dict[str, Any] | None = None,
    load: dict[str, Any] | None = None,
    count: dict[str, Any] | None = None,
    packs: float = 1.3,
    curl_packs: float = 2.0,
    added_g: float = 2.5,
    order: tuple[str, ...] | None = None,
) -> Scene:
    """A scene of ``sections`` equal sections shared over ``zones``; the keyword groups replace fields."""
    pitch = width_mm * 0.83
    stitches = round(length_mm / pitch)
    zone_of = [zones[n * len(zones) // sections] for n in range(sections)] if order is None else list(order)
    items = tuple(
        Section(number=n + 1, zone=zone, row=1, column=n + 1, side="middle", area_cm2=side_mm**2 / 100,
                width_mm=side_mm, height_mm=side_mm, hairs=hairs, centroid=(0, 0, 100))
        for n, zone in enumerate(zone_of))
    kinds = []
    for number, zone in enumerate(dict.fromkeys(zone_of)):
        values: dict[str, Any] = dict(
            id=number, zone=zone, technique=technique, tightness="ordinary",
            sections=tuple(item.number for item in items if item.zone == zone), hairs=hairs, length_mm=length_mm,
            stitches=stitches, pitch_mm=pitch, length_ratio=1.3, width_mm=width_mm, width_min_mm=width_mm * 0.9,
            width_max_mm=width_mm * 1.1,
            profile=(WidthAt(stitch=stitches, at_mm=length_mm, width_mm=width_mm * 0.9, own_share=0.0),),
            feed_ins=tuple(FeedIn(stitch=n, at_mm=n * pitch, role="base", pieces=1, held_mm=3.5) for n in range(feeds + 1)),
            accents=tuple(
                AccentAt(stitch=3 + 9 * n, at_mm=(3 + 9 * n) * pitch, role=None if accent_ornament else "curls",
                         ornament="Pip" if accent_ornament else None, held_mm=1.8) for n in range(accents)),
            own_ends_stitch=round(250 / 1.3 / pitch), reach_mm=length_mm + 50, added_g=added_g, own_g=1.0,
            pieces=(("base", float(feeds + 1)),) + ((("curls", float(accents)),) if accents and not accent_ornament else ()))
        kinds.append(StrandKind(**(values | (kind or {}))))
    ornaments = (OrnamentLine(name="Pip", kind="bead", count=sections * accents, grams=sections * accents * 0.4),
                 ) if accent_ornament else ()
    looks = []
    for zone in ZONES:
        values = dict(look or {})
        if accent_ornament:
            from plaitbook.meaning.model import Accent
            values.setdefault("accents", (Accent(every=9, first=3, ornament="Pip", ornament_count=1, origin=LINE),))
        looks.append(a_look(zone, **values))
    a_recipe = Recipe(**(dict(
        name="Saltmarsh", zones=tuple(looks), parting=Parting(origin=LINE),
        hairs=(
            HairUse(role="base", parts=(BlendPart(hair="Dune", share=1.0),), kind="plain", cut_mm=at(1041), fold=0.5,
                    pulled_mm=at(50), origin=LINE),
            HairUse(role="curls", parts=(BlendPart(hair="Dune Curl", share=1.0),), kind="curly", cut_mm=at(914),
                    fold=0.5, pulled_mm=at(0), origin=LINE)),
        catalogue=(plain_hair(**(hair or {})), curly_hair(**(curl or {}))), ornaments=(a_bead(**(bead or {})),),
        origin=LINE) | (recipe or {})))
    pieces, curls = sections * (feeds + 1), 0 if accent_ornament else sections * accents
    material = Material(
        hair=(
            HairLine(name="Dune", roles=("base",), pieces=pieces, pieces_used=pieces, grams=165 * packs,
                     worn_grams=150 * packs, packs_used=packs, packs_to_buy=int(packs) + 1, pack_g=165),
            HairLine(name="Dune Curl", roles=("curls",), pieces=curls, pieces_used=curls, grams=100 * curl_packs,
                     worn_grams=95 * curl_packs, packs_used=curl_packs, packs_to_buy=int(curl_packs) + 1, pack_g=100)),
        cuts=(
            CutLine(hair="Dune", role="base", cut_mm=1041, cuts_per_length=2, offcut_mm=0, fold=0.5, pulled_mm=50,
                    held_mm=3.5, pieces=pieces, text=""),
            CutLine(hair="Dune Curl", role="curls", cut_mm=914, cuts_per_length=1, offcut_mm=0, fold=0.5, pulled_mm=0,
                    held_mm=1.8, pieces=curls, text="")),
        racks=(RackLine(role="base", held_mm=3.5, pieces=pieces, pegs=20, per_peg=10, reloads=1),),
        ornaments=ornaments, added_worn_g=added_g * sections, own_g=1.0 * sections)
    worst = tuple(LoadAt(section=item.number, zone=item.zone, dry_mn=0.05, wet_mn=0.09, own_mn=0.03) for item in items)
    a_load = Load(**(dict(worst=worst, median_mn=0.05, hairline_median_mn=0.04, added_to_own=1.5) | (load or {})))
    head = HeadPlan(semi_axes_mm=(73, 94, 130), circumference_mm=560, ear_to_ear_mm=330, hairline_to_nape_mm=330,
                    scalp_cm2=560, hairline=())
    a_sections = Sections(**(dict(
        count=sections, count_low=sections, count_high=sections, head=head, items=items,
        zones=tuple(ZoneSummary(zone=zone, sections=zone_of.count(zone), area_cm2=1, rows=1, mean_width_mm=side_mm,
                                mean_height_mm=side_mm, asked_cm2=asked_cm2) for zone in dict.fromkeys(zone_of)), rows=()) | (count or {})))
    who, where = a_wearer(**(wearer or {})), a_house(**(house or {}))
    timing = clock_service(a_recipe, who, where, a_sections, tuple(kinds), material).part
    assert timing is not None
    quote = price_service(a_recipe, who, where, material, timing).part
    assert quote is not None
    return Scene(a_recipe, who, where, Parts(a_sections, tuple(kinds), (), material, a_load, timing, quote))
