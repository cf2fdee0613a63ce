"""A whole book as a folder of web pages that work without a server: looks to find, their maps and cards, the words.

Nobody's details stand in it: every look is shown as it is for a wearer of whom nothing is known.
"""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

from ..meaning.model import House, Recipe, Wearer
from ..plan.model import Plan
from . import words as say
from .build import write_card
from .card import Card, Picture
from .diagrams.finished_look import finished_look, finished_look_text
from .speech import speech
from .environment import environment
from .pictures import LOOK_LABELS, map_pictures
from .trade_words import TRADE_WORDS

STRAND_WORDS = {"plait": "plaits", "twist": "two-strand twists", "row": "scalp rows"}
GALLERY_MM, LARGE_MM, MAP_MM = 52.0, 88.0, 88.0
"""Width of a drawing on the first page, and on a look's own page."""


class Entry(NamedTuple):
    """One look as the site shows it."""

    page: str
    """Its file name: letters, digits and hyphens, unlike any other's."""
    plan: Plan
    recipe: Recipe
    wearer: Wearer
    house: House
    options: "tuple[Option, ...]" = ()


class Option(NamedTuple):
    """One way of taking a look's choices, and what it comes to."""

    words: str
    plan: Plan


class Shown(NamedTuple):
    """What the first page says of a look; ``search`` is all that a search looks through."""

    page: str
    name: str
    version: int
    demo: bool
    summary: str
    facts: tuple[str, ...]
    search: str
    picture: Picture


def write_site(title: str, entries: tuple[Entry, ...]) -> dict[str, bytes]:
    """Every file of the site by its path, ``/`` between folders. Begin at ``index.html``."""
    shown = tuple(_shown(entry) for entry in entries)
    about = {"title": say.clean(title, 120), "looks": shown}
    files = {"index.html": _page("site_index.html.j2", **about), "words.html": _page("site_words.html.j2", **about, words=TRADE_WORDS)}
    for entry, one in zip(entries, shown):
        files[f"looks/{entry.page}.html"] = _page("site_look.html.j2", **about, look=one, **_look(entry))
        files[f"cards/{entry.page}.html"] = _card_page(entry)
    files["site.css"] = _raw("site.css")
    files["site.js"] = _raw("site.js")
    return files


def facts_of(plan: Plan, units: say.Units) -> tuple[str, ...]:
    """What a look comes to, a few words each: strands, hours, packs, price."""
    timing, quote = plan.timing, plan.quote
    used = sum(line.packs_to_buy for line in plan.material.hair)
    facts = [f"{plan.sections.count} sections", f"about {say.duration(timing.median_minutes)}", f"{used} pack{'s' if used != 1 else ''} to buy"]
    if quote.total:
        facts.append(("from " if quote.unpriced else "") + say.money(quote.total, quote.currency))
    return tuple(facts)


def _shown(entry: Entry) -> Shown:
    plan, recipe = entry.plan, entry.recipe
    techniques = dict.fromkeys(STRAND_WORDS[kind.technique] for kind in plan.strand_kinds)
    hairs = [f"{line.name} {line.colour or ''}" for line in plan.material.hair] + [thing.name for thing in plan.material.ornaments]
    name, summary = say.clean(recipe.name, 120), say.clean(recipe.summary)
    words = finished_look_text(plan, recipe, speech(units=entry.house.units))
    search = " ".join([name, summary, *techniques, *map(say.clean, hairs), words]).casefold()
    svg = finished_look(plan, "front", width_mm=GALLERY_MM, prefix=f"{entry.page}-g-", recipe=recipe, say=speech(units=entry.house.units), legend=False)
    return Shown(entry.page, name, plan.head.version, plan.head.demo, summary, (*techniques, *facts_of(plan, entry.house.units)), search,
                 _drawing(svg, f"{name}, from the front", GALLERY_MM))


def _look(entry: Entry) -> dict[str, object]:
    plan, units = entry.plan, entry.house.units
    views = tuple(
        _drawing(finished_look(plan, view, width_mm=LARGE_MM, prefix=f"{view}-", recipe=entry.recipe, say=speech(units=units), legend=view == "front"),
                 f"{say.clean(plan.head.recipe, 120)}, {label.lower()}", LARGE_MM, label)
        for view, label in LOOK_LABELS.items()
    )
    options = tuple((say.clean(option.words), facts_of(option.plan, units)) for option in entry.options)
    house = say.clean(plan.head.house)
    return {"views": views, "maps": map_pictures(plan.sections, MAP_MM), "words": finished_look_text(plan, entry.recipe, speech(units=units)),
            "options": options, "house": house, "severe": tuple(f for f in plan.findings if f.severity in ("stop", "warn"))}


def _card_page(entry: Entry) -> bytes:
    from .html import render_html

    card: Card = write_card(entry.plan, entry.recipe, entry.wearer, entry.house)
    return render_html(card).encode()


def _drawing(svg: str, alt: str, width_mm: float, label: str = "") -> Picture:
    return Picture(svg=svg, alt=alt, width_mm=width_mm, height_mm=0.0, label=label)


def _page(template: str, **values: object) -> bytes:
    return environment(autoescape=True).get_template(template).render(**values).encode()


@lru_cache(maxsize=4)
def _raw(name: str) -> bytes:
    from .environment import TEMPLATES

    return (TEMPLATES / name).read_bytes()
