"""``plait station`` and ``plait picture``: the page for the chair, and the finished look drawn."""

from __future__ import annotations

import argparse

from .commands import HELP
from .command import _deliver, _slug, _stops, compiled_job, language_argument, recipe_arguments

NARROWEST, WIDEST = 20.0, 1000.0
"""Millimetres; our own estimate of what can still be seen, and of what any paper holds."""


def register(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add both commands to the command line."""
    station = commands.add_parser("station", help=HELP["station"])
    recipe_arguments(station)
    station.add_argument("-o", "--out", metavar="OUT", help="the .html file to write; - for standard output")
    language_argument(station)
    station.set_defaults(run=_station)

    picture = commands.add_parser("picture", help=HELP["picture"])
    recipe_arguments(picture)
    picture.add_argument("--view", choices=("front", "side", "back"), default="front", help="default: front")
    picture.add_argument("--width", metavar="MM", type=_width, default=90.0, help="of the drawing, in mm; default: 90")
    picture.add_argument("--words", action="store_true", help="say the look in words instead of drawing it")
    picture.add_argument("-o", "--out", metavar="OUT", help="the .svg file to write; - for standard output")
    language_argument(picture)
    picture.set_defaults(run=_picture)


def _width(text: str) -> float:
    try:
        width = float(text)
    except ValueError:
        width = 0.0
    if not NARROWEST <= width <= WIDEST:
        raise argparse.ArgumentTypeError(f"'{text}' is not a width; a number of mm from {NARROWEST:.0f} to {WIDEST:.0f}")
    return width


def _station(arguments: argparse.Namespace) -> int:
    done = compiled_job(arguments, as_json=False)
    if isinstance(done, int):
        return done
    job, compiled = done
    assert compiled.plan and compiled.recipe and compiled.wearer and compiled.house
    from ..cards.build import write_card
    from ..cards.station import render_station

    card = write_card(compiled.plan, compiled.recipe, compiled.wearer, compiled.house, with_quote=False, language=arguments.language)
    head = compiled.plan.head
    out = arguments.out or f"{_slug(head.recipe)}-{_slug(head.wearer)}-station.html"
    return _deliver(render_station(card, compiled.plan).encode("utf-8", "replace"), out) or _stops(compiled, job)


def _picture(arguments: argparse.Namespace) -> int:
    done = compiled_job(arguments, as_json=False)
    if isinstance(done, int):
        return done
    job, compiled = done
    plan, recipe, house = compiled.plan, compiled.recipe, compiled.house
    assert plan and recipe and house
    from ..cards.diagrams.finished_look import finished_look, finished_look_text
    from ..cards.language import NAMES
    from ..cards.speech import speech

    say = speech(arguments.language or NAMES[house.language], house.units)

    if arguments.words:
        return _deliver((finished_look_text(plan, recipe, say) + "\n").encode(), arguments.out) or _stops(compiled, job)
    svg = finished_look(plan, arguments.view, width_mm=arguments.width, recipe=recipe, say=say)
    out = arguments.out or f"{_slug(plan.head.recipe)}-{_slug(plan.head.wearer)}-{arguments.view}.svg"
    return _deliver(svg.encode("utf-8", "replace"), out) or _stops(compiled, job)
