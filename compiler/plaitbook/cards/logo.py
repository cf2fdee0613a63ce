"""A house's logo as a picture of the card, from the bytes of a PNG or JPEG file.

Only these two: they hold nothing but an image. Their sizes are read from their heads; nothing is decoded here.
"""

from __future__ import annotations

from base64 import b64encode

from .card import Picture

MOST_BYTES = 512 * 1024
MOST_PIXELS = 4_000
"""Of either side; a logo of more can't be told apart on paper and only fills memory. Our own estimate."""
WIDEST_MM, HIGHEST_MM = 42.0, 14.0
"""Room for it in the card's head; our own estimate."""
PNG = b"\x89PNG\r\n\x1a\n"
"""The signature of a PNG file (W3C, Portable Network Graphics, third edition, 5.2)."""


def logo_picture(data: bytes, house: str) -> Picture:
    """The logo, as large as its room lets it be. Raises ValueError, in words for the one who chose the file."""
    if len(data) > MOST_BYTES:
        raise ValueError(f"is {len(data) // 1024} kB, and a logo may have {MOST_BYTES // 1024}")
    kind, wide, high = _read(data)
    if not (0 < wide <= MOST_PIXELS and 0 < high <= MOST_PIXELS):
        raise ValueError(f"is {wide} by {high} pixels, and a logo may have {MOST_PIXELS} either way")
    scale = min(WIDEST_MM / wide, HIGHEST_MM / high)
    width, height = wide * scale, high * scale
    image = f'<image width="{wide}" height="{high}" href="data:image/{kind};base64,{b64encode(data).decode()}"/>'
    svg = (f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide} {high}" width="{width:.2f}mm" height="{height:.2f}mm">'
           f"{image}</svg>")
    return Picture(svg=svg, alt=house, width_mm=width, height_mm=height)


def _read(data: bytes) -> tuple[str, int, int]:
    """(kind, width, height) in pixels."""
    if data.startswith(PNG) and data[12:16] == b"IHDR" and len(data) >= 24:
        return "png", int.from_bytes(data[16:20], "big"), int.from_bytes(data[20:24], "big")
    if data.startswith(b"\xff\xd8\xff"):
        wide, high = _frame(data)
        return "jpeg", wide, high
    raise ValueError("is neither a PNG nor a JPEG image")


def _frame(data: bytes) -> tuple[int, int]:
    """Width and height from a JPEG's frame header (ITU-T T.81, B.2.2)."""
    at = 2
    while at + 9 <= len(data) and data[at] == 0xFF:
        marker = data[at + 1]
        if 0xC0 <= marker <= 0xCF and marker not in (0xC4, 0xC8, 0xCC):
            return int.from_bytes(data[at + 7:at + 9], "big"), int.from_bytes(data[at + 5:at + 7], "big")
        at += 2 + int.from_bytes(data[at + 2:at + 4], "big") if marker != 0xFF else 1
    raise ValueError("is a JPEG image whose size can't be read")
