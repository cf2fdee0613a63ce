"""Find what ships beside the code: ``grammar/`` and ``recipes/``.

In a wheel both lie inside the package; in a checkout they lie at its top.
"""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent


@lru_cache(maxsize=None)
def shipped_folder(name: str) -> Path:
    """The folder ``grammar`` or ``recipes``. Raises FileNotFoundError if it was not shipped."""
    inside = _PACKAGE / name
    if inside.is_dir():
        return inside
    for parent in _PACKAGE.parents:
        if (parent / "pyproject.toml").is_file() and (parent / name).is_dir():
            return parent / name
    raise FileNotFoundError(f"plaitbook was installed without its '{name}' folder; install it again")
