"""A whole book as a folder of web pages that work without a server: looks to find, their maps and cards, the words.

Nobody's details stand in it: every look is shown as it is for a wearer of whom nothing is known.
"""

from __future__ import annotations

import unicodedata
from functools import lru_cache
from typing import NamedTuple

from ..meaning.model import House, Recipe, Wearer
from ..plan.model import Plan
from . import wording as words
from .build import write_card
from .card import Card, Picture
from .diagrams.finished_look import finished_look, finished_look_text
from .environment import environment
from .findings import SEVERITY_WORDS, Said, said
from .language import Code, mark
from .pictures import LOOK_LABELS, map_pictures
from .speech import Speech, speech
from .trade_words import TRADE_WORDS

STRAND_WORDS = {"plait": mark("plaits"), "twist": mark("two-strand twists"), "row": mark("scalp rows")}
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


class Severe(NamedTuple):
    """A finding that stops, or asks for care, and its word for that."""

    label: str
    said: Said


def write_site(title: str, entries: tuple[Entry, ...], code: Code = "en") -> dict[str, bytes]:
    """Every file of the site by its path, ``/`` between folders, in the language with this code. Begin at ``index.html``."""
    say = speech(code)
    shown = tuple(_shown(entry, speech(code, entry.house.units)) for entry in entries)
    about = {"title": words.clean(title, 120), "looks": shown, "say": say}
    files = {"index.html": _page("site_index.html.j2", **about, every=say.many("{n} look", "{n} looks", len(shown))),
             "words.html": _page("site_words.html.j2", **about, words=trade_words(say))}
    for entry, one in zip(entries, shown):
        files[f"looks/{entry.page}.html"] = _page("site_look.html.j2", **about, look=one, **_look(entry, speech(code, entry.house.units)))
        files[f"cards/{entry.page}.html"] = _card_page(entry, code)
    files["site.css"] = _raw("site.css")
    files["site.js"] = _raw("site.js")
    return files


def facts_of(plan: Plan, say: Speech) -> tuple[str, ...]:
    """What a look comes to, a few words each: strands, hours, packs, price."""
    timing, quote = plan.timing, plan.quote
    used = sum(line.packs_to_buy for line in plan.material.hair)
    facts = [say.many("{n} section", "{n} sections", plan.sections.count), say("about {time}", time=say.duration(timing.median_minutes)),
             say.many("{n} pack to buy", "{n} packs to buy", used)]
    if quote.total:
        total = say.money(quote.total, quote.currency)
        facts.append(say("from {amount}", amount=total) if quote.unpriced else total)
    return tuple(facts)


def trade_words(say: Speech) -> tuple[tuple[str, str, str], ...]:
    """(id, word, meaning) of every trade word, in the order of the language's alphabet; a word's id is the same in all."""
    found = [(word.replace(" ", "-"), say.term("trade word", word), say(meaning)) for word, meaning in TRADE_WORDS]
    return tuple(sorted(found, key=lambda row: "".join(c for c in unicodedata.normalize("NFD", row[1].casefold()) if c.isalpha() or c == " ")))


def _shown(entry: Entry, say: Speech) -> Shown:
    plan, recipe = entry.plan, entry.recipe
    techniques = tuple(say(STRAND_WORDS[technique]) for technique in dict.fromkeys(kind.technique for kind in plan.strand_kinds))
    hairs = [f"{line.name} {line.colour or ''}" for line in plan.material.hair] + [thing.name for thing in plan.material.ornaments]
    name, summary = words.clean(recipe.name, 120), words.clean(recipe.summary)
    search = " ".join([name, summary, *techniques, *map(words.clean, hairs), finished_look_text(plan, recipe, say)]).casefold()
    svg = finished_look(plan, "front", width_mm=GALLERY_MM, prefix=f"{entry.page}-g-", recipe=recipe, say=say, legend=False)
    return Shown(entry.page, name, plan.head.version, plan.head.demo, summary, (*techniques, *facts_of(plan, say)), search,
                 _drawing(svg, say("{look}, from the front", look=name), GALLERY_MM))


def _look(entry: Entry, say: Speech) -> dict[str, object]:
    plan = entry.plan
    views = tuple(
        _drawing(finished_look(plan, view, width_mm=LARGE_MM, prefix=f"{view}-", recipe=entry.recipe, say=say, legend=view == "front"),
                 f"{words.clean(plan.head.recipe, 120)}, {say(label).lower()}", LARGE_MM, say(label))
        for view, label in LOOK_LABELS.items()
    )
    options = tuple((words.clean(option.words), facts_of(option.plan, say)) for option in entry.options)
    severe = tuple(Severe(say(SEVERITY_WORDS[f.severity]), said(say, entry.house.currency, f)) for f in plan.findings if f.severity in ("stop", "warn"))
    return {"views": views, "maps": map_pictures(plan.sections, MAP_MM, say=say), "words": finished_look_text(plan, entry.recipe, say),
            "options": options, "house": words.clean(plan.head.house), "severe": severe}


def _card_page(entry: Entry, code: Code) -> bytes:
    from .html import render_html

    card: Card = write_card(entry.plan, entry.recipe, entry.wearer, entry.house, language=code)
    return render_html(card).encode()


def _drawing(svg: str, alt: str, width_mm: float, label: str = "") -> Picture:
    return Picture(svg=svg, alt=alt, width_mm=width_mm, height_mm=0.0, label=label)


def _page(template: str, **values: object) -> bytes:
    return environment(autoescape=True).get_template(template).render(**values).encode()


@lru_cache(maxsize=4)
def _raw(name: str) -> bytes:
    from .environment import TEMPLATES

    return (TEMPLATES / name).read_bytes()
