"""``plait quote``: the price for the client, or with ``--house-view`` where the money goes."""

from __future__ import annotations

import argparse
import sys
from decimal import Decimal
from typing import TYPE_CHECKING, Any, NamedTuple

if TYPE_CHECKING:
    from ..meaning.model import House
    from ..plan.model import Quote

OWN_COSTS = ("labour", "preparation", "consumables", "overhead")
"""Lines that the client sees as one: the work."""

LOCALES = {"USD": "en_US", "GBP": "en_GB", "EUR": "en_IE", "BRL": "pt_BR", "JPY": "ja_JP", "NGN": "en_NG", "KES": "en_KE"}
"""The money format used where none is asked for; others are written as in international English."""


class View(NamedTuple):
    """Lines of a quote to show: (label, amount, note)."""

    lines: tuple[tuple[str, Decimal, str], ...]
    total: Decimal


def client_view(quote: "Quote") -> View:
    """Hair, the work as one line, discount, tax and rounding; no margin and no wage."""
    work = sum((line.amount for line in quote.lines if line.label in OWN_COSTS), Decimal(0))
    shown = [(line.label, line.amount, "" if line.label == "discount" else line.note) for line in quote.lines
             if line.label not in OWN_COSTS]
    hair = [line for line in shown if line[0] not in ("discount", "tax", "rounding")]
    after = [line for line in shown if line[0] in ("discount", "tax", "rounding")]
    return View((*hair, ("braiding, all that belongs to it", work, ""), *after), quote.total)


def house_view(quote: "Quote", house: "House") -> View:
    """Every line, then what is left when hair, work, materials and tax are paid."""
    cost = sum((line.amount for line in quote.lines
                if line.label not in ("overhead", "discount", "tax", "rounding")), Decimal(0))
    margin = quote.total - quote.tax - cost
    share = f"{(margin / (quote.total - quote.tax) * 100).quantize(Decimal('0.1'))} % of the price before tax" \
        if quote.total > quote.tax else ""
    lines = tuple((line.label, line.amount, line.note) for line in quote.lines)
    return View((*lines, ("margin, in the total", margin, share)), quote.total)


def without(quote: "Quote") -> str:
    """``without Dune and Kelp``: what has no price; nothing where all has."""
    *most, last = quote.unpriced or ("",)
    return f"without {', '.join(most) + ' and ' if most else ''}{last}" if last else ""


def total_label(quote: "Quote") -> str:
    """``total``, or what it leaves out."""
    return f"total {without(quote)}".rstrip()


def money_text(amount: Decimal, currency: str, locale: str | None = None) -> str:
    """An amount in the manner of a locale, with the currency's ISO 4217 digits. Raises ValueError for no locale."""
    from babel import Locale, UnknownLocaleError
    from babel.numbers import parse_pattern

    from ..passes.currencies import DIGITS

    try:
        where = Locale.parse(locale or LOCALES.get(currency, "en"))
    except (UnknownLocaleError, ValueError):
        raise ValueError(f"'{locale}' is no locale") from None
    digits = DIGITS[currency]
    # The locale's own table of digits differs from ISO 4217 in places.
    pattern = parse_pattern(where.currency_formats["standard"].pattern)
    pattern.frac_prec = (digits, digits)
    return pattern.apply(amount, where, currency=currency, currency_digits=False)


def quote_text(quote: "Quote", view: View, locale: str | None, deposit: bool = True, refresh: bool = True,
               language: str = "en") -> str:
    """The view as lines for a terminal, amounts in a column; ``refresh`` adds what a later visit costs."""
    rows = [(label, money_text(amount, quote.currency, locale), note) for label, amount, note in view.lines]
    rows.append((total_label(quote), money_text(view.total, quote.currency, locale), ""))
    if quote.tax and all(label != "tax" for label, _, _ in view.lines):
        rows.append(("tax, in the total", money_text(quote.tax, quote.currency, locale), ""))
    if deposit and quote.deposit is not None:
        rows.append(("deposit", money_text(quote.deposit, quote.currency, locale), "when booking"))
    for line in quote.later if refresh else ():
        note = line.note if without(quote) == "" else f"{line.note}, {without(quote)}"
        rows.append((f"{line.label}, another visit: from", money_text(line.amount, quote.currency, locale), note))
    if language != "en":
        from ..cards.quote_words import row_words

        rows = [row_words(language, quote, label, amount, note) for label, amount, note in rows]
    wide = max(len(label) for label, _, _ in rows)
    right = max(len(amount) for _, amount, _ in rows)
    return "\n".join(f"{label:<{wide}}  {amount:>{right}}  {note}".rstrip() for label, amount, note in rows)

from .as_data import format_argument
from .commands import HELP


def register(commands: Any) -> None:
    """Put the command on the line."""
    from .command import language_argument, recipe_arguments

    parser = commands.add_parser("quote", help=HELP["quote"])
    recipe_arguments(parser)
    parser.add_argument("--house-view", action="store_true", help="show every cost and the margin")
    parser.add_argument("--refresh", action="store_true", help="say what a front refresh, another visit, costs")
    parser.add_argument("--locale", metavar="LOCALE", help="how money is written, such as de_DE")
    language_argument(parser)
    format_argument(parser)
    parser.set_defaults(run=_run)


def _run(arguments: argparse.Namespace) -> int:
    from .command import GOOD, WRONG_USE, compiled_job

    done = compiled_job(arguments, as_json=arguments.format == "json")
    if isinstance(done, int):
        return done
    plan, house = done[1].plan, done[1].house
    assert plan and house
    language = arguments.language or {"french": "fr", "spanish": "es", "portuguese": "pt"}.get(house.language, "en")
    locale = arguments.locale or (None if language == "en" else language)
    view = house_view(plan.quote, house) if arguments.house_view else client_view(plan.quote)
    if arguments.format == "json":
        from .as_data import print_data

        quote = plan.quote
        later = quote.later if arguments.refresh or arguments.house_view else ()
        print_data({"recipe": plan.head.recipe, "wearer": plan.head.wearer, "currency": quote.currency,
                    "lines": [{"label": label, "amount": amount, "note": note} for label, amount, note in view.lines],
                    "total": view.total, "tax": quote.tax, "deposit": quote.deposit, "without": list(quote.unpriced),
                    "later": [{"label": line.label, "amount": line.amount, "note": line.note} for line in later]})
        return GOOD
    try:
        text = quote_text(plan.quote, view, locale, refresh=arguments.refresh or arguments.house_view, language=language)
    except ValueError as error:
        print(f"plait: {error}\n  try: --locale en_US", file=sys.stderr)
        return WRONG_USE
    print(f"{plan.head.recipe} for {plan.head.wearer}\n{text}")
    return GOOD
