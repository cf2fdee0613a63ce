"""Imports run one way only, and what is heavy is imported by the command that needs it."""

from __future__ import annotations

import ast
import os
import subprocess
import sys
from pathlib import Path

import pytest

import plaitbook

PACKAGE = Path(plaitbook.__file__).parent
FLOORS = ("syntax", "meaning", "plan", "passes", "rules", "cards", "desk")
"""Ground floor first: a module may import from its own floor and those below."""

ONLY_IN = {"lark": ("syntax",), "pint": ("meaning",), "jinja2": ("cards",), "typst": ("cards",), "argparse": ("desk",)}


def imported(path: Path) -> set[str]:
    """Absolute names of the modules a file imports."""
    package = ("plaitbook", *path.relative_to(PACKAGE).parent.parts)
    names: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            base = ".".join(package[: len(package) - node.level + 1]) if node.level else ""
            module = ".".join(part for part in (base, node.module or "") if part)
            names.add(module)
            names |= {f"{module}.{alias.name}" for alias in node.names}
    return names


def modules() -> list[Path]:
    return [p for p in sorted(PACKAGE.rglob("*.py")) if p.relative_to(PACKAGE).parts[0] in FLOORS]


@pytest.mark.parametrize("path", modules(), ids=lambda p: str(p.relative_to(PACKAGE)))
def test_imports_go_downwards_only(path: Path) -> None:
    floor = FLOORS.index(path.relative_to(PACKAGE).parts[0])
    for name in imported(path):
        parts = name.split(".")
        if parts[0] == "plaitbook" and len(parts) > 1 and parts[1] in FLOORS:
            assert FLOORS.index(parts[1]) <= floor, f"{path.name} imports {name}"
        for library, allowed in ONLY_IN.items():
            if parts[0] == library:
                assert FLOORS[floor] in allowed, f"{library} is imported in {path}"


@pytest.mark.parametrize("library", ["pint", "typst", "jinja2", "numpy", "scipy"])
def test_check_imports_nothing_heavy(library: str, tmp_path: Path) -> None:
    code = (
        "import sys\nfrom plaitbook.desk.command import main\nfrom plaitbook.shipped import shipped_folder\n"
        "main(['check', str(shipped_folder('recipes') / 'looks' / 'saltmarsh.plait')])\n"
        f"sys.exit('{library}' in sys.modules)"
    )
    anew = os.environ | {"PLAITBOOK_CACHE": ""}  # a check remembered would import next to nothing
    assert subprocess.run([sys.executable, "-c", code], cwd=tmp_path, capture_output=True, env=anew).returncode == 0
