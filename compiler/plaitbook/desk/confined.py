"""A house's template rendered in a process of its own, which can neither fill the memory nor open many files."""

from __future__ import annotations

MEMORY = 1 << 30
"""Bytes it may have, where the system can hold it to that; our own estimate."""
FILES = 16
"""Files it may have open: what Python itself needs to load Jinja."""


def render() -> None:
    """Answer one question of :func:`plaitbook.cards.house_templates.main`, under those limits."""
    try:
        import resource

        for kind, most in ((resource.RLIMIT_AS, MEMORY), (resource.RLIMIT_NOFILE, FILES)):
            try:
                resource.setrlimit(kind, (most, most))
            except (ValueError, OSError):
                pass  # this system doesn't know that limit: the others hold all the same
    except ImportError:
        pass  # no limits on Windows: the time limit holds all the same
    from ..cards.house_templates import main

    main()
