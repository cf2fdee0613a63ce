"""What the service costs, in decimals from end to end.

No amount of money is ever a float: grams and hours, which are floats, enter
through :func:`exact` at four decimals. Every line is rounded half up to the
currency's smallest unit (ISO 4217), so the lines add up to the total exactly;
what the house's own rounding changes is a line of its own.

Shares (``overhead``, ``tax``, ``discount``, ``deposit``) are parts of one:
overhead of labour and hair, discount of everything before tax.
"""

from __future__ import annotations

import difflib
from decimal import ROUND_HALF_UP, Decimal
from typing import Callable

from ..meaning.model import House, Recipe, Wearer
from ..meaning.values import Origin
from ..plan.computed import computed
from ..plan.model import Figure, Given, HairLine, Material, Quote, QuoteLine, Timing, Value
from ..plan.outcome import Outcome
from ..syntax.problem import Problem, whole_line
from .currencies import DIGITS, smallest_unit
from .rates import REFRESH_LEAST_MIN, REFRESH_WEEKS

NO_PRICE = "price not in the catalogue"
ROUNDING = "rounding"
REFRESH = "front refresh"
_HOUSE = "house file"
_ROUND = "floor({} / unit + 1/2) * unit"


def exact(number: float) -> Decimal:
    """A float of grams or hours as a decimal of four places."""
    return Decimal(str(round(number, 4)))


def half_up(amount: Decimal, unit: Decimal) -> Decimal:
    """The nearest multiple of ``unit``; a half goes up (towards plus infinity)."""
    steps = (amount / unit + Decimal("0.5")).to_integral_value(rounding="ROUND_FLOOR")
    return (steps * unit).quantize(unit) if unit.as_tuple().exponent < 0 else steps * unit


def money(amount: Decimal, currency: str) -> Decimal:
    """Rounded half up to the currency's smallest unit."""
    return half_up(amount, smallest_unit(currency)).quantize(smallest_unit(currency), rounding=ROUND_HALF_UP)


def price_service(
    recipe: Recipe, wearer: Wearer, house: House, material: Material, timing: Timing
) -> Outcome[Quote]:
    """The quote's lines, tax, total and deposit in the house's currency.

    Problems: a currency ISO 4217 doesn't know (no quote then), or a share
    that is none. A hair without a price, or priced in another currency,
    gets a line of nought that says so and stands in ``unpriced``: the total is
    without it.
    """
    problems = _problems(house)
    if problems:
        return Outcome(None, (), problems)
    currency, unit = house.currency, smallest_unit(house.currency)
    figures: list[Figure] = []
    lines: list[QuoteLine] = []
    unpriced: list[str] = []

    def given(value: Value, unit_name: str = "", origin: Origin = house.origin) -> Given:
        return Given(value=value, unit=unit_name, origin=origin)

    def figure(key: str, label: str, value: Value, formula: str, inputs: dict[str, Given | str],
               unit_name: str = currency, source: str = _HOUSE) -> str:
        figures.append(computed(Figure, key=key, label=label, value=value, unit=unit_name, formula=formula,
                                inputs=inputs, source=source))
        return key

    the_unit = given(unit, currency, Origin(kind="source", where="ISO 4217"))

    def line(key: str, label: str, amount: Decimal, formula: str, inputs: dict[str, Given | str],
             note: str = "", sign: int = 1) -> tuple[str, Decimal]:
        """Add a line, rounded to the smallest unit, with its figure."""
        rounded = sign * money(amount, currency)
        figure(f"quote.{key}", label, rounded, ("-" if sign < 0 else "") + _ROUND.format(f"({formula})"),
               inputs | {"unit": the_unit})
        lines.append(QuoteLine(label=label, amount=rounded, note=note))
        return f"quote.{key}", rounded

    def added(key: str, label: str, parts: list[tuple[str, Decimal]]) -> Decimal:
        """A figure that is the sum of lines."""
        inputs: dict[str, Given | str] = {
            part.removeprefix("quote.").replace(".", "_"): part for part, _ in parts}
        value = sum((amount for _, amount in parts), Decimal(0))
        figure(f"quote.{key}", label, value, " + ".join(inputs) or "0", inputs)
        return value

    # --- hair and ornaments
    hair: list[tuple[str, Decimal]] = []
    for number, item in enumerate(material.hair, 1):
        price, note = _hair_price(recipe, house, item)
        if price is None:
            lines.append(QuoteLine(label=item.name, amount=money(Decimal(0), currency), note=note))
            unpriced.append(item.name)
            continue
        origin = recipe.hair(item.name).origin
        inputs: dict[str, Given | str] = {"price": given(price, f"{currency} per pack", origin)}
        if house.hair_by == "gram":
            grams = exact(item.grams)
            inputs |= {"grams": given(grams, "g", recipe.origin), "pack": given(exact(item.pack_g), "g", origin)}
            formula, amount, note = "price * grams / pack", price * grams / exact(item.pack_g), f"{grams:.0f} g"
        else:
            inputs["packs"] = given(item.packs_to_buy, "packs", recipe.origin)
            formula, amount = "price * packs", price * item.packs_to_buy
            note = f"{item.packs_to_buy} × {money(price, currency)}"
        hair.append(line(f"hair.{number}", item.name, amount, formula, inputs, note))
    others: list[tuple[str, Decimal]] = []
    for number, ornament in enumerate(material.ornaments, 1):
        entry = next((known for known in recipe.ornaments if known.name == ornament.name), None)
        if entry is None or entry.price is None or entry.currency not in (None, currency):
            lines.append(QuoteLine(label=ornament.name, amount=money(Decimal(0), currency), note=NO_PRICE))
            unpriced.append(ornament.name)
            continue
        others.append(line(f"ornament.{number}", ornament.name, entry.price * ornament.count, "price * count", {
            "price": given(entry.price, f"{currency} each", entry.origin),
            "count": given(ornament.count, "", recipe.origin)}, f"{ornament.count} × {money(entry.price, currency)}"))
    if house.consumables:
        others.append(line("consumables", "consumables", house.consumables, "once",
                           {"once": given(house.consumables, currency)}))

    # --- labour
    hours, ahead = exact(timing.median_minutes / 60), exact(timing.ahead_minutes / 60)
    figure("quote.chair_hours", "chair hours", hours, "round(minutes / 60, 4)",
           {"minutes": "timing.median_minutes"}, "h")
    figure("quote.ahead_hours", "hours of preparation", ahead, "round(minutes / 60, 4)",
           {"minutes": "timing.ahead_minutes"}, "h")
    rate = given(house.labour_per_hour, f"{currency} per hour")
    crew_hours = exact(timing.crew_minutes / 60)
    figure("quote.crew_hours", "hours of all braiders", crew_hours, "round(minutes / 60, 4)",
           {"minutes": "timing.crew_minutes"}, "h")
    crew = f" of {timing.braiders} braiders" if timing.braiders > 1 else ""
    labour = [line("labour", "labour", crew_hours * house.labour_per_hour, "hours * rate",
                   {"hours": "quote.crew_hours", "rate": rate}, f"{crew_hours:.2f} h{crew}")]
    if ahead:
        labour.append(line("preparation", "preparation", ahead * house.labour_per_hour, "hours * rate",
                           {"hours": "quote.ahead_hours", "rate": rate}, f"{ahead:.2f} h"))

    # --- overhead, discount, tax
    base = added("labour_and_hair", "labour and hair", labour + hair)
    parts = hair + others + labour
    if house.overhead:
        parts.append(line("overhead", "overhead", base * house.overhead, "base * share",
                          {"base": "quote.labour_and_hair", "share": given(house.overhead)},
                          f"{percent(house.overhead)} of labour and hair"))
    before = added("before_discount", "before discount", parts)
    if house.discount:
        parts.append(line("discount", "discount", before * house.discount, "base * share",
                          {"base": "quote.before_discount", "share": given(house.discount)},
                          percent(house.discount), sign=-1))
    net = added("subtotal", "subtotal", parts)
    if house.tax and not house.tax_included:
        parts.append(line("tax_line", "tax", net * house.tax, "base * share",
                          {"base": "quote.subtotal", "share": given(house.tax)}, percent(house.tax)))

    # --- the house's rounding, total, deposit
    exact_total = added("unrounded", "before rounding", parts)
    total = exact_total
    step = house.round_to if house.round_to is not None and house.round_to > 0 else None
    if step is not None:
        step_given = given(step, currency)
        total = half_up(exact_total, max(step, unit)) if step % unit == 0 else money(
            half_up(exact_total, step), currency)
        difference = total - exact_total
        formula = "floor(base / step + 1/2) * step - base"
        if step % unit != 0:
            formula = "floor(floor(base / step + 1/2) * step / unit + 1/2) * unit - base"
        figure("quote.rounding", ROUNDING, difference, formula,
               {"base": "quote.unrounded", "step": step_given, "unit": the_unit})
        if difference:
            lines.append(QuoteLine(label=ROUNDING, amount=difference, note=f"to the nearest {step} {currency}"))
    total = total.quantize(unit)
    figure("quote.total", "total", total, "base + rounding" if step else "base",
           {"base": "quote.unrounded"} | ({"rounding": "quote.rounding"} if step else {}))
    tax = money(Decimal(0), currency)
    if house.tax and house.tax_included:
        tax = money(total * house.tax / (1 + house.tax), currency)
        figure("quote.tax", "tax contained", tax, _ROUND.format("(total * share / (1 + share))"),
               {"total": "quote.total", "share": given(house.tax), "unit": the_unit})
    elif house.tax:
        tax = money(net * house.tax, currency)
        figure("quote.tax", "tax", tax, "line", {"line": "quote.tax_line"})
    deposit = None
    flat = getattr(house, "deposit_amount", None)
    if flat is not None:
        deposit = money(flat, currency)
        figure("quote.deposit", "deposit", deposit, _ROUND.format("amount"),
               {"amount": given(flat, currency), "unit": the_unit})
    elif house.deposit is not None:
        # Rounded as the house rounds, where its steps are whole coins; a small one stays a deposit.
        to = step if step is not None and step % unit == 0 else unit
        deposit = half_up(total * house.deposit, to).quantize(unit)
        if not deposit:
            to, deposit = unit, money(total * house.deposit, currency)
        figure("quote.deposit", "deposit", deposit, _ROUND.format("(total * share)"),
               {"total": "quote.total", "share": given(house.deposit),
                "unit": the_unit if to == unit else given(to, currency)})
    later: tuple[QuoteLine, ...] = ()
    if timing.later_minutes and house.labour_per_hour:
        amount = _refresh(recipe, house, material, timing, figure, given, rate, the_unit)
        weeks = f"{REFRESH_WEEKS[0]} to {REFRESH_WEEKS[1]} weeks later"
        later = (QuoteLine(label=REFRESH, amount=amount, note=f"{weeks}, its hair included"),)
    quote = Quote(currency=currency, lines=tuple(lines), tax=tax, total=total, deposit=deposit, later=later,
                  unpriced=tuple(dict.fromkeys(unpriced)))
    return Outcome(quote, tuple(figures))


def _refresh(recipe: Recipe, house: House, material: Material, timing: Timing, figure: Callable[..., str],
             given: Callable[..., Given], rate: Given, the_unit: Given) -> Decimal:
    """What the front refresh will cost: its hours and hair with overhead and tax, rounded as the house rounds."""
    currency, unit = house.currency, smallest_unit(house.currency)
    hours = exact(max(timing.later_minutes, REFRESH_LEAST_MIN) / 60)
    figure("quote.later_hours", "hours charged for another visit for the front", hours, "round(max(minutes, least) / 60, 4)",
           {"minutes": "timing.later_minutes",
            "least": given(REFRESH_LEAST_MIN, "min", Origin(kind="default", where="our own estimate"))}, "h")
    hair, parts = Decimal(0), []
    for number, (item, share) in enumerate(zip(material.hair, timing.later_hair), 1):
        price, _ = _hair_price(recipe, house, item)
        if price is None or not share:
            continue
        packs, part = exact(item.packs_used), exact(share)
        hair += price * packs * part
        parts.append(figure(
            f"quote.later_hair.{number}", f"{item.name} for another visit for the front", price * packs * part, "price * packs * share",
            {"price": given(price, f"{currency} per pack", recipe.hair(item.name).origin),
             "packs": given(packs, "packs", recipe.origin), "share": given(part, "", recipe.origin)}))
    figure("quote.later_hair", "hair of another visit for the front", hair, " + ".join(f"hair_{n}" for n, _ in enumerate(parts)) or "0",
           {f"hair_{n}": part for n, part in enumerate(parts)})
    tax = Decimal(0) if house.tax_included else house.tax
    net = (hours * house.labour_per_hour + hair) * (1 + house.overhead) * (1 + tax)
    step = house.round_to if house.round_to and house.round_to % unit == 0 else unit
    amount = half_up(net, step).quantize(unit)
    figure("quote.later", "price of another visit for the front, weeks later", amount,
           _ROUND.format("((hours * rate + hair) * (1 + overhead) * (1 + tax))"),
           {"hours": "quote.later_hours", "rate": rate, "hair": "quote.later_hair", "overhead": given(house.overhead), "tax": given(tax),
            "unit": the_unit if step == unit else given(step, currency)})
    return amount


def percent(share: Decimal) -> str:
    """A share in words: 0.075 is ``7.5 %``."""
    return f"{(share * 100).normalize():f} %"


def _hair_price(recipe: Recipe, house: House, item: HairLine) -> tuple[Decimal | None, str]:
    """The price of a pack in the house's currency, or None and why not."""
    entry = recipe.hair(item.name)
    if entry.price is None:
        return None, NO_PRICE
    if entry.currency not in (None, house.currency):
        return None, f"priced in {entry.currency}, not {house.currency}"
    return entry.price, ""


def _problems(house: House) -> tuple[Problem, ...]:
    span = whole_line(house.origin.file, house.origin.line)
    found: list[Problem] = []
    if house.currency not in DIGITS:
        near = difflib.get_close_matches(house.currency.upper(), sorted(DIGITS), n=3)
        found.append(Problem("E007", f'"{house.currency}" is no ISO 4217 currency',
                             f"did you mean {', '.join(near)}?" if near else "write three letters, such as EUR", span))
    for name, share in (("overhead", house.overhead), ("tax", house.tax), ("discount", house.discount),
                        ("deposit", house.deposit)):
        if share is not None and not 0 <= share <= (1 if name in ("discount", "deposit") else 10):
            found.append(Problem("E008", f"{name} {percent(share)} is no share of a price",
                                 "write a percentage, such as 20 %", span))
    return tuple(found)
