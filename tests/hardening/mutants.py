"""Change the passes at random and see whether a test notices: ``python tests/hardening/mutants.py``.

Draws a sample of small changes to ``plaitbook/passes`` (a comparison turned,
an operator swapped, a number moved by a tenth or by one, a condition negated,
a ``min`` made a ``max``, a ``return`` emptied), one at a time, in a copy of
the package, and runs the tests of that pass. A mutant no test notices has
survived; those that follow from nothing (text of messages, type-checking
blocks, docstrings) are not drawn. ``--coverage`` measures instead which lines
the tests run.
"""

from __future__ import annotations

import argparse
import ast
import os
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path
from random import Random

ROOT = Path(__file__).resolve().parents[2]
PASSES = "compiler/plaitbook/passes"
TESTS = {
    "section": ("tests/sections", "tests/editions"), "strand": ("tests/strands", "tests/editions"), "material": ("tests/strands", "tests/rules"),
    "timing": ("tests/timing", "tests/rules/test_every_card.py"),
}
"""Pass -> the tests that should notice; a cheap first one, then the others."""
OF = {
    "section": ("grids/", "sections", "section_figures", "head", "hairline", "surface", "anthropometry", "wishes"),
    "strand": ("strand", "bundles", "feed_in", "accents", "crossed", "saying", "load", "relaxed"),
    "material": ("material", "cutting", "racks", "shelf", "currencies"),
}
_COMPARE = {ast.Lt: ast.GtE, ast.GtE: ast.Lt, ast.Gt: ast.LtE, ast.LtE: ast.Gt, ast.Eq: ast.NotEq, ast.NotEq: ast.Eq, ast.In: ast.NotIn, ast.Is: ast.IsNot,
            ast.IsNot: ast.Is, ast.NotIn: ast.In}
_OPERATE = {ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult, ast.FloorDiv: ast.Mult, ast.Mod: ast.Mult, ast.Pow: ast.Mult}
_CALLS = {"min": "max", "max": "min", "any": "all", "all": "any", "ceil": "floor", "floor": "ceil", "sin": "cos", "cos": "sin"}


def group_of(file: str) -> str:
    inside = file.split("passes/", 1)[1]
    return next((group for group, names in OF.items() if inside.startswith(names)), "timing")


class _Change(ast.NodeTransformer):
    """Makes the change with one number, counting all it could make."""

    def __init__(self, wanted: int) -> None:
        self.wanted, self.seen, self.what, self.line = wanted, 0, "", 0

    def _mine(self, node: ast.AST, what: str) -> bool:
        self.seen += 1
        if self.seen - 1 == self.wanted:
            self.what, self.line = what, getattr(node, "lineno", 0)
            return True
        return False

    def visit_JoinedStr(self, node: ast.JoinedStr) -> ast.AST:
        return node  # the text of a message

    def visit_If(self, node: ast.If) -> ast.AST:
        if isinstance(node.test, ast.Name) and node.test.id == "TYPE_CHECKING":
            return node
        self.generic_visit(node)
        if self._mine(node, "condition negated"):
            node.test = ast.UnaryOp(ast.Not(), node.test)
        return node

    def visit_Compare(self, node: ast.Compare) -> ast.AST:
        self.generic_visit(node)
        if type(node.ops[0]) in _COMPARE and self._mine(node, "comparison turned"):
            node.ops = [_COMPARE[type(node.ops[0])](), *node.ops[1:]]
        return node

    def visit_BinOp(self, node: ast.BinOp) -> ast.AST:
        self.generic_visit(node)
        texts = any(isinstance(side, (ast.JoinedStr, ast.Constant)) and isinstance(getattr(side, "value", ""), str) for side in (node.left, node.right))
        if type(node.op) in _OPERATE and not texts and not _types(node) and self._mine(node, "operator swapped"):
            node.op = _OPERATE[type(node.op)]()
        return node

    def visit_BoolOp(self, node: ast.BoolOp) -> ast.AST:
        self.generic_visit(node)
        if self._mine(node, "and/or swapped"):
            node.op = ast.Or() if isinstance(node.op, ast.And) else ast.And()
        return node

    def visit_Constant(self, node: ast.Constant) -> ast.AST:
        if isinstance(node.value, bool):
            return ast.copy_location(ast.Constant(not node.value), node) if self._mine(node, "truth turned") else node
        if isinstance(node.value, (int, float)) and self._mine(node, f"number {node.value} moved"):
            return ast.copy_location(ast.Constant(node.value + 1 if isinstance(node.value, int) else node.value * 1.1), node)
        return node

    def visit_Call(self, node: ast.Call) -> ast.AST:
        self.generic_visit(node)
        name = node.func.id if isinstance(node.func, ast.Name) else node.func.attr if isinstance(node.func, ast.Attribute) else ""
        if name in _CALLS and self._mine(node, f"{name} made {_CALLS[name]}"):
            if isinstance(node.func, ast.Name):
                node.func.id = _CALLS[name]
            elif isinstance(node.func, ast.Attribute):
                node.func.attr = _CALLS[name]
        return node

    def visit_AnnAssign(self, node: ast.AnnAssign) -> ast.AST:
        if node.value is not None:
            node.value = self.visit(node.value)
        return node

    def visit_arguments(self, node: ast.arguments) -> ast.AST:
        return node


def _types(node: ast.BinOp) -> bool:
    return isinstance(node.op, ast.BitOr)


def possible(source: str) -> int:
    """How many changes a module has room for."""
    change = _Change(-1)
    change.visit(ast.parse(source))
    return change.seen


def changed(source: str, number: int) -> tuple[str, str, int]:
    """(the module with one change, what it is, its line)."""
    change = _Change(number)
    tree = ast.fix_missing_locations(change.visit(ast.parse(source)))
    return ast.unparse(tree), change.what, change.line


def sample(count: int, seed: int) -> Iterator[tuple[str, int]]:
    """(file, number of the change): every possible change is as likely as any other."""
    every = [(str(path.relative_to(ROOT)), number) for path in sorted((ROOT / PASSES).rglob("*.py"))
             for number in range(possible(path.read_text("utf-8")))]
    return iter(Random(seed).sample(every, min(count, len(every))))


def noticed(copy: Path, file: str, limit: float) -> bool:
    """Whether a test of the pass fails (or runs past the limit) in the copy."""
    environment = os.environ | {"PYTHONPATH": str(copy / "compiler"), "PLAITBOOK_CACHE": "", "PYTHONDONTWRITEBYTECODE": "1"}
    for tests in TESTS[group_of(file)]:
        try:
            done = subprocess.run([sys.executable, "-m", "pytest", "-q", "-x", "-p", "no:cacheprovider", tests], cwd=copy,
                                  env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, timeout=limit)
        except subprocess.TimeoutExpired:
            return True
        if done.returncode:
            return True
    return False


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--mutants", type=int, default=200)
    parser.add_argument("--seed", type=int, default=8)
    parser.add_argument("--limit", type=float, default=900, help="seconds for one run of tests")
    parser.add_argument("--coverage", action="store_true", help="measure coverage of the passes instead")
    arguments = parser.parse_args()
    if arguments.coverage:
        return subprocess.run([sys.executable, "-m", "pytest", "-q", "--cov=plaitbook.passes", "--cov-branch", "--cov-report=term",
                               "tests/sections", "tests/strands", "tests/timing", "tests/editions", "tests/rules/test_every_card.py"], cwd=ROOT).returncode
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder)
        for name in ("compiler", "grammar", "recipes", "tests", "docs"):
            shutil.copytree(ROOT / name, copy / name, ignore=shutil.ignore_patterns("__pycache__", "node_modules"))
        shutil.copy(ROOT / "pyproject.toml", copy)
        killed, survivors, started = 0, [], time.time()
        for file in ("passes/sections", "passes/strands", "passes/material", "passes/timing"):
            if noticed(copy, file, arguments.limit):
                print(f"the tests of {group_of(file)} fail before anything is changed")
                return 2
        for tried, (file, number) in enumerate(sample(arguments.mutants, arguments.seed), 1):
            path = copy / file
            source = path.read_text("utf-8")
            text, what, line = changed(source, number)
            path.write_text(text, "utf-8")
            if noticed(copy, file, arguments.limit):
                killed += 1
            else:
                survivors.append(f"{file.split('passes/')[1]}:{line} {what}: {source.splitlines()[line - 1].strip()[:90]}")
                print(f"survived: {survivors[-1]}", flush=True)
            path.write_text(source, "utf-8")
            print(f"{tried} tried, {killed} noticed ({killed / tried:.0%}), {time.time() - started:.0f} s", file=sys.stderr, flush=True)
    print(f"{tried} mutants, {killed} noticed: {killed / tried:.1%}")
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
