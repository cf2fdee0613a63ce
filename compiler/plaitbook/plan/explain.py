"""Where a figure came from: a tree of formulas and inputs, and a check that recomputes it.

The recomputation is independent of the passes: it reads the formula's text
and evaluates it over the inputs, bottom up. Decimals and whole numbers are
worked exactly, as fractions, so that a rounded amount of money comes out to
the last digit; measured numbers are floats.
"""

from __future__ import annotations

import ast
import difflib
import math
import textwrap
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Callable, Mapping, Union

from ..meaning.values import Origin
from .model import Figure, Value

Number = Union[float, Fraction]

LARGEST_POWER = 1000
"""Exponents beyond this are refused: no formula of ours needs one, and they could run for ever."""


class ExplainError(ValueError):
    """A figure that doesn't exist, or whose formula can't be worked."""


@dataclass(frozen=True)
class ExplainNode:
    """One line of the explanation and what it rests on."""

    name: str
    """The input's name in the formula above; the figure's key at the root."""
    key: str
    """The figure's key, or empty for an input that wasn't computed."""
    label: str
    value: Value
    unit: str
    formula: str
    how: str
    source: str
    origin: Origin | None
    children: tuple["ExplainNode", ...] = ()


def explain(figures: Mapping[str, Figure], key: str) -> ExplainNode:
    """The tree of a figure. Raises ExplainError for an unknown key or a circle."""
    return _node(figures, key, key, (), {})


def _figure(figures: Mapping[str, Figure], key: str) -> Figure:
    figure = figures.get(key)
    if figure is None:
        near = difflib.get_close_matches(key, list(figures), n=3)
        raise ExplainError(f'no figure is called "{key}"' + (f"; did you mean {' or '.join(near)}?" if near else ""))
    return figure


def _node(
    figures: Mapping[str, Figure], name: str, key: str, above: tuple[str, ...], done: dict[str, ExplainNode]
) -> ExplainNode:
    # One figure may stand under many: its node is built once and shared, so that a tree with
    # many paths stays as small as its figures.
    if key in done:
        return done[key] if done[key].name == name else replace(done[key], name=name)
    if key in above:
        raise ExplainError(f'"{key}" rests on itself: {" > ".join((*above, key))}')
    figure = _figure(figures, key)
    children = tuple(
        _node(figures, input_name, given, (*above, key), done) if isinstance(given, str) else ExplainNode(
            input_name, "", input_name.replace("_", " "), given.value, given.unit, "", "given", "", given.origin)
        for input_name, given in figure.inputs.items()
    )
    done[key] = ExplainNode(name, key, figure.label, figure.value, figure.unit, figure.formula, figure.how,
                            figure.source, None, children)
    return done[key]


# --- as text ---------------------------------------------------------------


def explain_text(node: ExplainNode, width: int = 80, told: set[str] | None = None) -> str:
    """The tree in lines of at most ``width`` characters where words allow it.

    A figure that was explained above is named again, not explained again;
    ``told`` carries what was explained from one tree to the next.
    """
    lines: list[str] = []
    _write(node, "", "", width, lines, set() if told is None else told, "")
    return "\n".join(lines) + "\n"


def _write(node: ExplainNode, first: str, rest: str, width: int, lines: list[str], told: set[str],
           source_above: str) -> None:
    name = node.name if node.name == node.key else node.name.replace("_", " ")
    head = f"{name} = {spoken(node.value, node.unit)}"
    if node.key and node.label and node.label not in (name, node.name):
        head += f"  ({node.label})"
    known = bool(node.key) and node.key in told
    if known:
        head += "  see above" if node.children or node.formula else ""
    elif node.origin is not None:
        head += f"  ({where(node.origin)})"
    lines += _wrapped(head, first, rest + ("│   " if node.children and not known else "  "), width)
    if known or not node.key:
        return
    told.add(node.key)
    bar = rest + ("│ " if node.children else "  ")
    how = f"= {node.formula}" if node.how == "formula" else node.formula
    lines += _wrapped(how, bar, bar + "  ", width)
    if node.source and node.source != source_above:
        lines += _wrapped(f"source: {node.source}", bar, bar + "  ", width)
    for place, child in enumerate(node.children):
        last = place == len(node.children) - 1
        _write(child, rest + ("└ " if last else "├ "), rest + ("  " if last else "│ "), width, lines, told, node.source)


def _wrapped(text: str, first: str, rest: str, width: int) -> list[str]:
    # Deep trees keep 30 columns for words, and then run over the edge rather than into a pillar.
    return textwrap.wrap(text, max(width, len(first) + 30), initial_indent=first, subsequent_indent=rest,
                         break_long_words=False, break_on_hyphens=False) or [first.rstrip()]


def spoken(value: Value, unit: str) -> str:
    """A value with its unit; floats to five figures, decimals and whole numbers as they are."""
    if isinstance(value, float):
        shown = f"{value:.5g}" if value == 0 or 1e-4 <= abs(value) < 1e5 else f"{value:.4e}"
        if abs(value) >= 1e5 and abs(value) < 1e12:
            shown = f"{value:.0f}"
    else:
        shown = str(value)
    return f"{shown} {unit}".rstrip()


def where(origin: Origin) -> str:
    """The origin in words, with file and line if it has them."""
    place = f", {origin.file}:{origin.line}" if origin.file and origin.line else ""
    words = origin.where or origin.kind
    return f"{words}{place}" if origin.kind in words or words.startswith("our own") else f"{origin.kind}: {words}{place}"


# --- recomputing -----------------------------------------------------------


def recompute(figures: Mapping[str, Figure], key: str) -> float:
    """The figure's value worked anew from its formula and, below it, theirs.

    A figure whose ``how`` is ``words`` stands for itself. Raises ExplainError
    for an unknown key or name, a circle, a text where a number is needed, or
    a formula that isn't arithmetic.
    """
    return float(_number(figures, key, (), {}))


def recompute_all(figures: Mapping[str, Figure]) -> dict[str, float]:
    """Every figure's value worked anew, each once. Raises ExplainError as :func:`recompute` does."""
    done: dict[str, Number] = {}
    return {key: float(_number(figures, key, (), done)) for key in figures}


def _number(figures: Mapping[str, Figure], key: str, above: tuple[str, ...], done: dict[str, Number]) -> Number:
    if key in done:
        return done[key]
    if key in above:
        raise ExplainError(f'"{key}" rests on itself: {" > ".join((*above, key))}')
    figure = _figure(figures, key)
    if figure.how == "words":
        value = _exact(figure.value, key)
    else:
        inputs = {
            name: _number(figures, given, (*above, key), done) if isinstance(given, str)
            else _exact(given.value, f"{key}: {name}")
            for name, given in figure.inputs.items()
        }
        value = evaluate(figure.formula, inputs, key)
    done[key] = value
    return value


def _exact(value: Value, what: str) -> Number:
    if isinstance(value, str):
        raise ExplainError(f'{what} is the text "{value}", where a number is needed')
    if isinstance(value, float):
        return value
    return Fraction(value)


def evaluate(formula: str, inputs: Mapping[str, Number], what: str = "formula") -> Number:
    """Arithmetic over named numbers, and nothing else. Raises ExplainError otherwise."""
    try:
        tree = ast.parse(formula, mode="eval")
    except (SyntaxError, ValueError, RecursionError, MemoryError) as error:
        raise ExplainError(f"{what}: can't read the formula {formula!r}") from error
    try:
        return _work(tree.body, inputs, what)
    except ZeroDivisionError:
        raise ExplainError(f"{what}: {formula!r} divides by nought") from None
    except (OverflowError, ValueError, TypeError, RecursionError) as error:
        if isinstance(error, ExplainError):
            raise
        raise ExplainError(f"{what}: {formula!r} can't be worked: {error}") from error


def _power(base: Number, exponent: Number) -> Number:
    if abs(exponent) > LARGEST_POWER:
        raise ExplainError(f"a power of {float(exponent):g} is too large")
    if isinstance(exponent, Fraction) and exponent.denominator == 1:
        return base ** int(exponent)
    result = float(base) ** float(exponent)
    if isinstance(result, complex):
        raise ExplainError(f"{float(base):g} has no real power {float(exponent):g}")
    return result


def _round(value: Number, digits: Number = Fraction(0)) -> Number:
    result = round(value, int(digits))
    return Fraction(result) if isinstance(value, Fraction) else result


_BINARY: dict[type, Callable[[Number, Number], Number]] = {
    ast.Add: lambda a, b: a + b, ast.Sub: lambda a, b: a - b, ast.Mult: lambda a, b: a * b,
    ast.Div: lambda a, b: a / b, ast.Pow: _power,
}

_CALLS: dict[str, tuple[Callable[..., Number], int, int]] = {
    "sqrt": (lambda x: math.sqrt(x), 1, 1),
    "exp": (lambda x: math.exp(x), 1, 1),
    "ceil": (lambda x: Fraction(math.ceil(x)), 1, 1),
    "floor": (lambda x: Fraction(math.floor(x)), 1, 1),
    "round": (_round, 1, 2),
    "min": (lambda *xs: min(xs), 1, 10000),
    "max": (lambda *xs: max(xs), 1, 10000),
    "sum": (lambda *xs: sum(xs, Fraction(0)), 0, 10000),
}
"""(function, fewest, most arguments)."""


def _work(node: ast.expr, inputs: Mapping[str, Number], what: str) -> Number:
    match node:
        case ast.Constant(value=bool()):
            pass
        case ast.Constant(value=int() as whole):
            return Fraction(whole)
        case ast.Constant(value=float() as real):
            return real
        case ast.Name(id=name):
            if name in inputs:
                return inputs[name]
            if name == "pi":
                return math.pi
            raise ExplainError(f'{what}: the formula uses "{name}", which is none of its inputs '
                               f"({', '.join(inputs) or 'it has none'})")
        case ast.BinOp(left=left, op=op, right=right) if type(op) in _BINARY:
            return _BINARY[type(op)](_work(left, inputs, what), _work(right, inputs, what))
        case ast.UnaryOp(op=ast.USub(), operand=operand):
            return -_work(operand, inputs, what)
        case ast.UnaryOp(op=ast.UAdd(), operand=operand):
            return _work(operand, inputs, what)
        case ast.Call(func=ast.Name(id=name), args=args, keywords=[]) if name in _CALLS:
            call, fewest, most = _CALLS[name]
            if not fewest <= len(args) <= most:
                raise ExplainError(f"{what}: {name} takes {fewest} to {most} numbers, not {len(args)}")
            if len(args) == 1 and isinstance(args[0], (ast.List, ast.Tuple)) and name in ("min", "max", "sum"):
                args = args[0].elts
            return call(*(_work(arg, inputs, what) for arg in args))
    raise ExplainError(f"{what}: {ast.unparse(node)!r} is no arithmetic")
