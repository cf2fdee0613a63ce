"""How each hair is cut: a flat length as a bar, with its cuts, its fold and its off-cut."""

from __future__ import annotations

from ...plan.model import CutLine, Material
from ..speech import Speech, speech
from ..wording import capital
from .ink import TEXT_MM, held, line, picture, shaded, shape, text, wrap

BAR_MM = 6.0
ROW = TEXT_MM + 0.9
LEFT = 2.0


def cut_picture(
    material: Material, say: Speech = speech(), width_mm: float = 188.0, prefix: str = ""
) -> str:
    """The cut plan as a standalone SVG, all hairs to one scale. It has no ids (``prefix`` unused)."""
    del prefix
    lines = _same(material.cuts)
    longest = max((cut.cut_mm * cut.cuts_per_length + cut.offcut_mm for cut in lines), default=1.0)
    scale = (width_mm - 2 * LEFT) / longest
    marks: list[str] = []
    y = 0.0
    for cut in lines:
        marks.append(text(LEFT, y + ROW - 0.9, _heading(cut, say), bold=True))
        y += ROW + 0.6
        marks += _bar(cut, y, scale, say)
        y += BAR_MM + 0.8
        for words in wrap(capital(cut.text), width_mm - 2 * LEFT):
            y += ROW
            marks.append(text(LEFT, y - 0.9, words))
        y += 3.0
    return picture(width_mm, max(y, 1.0), say("How the hair is cut"), cut_words(material, say), marks)


def cut_words(material: Material, say: Speech = speech()) -> str:
    """The cut plan in words, one line for each hair and size."""
    return "\n".join(f"{_heading(cut, say)}: {cut.text}" for cut in _same(material.cuts))


def _same(cuts: tuple[CutLine, ...]) -> list[CutLine]:
    """Lines without repeats: one for each hair, role, width held and shade."""
    return list({(cut.hair, cut.role, cut.held_mm, cut.colour): cut for cut in cuts}.values())


def _heading(cut: CutLine, say: Speech) -> str:
    return say("{hair}, {role}: {pieces}, held {width} wide", hair=shaded(cut.hair, cut.colour), role=cut.role,
               pieces=say.many("{n} piece", "{n} pieces", cut.pieces), width=held(cut.held_mm, say))


def _bar(cut: CutLine, y: float, scale: float, say: Speech) -> list[str]:
    """One flat length: solid lines where it is cut, short dashes where a piece is folded."""
    marks: list[str] = []
    at = LEFT
    long = cut.cut_mm * scale
    for _ in range(cut.cuts_per_length):
        marks.append(shape([(at, y), (at + long, y), (at + long, y + BAR_MM), (at, y + BAR_MM)], wide=0.4))
        if 0.0 < cut.fold < 1.0:
            fold = at + cut.fold * long
            marks.append(line(fold, y, fold, y + BAR_MM, 0.25, "0.8 0.6"))
        middle = at + long * (0.25 if 0.0 < cut.fold < 1.0 else 0.5)
        label = say.length(cut.cut_mm)
        if long * 0.5 > len(label) * TEXT_MM * 0.6:
            marks.append(text(middle, y + BAR_MM / 2 + 1.1, label, "middle"))
        at += long
    if cut.offcut_mm > 1.0:
        left = cut.offcut_mm * scale
        marks.append(shape([(at, y), (at + left, y), (at + left, y + BAR_MM), (at, y + BAR_MM)], wide=0.2))
        marks.append(line(at, y, at + left, y + BAR_MM, 0.2))
        marks.append(line(at, y + BAR_MM, at + left, y, 0.2))
    return marks
