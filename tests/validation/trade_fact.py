"""One set the trade reports, written as a recipe, compiled over its free inputs.

The fact (common practice, no source): a full set of knotless plaits with
loose curls, 16 to 18 in, on very fine straight hair, took 1⅓ packs of plain
hair and 2 packs of curly hair, and 4½ to 5 hours for one braider. New
clients' pieces are about half a pencil, curls a quarter; two or three
rotations come before the first curl.

What the fact doesn't say is free: how many sections, what a pack weighs, how
dense the hair is, how wide the plaits are and how often a curl is drawn out.
Run ``python tests/validation/trade_fact.py`` to print the table of
docs/validation.md.
"""

from __future__ import annotations

from plaitbook import Compiled, Request, compile_recipe

SECTIONS = (45, 67, 90)
PACK_G = (80, 122.5, 165)
DENSITY = ("sparse", "medium", "dense")
WIDTH_MM = (4, 5, 6, 7)
EVERY = (6, 9, 12)
"""Stitches from one curl to the next; our own estimate, the fact says nothing."""
MIDDLE = dict(sections=67, pack_g=122.5, density="medium", width_mm=5, every=9)

REPORTED_PLAIN, REPORTED_CURLY = 4 / 3, 2.0
"""Packs, as the fact has them; its time is 4½ to 5 h."""
PACKS_WITHIN = 0.30
HOURS_WITHIN = (3 + 50 / 60, 5.75)
"""What was asked of the middle: 4½ h less 15 %, 5 h and 15 % more."""


def recipe(sections: int, pack_g: float, density: str, width_mm: float, every: int) -> str:
    """The fact as a recipe. 5 mm stands for "thinner than a pencil" (7 mm); see docs/validation.md."""
    return f'''edition 1
hair "Plain"
kind plain
fibre modacrylic
pack {pack_g} g
flat 48 in
hair "Curl"
kind curly
fibre modacrylic
pack {pack_g} g
flat 36 in
wearer "Fine"
age 30 years
strand fine
density {density}
texture straight
own hair 10 in
layers 2 in
arrives washed and dried
house "One chair"
units inches
braiders 1
recipe "From the fact"
technique plait, ordinary
wearing 16 to 18 in
hair:
base: "Plain", cut 48 in, folded in the middle, ends pulled 4 in
curls: "Curl", cut 36 in, folded in the middle
sections:
grid brick {sections} sections
start: extension at root, 1 piece of base ½ pencil
feed: pieces of base ½ pencil, hold width {width_mm} mm
accents: every {every} stitches from stitch 3 to end: 1 piece of curls ¼ pencil, alternate sides, stagger
end: knot 5 turns, heat seal 180 °C, leave curls loose, trim straight ends
'''


def compiled(**inputs: object) -> Compiled:
    """The plan at the middle of the ranges, with some inputs moved."""
    done = compile_recipe(recipe(**{**MIDDLE, **inputs}), "fact.plait", Request(wearer="Fine", house="One chair"))  # type: ignore[arg-type]
    assert done.plan is not None, [(p.span.line, p.message) for p in done.problems]
    return done


def row(**inputs: object) -> tuple[float, float, float, float]:
    """(packs of plain, packs of curly, hours of chair time, sections)."""
    plan = compiled(**inputs).plan
    assert plan is not None
    packs = {line.name: line.packs_used for line in plan.material.hair}
    return packs["Plain"], packs["Curl"], plan.timing.median_minutes / 60, plan.sections.count


def table() -> str:
    """The table of docs/validation.md, in Markdown."""
    moved: list[dict[str, object]] = [{}]
    for key, values in (("sections", SECTIONS), ("pack_g", PACK_G), ("density", DENSITY), ("width_mm", WIDTH_MM), ("every", EVERY)):
        moved += [{key: value} for value in values if value != MIDDLE[key]]
    moved += [dict(sections=45, pack_g=165), dict(sections=90, pack_g=80)]
    lines = ["| sections | pack | density | width | a curl every | plain packs | curly packs | chair time |", "|" + " --- |" * 8]
    for inputs in moved:
        at = {**MIDDLE, **inputs}
        said = {key: f"**{value}**" if key in inputs else f"{value}" for key, value in at.items()}
        plain, curly, hours, _ = row(**inputs)
        minutes = round(hours * 60)
        lines.append(
            f"| {said['sections']} | {said['pack_g']} g | {said['density']} | {said['width_mm']} mm | {said['every']} stitches "
            f"| {plain:.2f} ({plain / REPORTED_PLAIN - 1:+.0%}) | {curly:.2f} ({curly / REPORTED_CURLY - 1:+.0%}) "
            f"| {minutes // 60} h {minutes % 60:02d} |")
    return "\n".join(lines)


if __name__ == "__main__":
    print(table())
