"""A tone for each colour of a look. Colour names are a house's own words, so tones only tell them apart."""

from __future__ import annotations

from typing import NamedTuple

from ...plan.model import Plan, StrandKind

TONES = ("#d8cfc0", "#978e83", "#f4f0e8", "#6f665c", "#b4aa9c")
"""Light to dark in an order that keeps neighbours apart in black-and-white print; lines are darker than all."""
DARK, LIGHT = "#6f665c", "#f4f0e8"
DARK_WORDS = frozenset(("black", "night", "dark", "ink", "coal", "jet"))
LIGHT_WORDS = frozenset(("white", "light", "blond", "blonde", "silver", "pale", "snow"))
"""Plain words of shade that a name may hold; our own list."""


Tones = list[tuple[float, str, str | None]]
"""(from mm, tone, second tone of a blend) down a strand, root first."""


class Colours(NamedTuple):
    """Which tone stands for which colour, and which colours each role has, most hair first."""

    tones: dict[str, str]
    of_role: dict[str, tuple[str, ...]]

    def tone(self, role: str, place: int = 0) -> str:
        """The tone of a role's colour; the first tone for a role without one."""
        names = self.of_role.get(role, ())
        return self.tones[names[place]] if place < len(names) else TONES[0]


def colours_of(plan: Plan) -> Colours:
    """Tones by the plan's own hair list; colours that share a word of shade still get their own tone."""
    of_role: dict[str, dict[str, float]] = {}
    for line in plan.material.hair:
        for role in line.roles:
            found = of_role.setdefault(role, {})
            name = line.colour or line.name
            found[name] = found.get(name, 0.0) + line.worn_grams
    names = list(dict.fromkeys(n for found in of_role.values() for n in sorted(found, key=lambda n: -found[n])))
    names += [f.colour for k in plan.strand_kinds for f in k.feed_ins if f.colour and f.colour not in names]
    tones: dict[str, str] = {}
    for shade, words in ((DARK, DARK_WORDS), (LIGHT, LIGHT_WORDS)):
        for name in names:
            if shade not in tones.values() and words & set(name.lower().split()):
                tones.setdefault(name, shade)
    free = [t for t in TONES if t not in tones.values()] or list(TONES)
    for name in dict.fromkeys(names):
        if name not in tones:
            tones[name] = free.pop(0) if len(free) > 1 else free[0]
    tones = {name: tones[name] for name in dict.fromkeys(names)}
    return Colours(tones, {role: tuple(sorted(found, key=lambda n: -found[n])) for role, found in of_role.items()})


def strand_tones(kind: StrandKind, colours: Colours) -> Tones:
    """The tones of one kind of strand: the main hair's colours, and where they change."""
    roles = [f.role for f in kind.feed_ins] or [role for role, _ in kind.pieces]
    if not roles:
        return [(0.0, TONES[0], None)]
    role = max(dict.fromkeys(roles), key=roles.count)
    names = colours.of_role.get(role, ())
    spans: Tones = []
    for fed in kind.feed_ins:
        if fed.role == role and fed.colour:
            tone = colours.tones.get(fed.colour, TONES[0])
            if not spans or spans[-1][1] != tone:
                spans.append((fed.at_mm if spans else 0.0, tone, None))
    if spans:
        return spans
    return [(0.0, colours.tone(role), colours.tones[names[1]] if len(names) > 1 else None)]
