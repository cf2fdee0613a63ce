"""A house's logo as a picture of the card, from the bytes of a PNG or JPEG file.

Only these two: they hold nothing but an image. Their sizes are read from their heads, and a file that was cut short or
damaged on its way is refused here, before it stops a card from printing.
"""

from __future__ import annotations

import zlib
from base64 import b64encode

from .card import Picture

MOST_BYTES = 512 * 1024
MOST_PIXELS = 4_000
"""Of either side; a logo of more can't be told apart on paper and only fills memory. Our own estimate."""
WIDEST_MM, HIGHEST_MM = 42.0, 14.0
"""Room for it in the card's head; our own estimate."""
PNG = b"\x89PNG\r\n\x1a\n"
"""The signature of a PNG file (W3C, Portable Network Graphics, third edition, 5.2)."""
CHANNELS = {0: 1, 2: 3, 3: 1, 4: 2, 6: 4}
"""Samples in a pixel by colour type (the same, 6.1)."""
ADAM7 = ((0, 0, 8, 8), (4, 0, 8, 8), (0, 4, 4, 8), (2, 0, 4, 4), (0, 2, 2, 4), (1, 0, 2, 2), (0, 1, 1, 2))
"""(first column, first row, columns, rows apart) of an interlaced image's passes (the same, 8.1)."""


def logo_picture(data: bytes, house: str) -> Picture:
    """The logo, as large as its room lets it be. Raises ValueError, in words for the one who chose the file."""
    if len(data) > MOST_BYTES:
        raise ValueError(f"is {len(data) // 1024} kB, and a logo may have {MOST_BYTES // 1024}")
    kind, wide, high = _read(data)
    if not (0 < wide <= MOST_PIXELS and 0 < high <= MOST_PIXELS):
        raise ValueError(f"is {wide} by {high} pixels, and a logo may have {MOST_PIXELS} either way")
    if not (_whole_png(data, wide, high) if kind == "png" else b"\xff\xd9" in data):
        raise ValueError("is damaged: part of the image is missing")
    scale = min(WIDEST_MM / wide, HIGHEST_MM / high)
    width, height = wide * scale, high * scale
    image = f'<image width="{wide}" height="{high}" href="data:image/{kind};base64,{b64encode(data).decode()}"/>'
    svg = (f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide} {high}" width="{width:.2f}mm" height="{height:.2f}mm">'
           f"{image}</svg>")
    return Picture(svg=svg, alt=house, width_mm=width, height_mm=height)


def _read(data: bytes) -> tuple[str, int, int]:
    """(kind, width, height) in pixels."""
    if data.startswith(PNG) and data[12:16] == b"IHDR" and len(data) >= 29:
        return "png", int.from_bytes(data[16:20], "big"), int.from_bytes(data[20:24], "big")
    if data.startswith(b"\xff\xd8\xff"):
        wide, high = _frame(data)
        return "jpeg", wide, high
    raise ValueError("is neither a PNG nor a JPEG image")


def _whole_png(data: bytes, wide: int, high: int) -> bool:
    """Whether every chunk is as it was written, and holds the whole image (W3C, PNG, 5.3 and 7.2)."""
    depth, colour, woven = data[24], data[25], data[28]
    at, packed, last, palette = len(PNG), bytearray(), b"", False
    while at + 12 <= len(data) and last != b"IEND":
        length = int.from_bytes(data[at:at + 4], "big")
        last, body = data[at + 4:at + 8], data[at + 8:at + 8 + length]
        if zlib.crc32(last + body) != int.from_bytes(data[at + 8 + length:at + 12 + length], "big"):
            return False
        packed += body if last == b"IDAT" else b""
        palette = palette or last == b"PLTE"
        at += 12 + length
    if last != b"IEND" or colour not in CHANNELS or (colour == 3 and not palette):
        return False
    passes = ADAM7 if woven else ((0, 0, 1, 1),)
    sizes = [(-(-(wide - x) // across), -(-(high - y) // down)) for x, y, across, down in passes]
    return _unpacked(bytes(packed)) >= sum(high * (1 + -(-wide * depth * CHANNELS[colour] // 8)) for wide, high in sizes if wide > 0 and high > 0)


def _unpacked(packed: bytes) -> int:
    """Bytes that a zlib stream holds, counted without keeping them; 0 where it is broken."""
    stream, found = zlib.decompressobj(), 0
    try:
        while packed and not stream.eof:
            found += len(stream.decompress(packed, 1 << 20))
            packed = stream.unconsumed_tail
    except zlib.error:
        return 0
    return found


def _frame(data: bytes) -> tuple[int, int]:
    """Width and height from a JPEG's frame header (ITU-T T.81, B.2.2)."""
    at = 2
    while at + 9 <= len(data) and data[at] == 0xFF:
        marker = data[at + 1]
        if 0xC0 <= marker <= 0xCF and marker not in (0xC4, 0xC8, 0xCC):
            return int.from_bytes(data[at + 7:at + 9], "big"), int.from_bytes(data[at + 5:at + 7], "big")
        at += 2 + int.from_bytes(data[at + 2:at + 4], "big") if marker != 0xFF else 1
    raise ValueError("is a JPEG image whose size can't be read")
