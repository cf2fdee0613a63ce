"""Plaitbook compiles braiding recipes into prep cards.

The one obvious entry is :func:`compile_recipe`. The public names are loaded
when first used, so that importing the package costs nothing.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from .compile import Compiled, Request, compile_recipe

__all__ = ["Compiled", "Request", "compile_recipe"]


def __getattr__(name: str) -> Any:
    if name in __all__:
        from . import compile as _compile

        return getattr(_compile, name)
    raise AttributeError(f"module 'plaitbook' has no attribute {name!r}")
