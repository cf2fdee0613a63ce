"""The feed-in solver against an exact integer program: ``python tests/validation/solver.py``.

Prints the table of docs/validation.md in Markdown: the share of random small strands on
which both need the same number of pieces, the greatest excess, and the largest error in width.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "strands"))

from solver_cases import Compared, compared  # noqa: E402

from plaitbook.passes.constants import WIDTH_TOLERANCE  # noqa: E402

GROUPS: tuple[tuple[str, Callable[[Compared], bool]], ...] = (
    ("plait, hold", lambda one: one.case.model.technique == "plait" and one.case.wish.kind == "hold"),
    ("plait, until", lambda one: one.case.model.technique == "plait" and one.case.wish.kind == "until"),
    ("two-strand twist", lambda one: one.case.model.technique == "twist"),
    ("scalp row", lambda one: one.case.model.technique == "row"),
    ("all", lambda one: True),
)


def table(cases: int, seed: int) -> str:
    found = list(compared(seed, cases))
    lines = [
        "| strands | cases | same count | greatest excess | below tolerance | both bounds can be kept | kept "
        "| largest error in width there |",
        "| --- | --- | --- | --- | --- | --- | --- | --- |",
    ]
    for name, belongs in GROUPS:
        group = [one for one in found if belongs(one)]
        same = sum(one.ours == one.exact for one in group)
        excess = max(one.ours - one.exact for one in group)
        below = max(one.least_mm for one in group)
        able = [one for one in group if one.capped is not None]
        kept = [one for one in able if one.most_mm <= 1e-9]
        error = max((one.error for one in kept), default=0.0)
        lines.append(
            f"| {name} | {len(group)} | {same} ({100 * same / len(group):.1f} %) | {excess} | {below:.3f} mm "
            f"| {len(able)} | {len(kept)} ({100 * len(kept) / max(1, len(able)):.0f} %) | {100 * error:.1f} % |"
        )
    lines.append("")
    lines.append(f"Seed {seed}; tolerance {100 * WIDTH_TOLERANCE:g} % to either side.")
    return "\n".join(lines)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--cases", type=int, default=400)
    parser.add_argument("--seed", type=int, default=20)
    arguments = parser.parse_args()
    print(table(arguments.cases, arguments.seed))


if __name__ == "__main__":
    main()
