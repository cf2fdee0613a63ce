"""The outline of several zones taken together, and what a straight parting leaves of it.

Places are ``(phi, u)``: azimuth, and share of the way from vertex to hairline. A loop goes round
its zones with the crown side on the left hand of increasing azimuth: forward along upper edges,
back along lower ones.
"""

from __future__ import annotations

from typing import Callable, NamedTuple

from .scalp import TURN
from .zones import Strip

Place = tuple[float, float]
NARROW = 0.09
"""Widest step along a loop, radians: its curves are followed closely enough to draw."""
DEEP = 0.07
"""The same down the head, as a share of depth."""
SAME = 1e-9


class Step(NamedTuple):
    """A place on a loop and how the loop leaves it: round the head (``u`` kept), down it (azimuth
    kept), or along a parting."""

    phi: float
    u: float
    way: str
    value: float
    """What a parting is asked about: see :func:`keep`."""


def key(place: Place) -> Place:
    """The same for every way of writing a place; the vertex is one place."""
    phi, u = place
    return (0.0, 0.0) if u == 0.0 else (round(phi % TURN, 8) % round(TURN, 8), round(u, 9))


def loop_of(strips: list[Strip]) -> list[Place] | None:
    """The corners of the one loop round some strips, azimuths continuous but at the vertex; None
    where they have a hole, touch only in a corner, or lie apart."""
    turns = sorted({round(x % TURN, 8) for s in strips for x in (s.low, s.high)})
    depths = sorted({x for s in strips for x in (s.upper, s.lower)})
    after: dict[Place, dict[Place, tuple[Place, Place]]] = {}
    for strip in strips:
        cuts = sorted({
            strip.low, strip.high,
            *(x + k * TURN for x in turns for k in (-1, 0) if strip.low + SAME < x + k * TURN < strip.high - SAME),
        })
        deep = [u for u in depths if strip.upper <= u <= strip.lower]
        ring = [(p, strip.upper) for p in cuts] + [(strip.high, u) for u in deep[1:]]
        ring += [(p, strip.lower) for p in cuts[-2::-1]] + [(strip.low, u) for u in deep[-2::-1]]
        for start, end in zip(ring, ring[1:]):
            a, b = key(start), key(end)
            if a == b:
                continue
            if a in after.get(b, {}):
                del after[b][a]
            else:
                after.setdefault(a, {})[b] = (start, end)
    after = {a: ends for a, ends in after.items() if ends}
    if not after or any(len(ends) > 1 for ends in after.values()):
        return None
    first = here = next(iter(after))
    out: list[Place] = []
    for _ in range(len(after)):
        (there, (start, end)), = after[here].items()
        shift = 0.0
        if out and here != (0.0, 0.0):
            shift = TURN * round((out[-1][0] - start[0]) / TURN)
        if not out or here == (0.0, 0.0):
            out.append((start[0] + shift, start[1]))
        out.append((end[0] + shift, end[1]))
        here = there
        if here == first:
            break
    return out if here == first and len({key(p) for p in out}) == len(after) else None


def stepped(corners: list[Place], value: Callable[[float, float], float]) -> list[Step]:
    """A loop in short steps, each with its value."""
    out: list[Step] = []
    closed = key(corners[0]) == key(corners[-1])
    pairs = list(zip(corners, corners[1:]))
    if not closed or corners[0][1] == 0.0:
        pairs.append((corners[-1], corners[0]))
    for (p0, u0), (p1, u1) in pairs:
        if u0 == u1 == 0.0:
            out.append(Step(p0, 0.0, "round", value(p0, 0.0)))
            continue
        n = 1 + int(max(abs(p1 - p0) / NARROW, abs(u1 - u0) / DEEP))
        way = "round" if u0 == u1 else "down"
        for i in range(n):
            p, u = p0 + (p1 - p0) * i / n, u0 + (u1 - u0) * i / n
            out.append(Step(p, u, way, value(p, u)))
    return out


def keep(
    loop: list[Step], limit: float, above: bool, value: Callable[[float, float], float]
) -> list[Step]:
    """The part of a loop whose value is at least ``limit`` (at most, unless ``above``), closed
    along the parting where it is ``limit``. Parts that lie apart stay joined along it."""
    sign = 1.0 if above else -1.0
    out: list[Step] = []
    for here, there in zip(loop, loop[1:] + loop[:1]):
        inside, then = sign * (here.value - limit) >= 0, sign * (there.value - limit) >= 0
        if inside:
            out.append(here)
        if inside != then:
            phi, u = crossing(here, there, limit, value)
            out.append(Step(phi, u, "parting" if inside else here.way, limit))
    return out


def crossing(here: Step, there: Step, limit: float, value: Callable[[float, float], float]) -> Place:
    """Where a step crosses a limit."""
    if here.way == "down":
        p0 = p1 = here.phi if here.u else there.phi
        u0, u1 = here.u, there.u
    else:
        # A loop round the vertex closes a whole turn further on.
        p0, p1 = here.phi, there.phi + TURN * round((here.phi - there.phi) / TURN)
        u0 = u1 = here.u
    rising = there.value > here.value
    low, high = 0.0, 1.0
    for _ in range(48):
        t = (low + high) / 2
        if (value(p0 + t * (p1 - p0), u0 + t * (u1 - u0)) < limit) == rising:
            low = t
        else:
            high = t
    t = (low + high) / 2
    return p0 + t * (p1 - p0), u0 + t * (u1 - u0)


def apart(strips: list[Strip]) -> list[list[Strip]]:
    """The strips in groups that share edges."""
    groups: list[list[Strip]] = []
    for strip in strips:
        touching = [group for group in groups if any(meet(strip, other) for other in group)]
        groups = [group for group in groups if group not in touching]
        groups.append([other for group in touching for other in group] + [strip])
    return groups


def meet(one: Strip, other: Strip) -> bool:
    """Whether two strips share an edge."""
    deep = min(one.lower, other.lower) - max(one.upper, other.upper)
    for k in (-1, 0, 1):
        wide = min(one.high, other.high + k * TURN) - max(one.low, other.low + k * TURN)
        if (deep > SAME and abs(wide) < SAME) or (wide > SAME and abs(deep) < SAME):
            return True
    return False
