"""Change the passes at random and see whether a test notices: ``python tests/hardening/mutants.py``.

Draws a sample of small changes to ``plaitbook/passes`` (a comparison turned,
an operator swapped, a number moved by a tenth or by one, a condition negated,
a ``min`` made a ``max``), one at a time, in a copy of the package, and runs
the stored plans and then the tests of that pass. A mutant no test notices has
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
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from queue import Queue
from random import Random

ROOT = Path(__file__).resolve().parents[2]
PASSES = "compiler/plaitbook/passes"
TESTS = {
    "section": ("tests/editions", "tests/sections"), "strand": ("tests/editions", "tests/strands"),
    "material": ("tests/editions", "tests/strands", "tests/rules/test_every_card.py"),
    "timing": ("tests/editions", "tests/timing", "tests/rules/test_every_card.py"),
}
"""Pass -> the tests that should notice, the quickest first."""
OF = {
    "section": ("grids/", "sections", "section_figures", "head", "hairline", "surface", "anthropometry", "wishes"),
    "strand": ("strand", "bundles", "feed_in", "accents", "crossed", "saying", "load", "relaxed"),
    "material": ("material", "cutting", "racks", "shelf", "currencies"),
}
SLACK = 4
"""A mutant that makes tests run this many times longer than they did unchanged, and a minute, never ends: it is noticed."""
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
            moved = node.value + 1 if isinstance(node.value, int) or not node.value else node.value * 1.1
            return ast.copy_location(ast.Constant(moved), node)
        return node

    def visit_FunctionDef(self, node: ast.FunctionDef) -> ast.AST:
        decorators, node.decorator_list = node.decorator_list, []  # how much is remembered changes no result
        self.generic_visit(node)
        node.decorator_list = decorators
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


def seconds(copy: Path, tests: str, limit: float) -> float | None:
    """How long some tests take in a copy; None where one fails, or they run past the limit."""
    environment = os.environ | {"PYTHONPATH": str(copy / "compiler"), "PLAITBOOK_CACHE": "", "PYTHONDONTWRITEBYTECODE": "1"}
    began = time.monotonic()
    try:
        done = subprocess.run([sys.executable, "-m", "pytest", "-q", "-x", "-n", "0", "-p", "no:cacheprovider", tests], cwd=copy,
                              env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, timeout=limit)
    except subprocess.TimeoutExpired:
        return None
    return None if done.returncode else time.monotonic() - began


def copied(folder: Path) -> Path:
    """A copy of what the tests need."""
    for name in ("compiler", "grammar", "recipes", "tests", "docs"):
        shutil.copytree(ROOT / name, folder / name, ignore=shutil.ignore_patterns("__pycache__", "node_modules"))
    shutil.copy(ROOT / "pyproject.toml", folder)
    return folder


def survived(copy: Path, file: str, number: int, limits: dict[str, float]) -> str:
    """Where and what the change is that no test noticed; nothing where one did."""
    path = copy / file
    source = path.read_text("utf-8")
    text, what, line = changed(source, number)
    path.write_text(text, "utf-8")
    try:
        if any(seconds(copy, tests, limits[tests]) is None for tests in TESTS[group_of(file)]):
            return ""
    finally:
        path.write_text(source, "utf-8")
    return f"{file.split('passes/')[1]}:{line} {what}: {source.splitlines()[line - 1].strip()[:90]}"


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--mutants", type=int, default=200)
    parser.add_argument("--seed", type=int, default=8)
    parser.add_argument("--at-once", type=int, default=os.cpu_count() or 1, help="default: one on each core")
    parser.add_argument("--coverage", action="store_true", help="measure coverage of the passes instead")
    arguments = parser.parse_args()
    if arguments.coverage:
        return subprocess.run([sys.executable, "-m", "pytest", "-q", "--cov=plaitbook.passes", "--cov-branch", "--cov-report=term",
                               "tests/sections", "tests/strands", "tests/timing", "tests/editions", "tests/rules/test_every_card.py"], cwd=ROOT).returncode
    with tempfile.TemporaryDirectory() as folder:
        copies: Queue[Path] = Queue()
        for n in range(arguments.at_once):
            copies.put(copied(Path(folder) / str(n)))
        limits = {}
        for tests in sorted({tests for group in TESTS.values() for tests in group}):
            unchanged = seconds(Path(folder) / "0", tests, 3600)
            if unchanged is None:
                print(f"{tests} fails before anything is changed")
                return 2
            limits[tests] = SLACK * unchanged + 60
            print(f"{tests} takes {unchanged:.0f} s", file=sys.stderr, flush=True)

        def tried(change: tuple[str, int]) -> str:
            copy = copies.get()
            try:
                return survived(copy, *change, limits)
            finally:
                copies.put(copy)

        killed, done = 0, 0
        with ThreadPoolExecutor(arguments.at_once) as pool:
            for done, left in enumerate(pool.map(tried, sample(arguments.mutants, arguments.seed)), 1):
                killed += not left
                if left:
                    print(f"survived: {left}", flush=True)
                print(f"{done} tried, {killed} noticed ({killed / done:.0%})", file=sys.stderr, flush=True)
    print(f"{done} mutants, {killed} noticed: {killed / done:.1%}")
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
