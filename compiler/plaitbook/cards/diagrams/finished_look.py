"""The finished look from the front, the side and behind: every strand at its true width and length.

A client chooses by looking, so this is the one drawing with a person in it. Colours are told apart
by tone and said in words below; the tones are not the hair's own shade.
"""

from __future__ import annotations

from html import escape

from ...meaning.model import Recipe
from ...passes.constants import LANDMARK_DROP_MM, MEAN_HEAD_MM
from ...plan.model import Plan
from ..language import mark
from ..speech import Speech, speech
from ..wording import name as fit_name
from .ink import wrap
from .look_colours import Colours, Tones, colours_of, strand_tones
from .look_figure import HAIRS, INK, OWN, PAPER, body, combed, face, scalp
from .look_hung import Curl, View, curl_lengths, hanging_shapes, hung_on, on_page, rod_lengths
from .look_paths import Lying, Vector, cut_line, lying_strands
from .look_strands import from_place, stitched_strand
from .look_words import finished_look_text, legend_lines

__all__ = ["View", "finished_look", "finished_look_text"]

VIEW_WORDS = {"front": mark("{look}, from the front"), "side": mark("{look}, from the wearer's left"), "back": mark("{look}, from behind")}

HALF_WIDE_MM = 226.0
"""Half the width of what is shown, on a head of mean size: the shoulders just fit (our own estimate)."""
LEAST_LOW_MM = LANDMARK_DROP_MM["armpit"]
"""The picture never ends above the armpit, so that a short look still has a body to be judged by."""
BODY_HIDES_MM = 190.0
"""Below this the body hides what hangs behind it."""
IN_TURN = 4
"""One curl in this many hangs over the strands behind it, the others under them all: so the strands can be seen."""


def finished_look(
    plan: Plan, view: View, *, width_mm: float, prefix: str = "", recipe: Recipe | None = None,
    say: Speech = speech(), legend: bool = True,
) -> str:
    """One view as a standalone SVG ``width_mm`` wide, its units millimetres of paper.

    ``prefix`` keeps ids apart where drawings share a page. With the ``recipe`` curls get their worn
    length, rods are drawn in the ends and the parting is named; ``say`` is for the description.
    Without the ``legend`` the colours are said in the description only: for views that share one.
    """
    asked = (view, width_mm, prefix, say, legend)
    for known_plan, known_recipe, known_asked, svg in _drawn:
        if known_plan is plan and known_recipe is recipe and known_asked == asked:
            return svg
    svg = _draw(plan, view, width_mm, prefix, recipe, say, legend)
    _drawn.insert(0, (plan, recipe, asked, svg))
    del _drawn[6:]
    return svg


_drawn: list[tuple[Plan, Recipe | None, tuple[str, float, str, Speech, bool], str]] = []
"""The last six drawings, by the identity of what they show: two documents of one plan draw it once."""


def _draw(
    plan: Plan, view: View, width_mm: float, prefix: str, recipe: Recipe | None, say: Speech, legend: bool,
) -> str:
    """:func:`finished_look`, drawn."""
    size = plan.sections.head.circumference_mm / MEAN_HEAD_MM
    strands = lying_strands(plan)
    curls = curl_lengths(plan, recipe)
    lowest = max([LEAST_LOW_MM * size, *(_low(lying, curls) for lying in strands)]) + 18.0
    top = plan.sections.head.semi_axes_mm[2] + 30.0
    half = HALF_WIDE_MM * size
    scale = width_mm / (2.0 * half)
    high = (lowest + top) * scale
    colours = colours_of(plan)
    below, bottom = _legend(plan, colours, high, width_mm, say) if legend else ("", high)
    title = say(VIEW_WORDS[view], look=fit_name(plan.head.recipe))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width_mm:g} {bottom:.1f}" width="{width_mm:g}mm" '
        f'height="{bottom:.1f}mm" role="img" font-family="sans-serif" fill="{INK}"><title>{escape(title)}</title>'
        f"<desc>{escape(finished_look_text(plan, recipe, say))}</desc>"
        f'<svg width="{width_mm:g}" height="{high:.2f}" viewBox="{-half:.0f} {-top:.0f} {2 * half:.0f} {lowest + top:.0f}" fill="none">'
        f"{_figure(plan, view, prefix, colours, curls, rod_lengths(recipe), strands, size)}</svg>{below}</svg>"
    )


def _low(lying: Lying, curls: dict[str, float]) -> float:
    """How far a strand and its curls reach below the ear notches, mm."""
    tip = -lying.points[-1][2]
    hang = [tip - lying.kind.length_mm + a.at_mm + curls[a.role] for a in lying.accents if a.role in curls]
    return max([tip, *hang])


def _figure(plan: Plan, view: View, prefix: str, colours: Colours, curls: dict[str, float],
            rods: dict[str, float], strands: tuple[Lying, ...], size: float) -> str:
    """Behind the body, the body, the head, and what lies over them."""
    before = {"front": lambda s: s.front, "back": lambda s: not s.front, "side": lambda s: s.side < 0}[view]
    axes = plan.sections.head.semi_axes_mm
    tones = {kind.id: strand_tones(kind, colours) for kind in plan.strand_kinds}
    marks: list[str] = ['<g stroke-linecap="round" stroke-linejoin="round">']
    defs, names = hanging_shapes(plan, prefix, colours, curls, rods)
    marks.append(f'<defs>{defs}</defs><g transform="scale(.1)" stroke="{INK}">')
    behind = [s for s in strands if not before(s) and _peeps(view, s, axes)]
    for number, lying in enumerate(behind):
        short = lying._replace(points=_down_to(lying.points, BODY_HIDES_MM * size))
        marks += _stitched(view, short, tones[lying.kind.id], f"{prefix}b{number}")
    whole, partings = scalp(plan.sections, view)
    marks.append(
        f'</g><g transform="scale({size:.3f})">{body(view)}{face(view)}</g>'
        f'<path d="{whole}" fill="{OWN}"/><path d="{combed(plan.sections, view)}" stroke="{HAIRS}" stroke-width="1"/>'
        f'<path d="{partings}" stroke="{PAPER}" stroke-width="1.6"/>'
        f'<path d="{whole}" stroke="{INK}" stroke-width="1.6"/><g transform="scale(.1)" stroke="{INK}">'
    )
    near = [s for s in strands if before(s) or _row_in_front(view, s)]
    if view == "front":
        near.sort(key=lambda s: s.points[0][1])
    hung = [hung_on(view, lying, names, rods) for lying in near]
    marks += _scattered([one for _, curls_of in hung for i, one in enumerate(curls_of) if i % IN_TURN])
    for number, (lying, (over, under)) in enumerate(zip(near, hung)):
        marks += [f'<use href="#{name}" x="{x}" y="{y}"/>' for name, x, y in under[::IN_TURN]]
        shown = lying._replace(points=_seen_part(view, lying)) if lying.kind.technique == "row" else lying
        marks += _stitched(view, shown, tones[lying.kind.id], f"{prefix}s{number}", rods.get(lying.kind.zone, 0.0))
        marks += over
    marks.append("</g></g>")
    return "".join(marks)


def _scattered(curls: list[Curl]) -> list[str]:
    """Curls that lie under all strands: one path for each way of drawing them, a curl at every corner."""
    by_name: dict[str, list[str]] = {}
    for name, x, y in curls:
        by_name.setdefault(name, []).append(f"{x} {y}")
    return [f'<path d="M{"L".join(spots)}" stroke="none" marker-start="url(#{name}m)" marker-mid="url(#{name}m)" marker-end="url(#{name}m)"/>'
            for name, spots in by_name.items()]


def _stitched(view: View, lying: Lying, tones: Tones, name: str, rod_mm: float = 0.0) -> list[str]:
    """A strand in each of its shades, root first; the last ``rod_mm`` are left to the curl of the rod."""
    out = []
    points = tuple(cut_line(lying.points, lying.kind.length_mm - rod_mm)) if rod_mm else lying.points
    for at, tone, second in tones:
        left = from_place(points, at) if at else points
        if len(left) > 1:
            out.append(stitched_strand(on_page(view, left), lying, tone, second, f"{name}-{at:.0f}" if at else name))
    return out


def _row_in_front(view: View, lying: Lying) -> bool:
    """A scalp row that runs back from the face shows from the front, wherever its tail falls."""
    return view == "front" and lying.kind.technique == "row" and not lying.front and lying.points[0][1] > 0.0


def _seen_part(view: View, lying: Lying) -> tuple[Vector, ...]:
    """The points of a strand that the head itself doesn't hide: scalp rows run over the top of it."""
    points = lying.points
    if lying.kind.technique != "row" or view == "side":
        return points
    if view == "front":
        seen = tuple(p for p in points if p[1] > 0.0)
        return seen if not lying.front and len(seen) > 1 else points
    start = next((i for i, p in enumerate(points) if p[1] < 0.0), 0)
    return points[start:] if len(points) - start > 1 else points


def _peeps(view: View, lying: Lying, axes: Vector) -> bool:
    """Whether anything of a strand behind the body can show beside the neck."""
    x, y, _ = lying.points[min(lying.leaves + 2, len(lying.points) - 1)]
    if view == "side":
        return y > 0.35 * axes[1] or y < -0.8 * axes[1]
    return abs(x) > 0.5 * axes[0]


def _down_to(points: tuple[Vector, ...], low: float) -> tuple[Vector, ...]:
    """The points down to the first one ``low`` mm below the ear notches."""
    for i, (_, _, z) in enumerate(points):
        if z < -low and i > 1:
            return (*points[:i], (points[i][0], points[i][1], max(z, -low - 40.0)))
    return points


def _legend(plan: Plan, colours: Colours, top: float, width: float, say: Speech) -> tuple[str, float]:
    """Each tone with its colour in words."""
    letter = 2.8 if width < 80 else 3.1
    y, out = top + 1.5, []
    for tone, words in legend_lines(plan, colours, say):
        for i, part in enumerate(wrap(words, width - (6.0 if tone else 1.0), letter)):
            if tone and not i:
                out.append(f'<rect x=".4" y="{y + 0.4:.1f}" width="4" height="{letter:g}" fill="{tone}" stroke="{INK}" stroke-width=".25"/>')
            out.append(f'<text x="{5.6 if tone else 0.4}" y="{y + letter:.1f}" font-size="{letter}">{escape(part)}</text>')
            y += letter * 1.35
    return "".join(out), y + 1.0
