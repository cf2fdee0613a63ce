"""A figure's formula in plain words, each input with its value: how the card came by a number."""

from __future__ import annotations

import ast
from collections.abc import Mapping
from decimal import Decimal

from ..plan.model import Figure, Value

MOST_INPUTS = 7
"""Beyond this a formula is a long sum over strands, zones or stages, and is said so. Our own estimate."""
TINY = 1e-6
"""A number this small stands in a formula against rounding only, and isn't said."""
SIGNS = {ast.Add: "+", ast.Sub: "−", ast.Mult: "×", ast.Div: "÷"}
RANK = {ast.Add: 1, ast.Sub: 1, ast.Mult: 2, ast.Div: 2, ast.Pow: 4}


def amount(value: Value, unit: str = "") -> str:
    """A value short enough to read in a sentence: about three figures, with its unit."""
    if isinstance(value, Decimal):
        text = f"{value:,}"
    elif isinstance(value, (int, float)):
        size = abs(value)
        text = f"{value:.{0 if size >= 100 else 1 if size >= 10 else 2 if size >= 0.1 or size == 0 else 4}f}"
        text = text.rstrip("0").rstrip(".") if "." in text else text
    else:
        text = str(value)
    return f"{text}\u00a0{unit}" if unit and unit not in (text, "share") else text


def said_formula(figure: Figure, figures: Mapping[str, Figure]) -> str:
    """How the figure was worked out: ``packs (5.7) × (1 + spare (0.1)), rounded up``.

    What was done in words is returned as it stands, with its inputs' values after it.
    """
    values = {name: _value(given if not isinstance(given, str) else figures.get(given)) for name, given in figure.inputs.items()}
    if figure.how == "words":
        known = ", ".join(f"{_name(n)} {v}" for n, v in values.items() if v)
        return figure.formula + (f" (from {known})" if known and len(values) <= MOST_INPUTS else "")
    if len(values) > MOST_INPUTS:
        return "added up over its parts" if "+" in figure.formula else "worked out from its parts"
    try:
        return _said(ast.parse(figure.formula, mode="eval").body, values, 0)
    except (SyntaxError, ValueError):
        return figure.formula


def _value(given: object) -> str:
    value, unit = getattr(given, "value", None), getattr(given, "unit", "")
    return "" if value is None else amount(value, unit)


def _name(name: str) -> str:
    return name.replace("_", " ")


def _said(node: ast.expr, values: Mapping[str, str], rank: int) -> str:
    if isinstance(node, ast.Constant) and isinstance(node.value, (int, float)):
        return amount(node.value)
    if isinstance(node, ast.Name):
        known = values.get(node.id)
        return f"{_name(node.id)} ({known})" if known else _name(node.id)
    if isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.USub):
        return f"−{_said(node.operand, values, 3)}"
    if isinstance(node, ast.BinOp):
        return _bracketed(*_two(node, values), rank)
    if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
        return _bracketed(*_called(node.func.id, node.args, values), rank)
    raise ValueError(ast.dump(node))


def _bracketed(text: str, own: int, rank: int) -> str:
    return f"({text})" if own < rank else text


def _two(node: ast.BinOp, values: Mapping[str, str]) -> tuple[str, int]:
    kind = type(node.op)
    if kind in (ast.Add, ast.Sub) and _tiny(node.right):
        return _said(node.left, values, 1), 1
    if kind is ast.Pow:
        power = {"2": " squared", "3": " cubed"}.get(ast.unparse(node.right), f" to the power {_said(node.right, values, 9)}")
        return _said(node.left, values, 4) + power, 4
    nearest = _nearest(node.left) if kind is ast.Mult else None
    if nearest is not None and ast.dump(nearest[1]) == ast.dump(node.right):
        return f"{_said(nearest[0], values, 1)}, to the nearest {_said(node.right, values, 3)}", 0
    if kind not in SIGNS:
        raise ValueError(ast.dump(node))
    own = RANK[kind]
    right = _said(node.right, values, own + (kind in (ast.Sub, ast.Div)))
    return f"{_said(node.left, values, own)} {SIGNS[kind]} {right}", own


def _nearest(node: ast.expr) -> tuple[ast.expr, ast.expr] | None:
    """(what, unit) of ``floor(what / unit + 1/2)``."""
    inner = _half_up(node)
    return (inner.left, inner.right) if isinstance(inner, ast.BinOp) and isinstance(inner.op, ast.Div) else None


def _half_up(node: ast.expr) -> ast.expr | None:
    """The x of ``floor(x + 1/2)``."""
    if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "floor" and len(node.args) == 1:
        inner = node.args[0]
        if isinstance(inner, ast.BinOp) and isinstance(inner.op, ast.Add) and ast.unparse(inner.right) in ("0.5", "1 / 2"):
            return inner.left
    return None


def _tiny(node: ast.expr) -> bool:
    return isinstance(node, ast.Constant) and isinstance(node.value, float) and 0 < abs(node.value) < TINY


def _called(name: str, arguments: list[ast.expr], values: Mapping[str, str]) -> tuple[str, int]:
    if name == "floor" and len(arguments) == 1:
        half = _half_up(ast.Call(func=ast.Name(id="floor"), args=arguments, keywords=[]))
        if half is not None:
            return f"{_said(half, values, 1)}, to the nearest whole number", 0
    said = [_said(a, values, 0) for a in arguments]
    if name in ("min", "max"):
        bounds = [a for a in arguments if isinstance(a, ast.Constant)]
        if name == "max" and len(said) == 2 and len(bounds) == 1:
            other = next(a for a in arguments if not isinstance(a, ast.Constant))
            return f"{_said(other, values, 0)}, but never under {_said(bounds[0], values, 0)}", 0
        return f"the {'smaller' if name == 'min' else 'larger'} of {' and '.join(said)}", 0
    words = {"ceil": "{}, rounded up", "floor": "{}, rounded down", "round": "{}, rounded", "sqrt": "the square root of {}",
             "exp": "e to the power of {}", "sum": "the sum of {}"}
    if name not in words:
        raise ValueError(name)
    inner = _said(arguments[0], values, 3 if name in ("sqrt", "exp") else 1)
    return words[name].format(inner), 3 if name in ("sqrt", "exp") else 0
