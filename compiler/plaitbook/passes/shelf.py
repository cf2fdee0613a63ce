"""What stands on the shelf, or comes with the wearer, shared out among a hair's colours."""

from __future__ import annotations


def credited(
    wanted: dict[tuple[str, str | None], float], packs: dict[str, float]
) -> dict[tuple[str, str | None], float]:
    """Packs of each hair shared out among its colours.

    What is there is counted by hair, not by colour: the colour that takes most is served
    first, each as far as it needs, and what is over stays with the first served. All
    packs are handed out, for every hair that is wanted at all.
    """
    given = dict.fromkeys(wanted, 0.0)
    for name, left in packs.items():
        colours = sorted((key for key in wanted if key[0] == name), key=lambda key: -wanted[key])
        for key in colours:
            given[key] = min(left, wanted[key])
            left -= given[key]
        if colours:
            given[colours[0]] += left
    return given
