"""What a snapshot of a page keeps."""

from __future__ import annotations

import re


def without_drawings(html: str) -> str:
    """A page with each drawing cut to its opening tag, so that a snapshot changes when the words do."""
    return re.sub(r"<svg[^>]*>.*?</svg>", "<svg/>", re.sub(r"<style>.*?</style>", "<style/>", html, flags=re.S), flags=re.S)
