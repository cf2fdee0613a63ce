"""Recipes that compile, written untidily: every kind of statement, comments anywhere, odd spacing and marks."""

from __future__ import annotations

from random import Random

ZONES = ("nape", "back", "crown", "sides", "temples", "top")
_COMMENTS = ("# note", "#", "# ask her: \"tight?\"", "#½ as much", "#  spaces  inside ", "# ünïcode — “marks”", "## two", "# , ; :", "#\u00a0hard space")


def made_recipe(random: Random) -> str:
    """One file: a look of random statements in random order and a random hand."""
    return untidy("\n".join(_statements(random)), random)


def _statements(r: Random) -> list[str]:
    """Lines of a recipe that compiles in the shipped book."""
    hair, curl = r.choice(("Dune", "Kelp")), r.choice(("Dune Curl", "Meadow Curl"))
    choose_size, choose_length = r.random() < 0.4, r.random() < 0.3
    curls, rows, by_strand = r.random() < 0.5, r.random() < 0.1, r.random() < 0.2
    technique = "scalp rows" if rows else r.choice(("plait", "plaits", "box braids", "two-strand twist", "twists"))
    lines = [f"technique {technique}" + r.choice(("", ", relaxed", ", ordinary", ", firm"))]
    if not rows and r.random() < 0.3:
        lines.append(f"technique plait, relaxed in {r.choice(ZONES)}")
    cut = r.choice((20, 24, 30, 36, 40, 47.5))
    most = int(cut // 3)
    lines.append("wearing by length" if choose_length else f"wearing {r.choice((f'{most} in', f'{most - 1} to {most} in', f'{most - 1}½ in', 'level at shoulder'))}")
    choices = []
    if choose_size and not rows:
        choices.append("size: small is grid 1 in, width 5 mm; medium is grid 1¼ in, width 7 mm; default medium")
    if choose_length:
        choices.append(f"length: bob is {most - 1} in; long is {most} in")
    if choices:
        lines.append("\n".join(["choices:", *choices]))
    colour = r.choice(("", ' colour "driftwood"'))
    base = f'base: "{hair}"{colour}, cut {cut} in' + r.choice(("", ", folded in the middle", ", folded at ⅓")) + r.choice(("", ", ends pulled 2 in", ", blunt ends"))
    lines.append("\n".join(["hair:", base, *([f'curls: "{curl}", cut 18 in'] if curls else [])]))
    grid = "by size" if choose_size and not rows else r.choice(("1 in", "1½ in", "30 mm", "2.5 cm", "60 sections", "1 in by 1¼ in"))
    sections = [f"grid scalp rows straight back, {r.randint(6, 10)} rows" if rows else f"grid {r.choice(('', 'square ', 'brick '))}{grid}"]
    if rows:
        sections.append("parting none")
    else:
        sections += r.sample(("parting centre", "mirrored", "order nape up", "hairline brick 1 in"), r.randint(0, 3))
    lines.append("\n".join(["sections:", *sections]) if r.random() < 0.7 or rows else "\n".join(sections))
    start = "own hair 1 in first, then 1 piece of base ¼ pencil" if rows else r.choice(("extension at root, 1 piece of base ½ pencil", "knotted, 2 pieces of base ¼ pencil",
                                                                                       "own hair 1 in first, then 1 piece of base ¼ pencil"))
    lines.append(f"start: {start}")
    if rows:
        lines.append("feed: every 4 stitches from stitch 5 to 20: 1 piece of base ¼ pencil")
    elif by_strand and not choose_size:
        lines.append("feed: pieces of base ¼ pencil, hold width by strand")
        lines += ["when strand is fine: width 5 mm", "when strand is medium or coarse: width 8 mm"]
    else:
        lines.append(f"feed: pieces of base ¼ pencil, hold width {'by size' if choose_size else r.choice(('7 mm', '8 mm', '0.9 cm'))}")
    if curls:
        lines.append("accents: " + r.choice((f"every {r.randint(6, 12)} stitches from stitch 3 to end: 1 piece of curls ⅕ pencil, alternate sides, stagger",
                                             "at stitches 5, 9 and 14: 1 piece of curls ⅕ pencil, left side")))
    if r.random() < 0.3:
        lines.append(f"accents: at stitch {r.randint(3, 9)}: 2 beads of \"Pebble bead\"")
    lines.append("end: " + r.choice(("none", "band", "knot 4 turns, trim straight ends", "heat seal 180 °C", "tuck, leave loose", '3 beads of "Pebble bead", band')))
    if r.random() < 0.5:
        lines.append(f'finish "setting foam" {r.randint(5, 30)} g, "light oil" 4 g')
    if r.random() < 0.4:
        lines.append("when edges is thin or fragile: leave out hairline")
    for optional in ("demo", f'summary "Look {r.randint(1, 99)}, ‘tried’; a # b: c."', 'note "Ask, twice."', "expect sections at least 1"):
        if r.random() < 0.4:
            lines.append(optional)
    r.shuffle(lines)
    return ["edition 1", f'recipe "Made {r.randint(1, 999)}"' + r.choice(("", " version 2")), *lines]


def untidy(text: str, random: Random) -> str:
    """The same recipe in a careless hand: nothing that changes what it says."""
    out: list[str] = []
    for line in text.split("\n"):
        while random.random() < 0.15:
            out.append(random.choice(("", "   ", f"  {random.choice(_COMMENTS)}", random.choice(_COMMENTS))))
        out += _one(line, random)
    out += [""] * random.randint(0, 3)
    return random.choice(("\n", "\n", "\r\n")).join(out) + random.choice(("", "\n"))


def _one(line: str, random: Random) -> list[str]:
    parts = line.split('"')
    for at in range(0, len(parts), 2):
        part = parts[at]
        if random.random() < 0.3:
            part = part.replace(" ", random.choice(("  ", "\t", "\u00a0", " \u2009")))
        if random.random() < 0.2:
            part = part.replace(", ", random.choice((" , ", ",  ", ",\t")))
        if random.random() < 0.1:
            part = part.upper()
        if random.random() < 0.1:
            part = part.replace(" in", " ″" if random.random() < 0.5 else " inches").replace("″ first", "in first").replace("″ nape", "in nape") \
                if part.rstrip().endswith(" in") else part
        parts[at] = part
    if random.random() < 0.2 and '"' in line and len(parts) % 2:
        line = "".join(part + ("" if at == len(parts) - 1 else "“" if at % 2 == 0 else "”") for at, part in enumerate(parts))
    else:
        line = '"'.join(parts)
    line = " " * random.choice((0, 0, 1, 2, 5)) + line + " " * random.choice((0, 0, 0, 3))
    comma = [at for at, char in enumerate(line) if char == "," and line[:at].count('"') % 2 == 0 and not any(mark in line for mark in "“”")]
    if comma and random.random() < 0.2:
        at = random.choice(comma)
        first, second = line[: at + 1], line[at + 1 :]
        return [first + (f"  {random.choice(_COMMENTS)}" if random.random() < 0.3 else ""),
                *([random.choice(_COMMENTS)] if random.random() < 0.2 else []), " " * random.randint(0, 4) + second.lstrip() + _comment(random)]
    return [line + _comment(random)]


def _comment(random: Random) -> str:
    return f" {random.choice(_COMMENTS)}" if random.random() < 0.15 else ""
