"""How well the compiler finds the place of a slip: ``python tests/hardening/recovery.py``.

Takes every shipped file, makes one to three random slips in it
(``breaking_edits``), checks it as ``plait check`` does, and counts: whether
the first message is in the right place, and how many messages are too many.

- A slip that leaves a valid text is no mistake and isn't counted.
- The right place of a slip is told in ``breaking_edits``.
- Each slip is owed one message; every message beyond that is spurious, even
  where it is true and on the right line.
"""

from __future__ import annotations

import argparse
import sys
from dataclasses import dataclass, field
from pathlib import Path
from random import Random

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE.parent), str(HERE)]

from breaking_edits import Edit, broken_often, in_place  # noqa: E402
from hardening_checks import book, fetch  # noqa: E402
from shipped_book import shipped_looks, shipped_text  # noqa: E402

from plaitbook.desk.job import Job  # noqa: E402
from plaitbook.desk.shelf import Shelf  # noqa: E402
from plaitbook.desk.trying import try_file  # noqa: E402
from plaitbook.syntax.parse import parse  # noqa: E402
from plaitbook.syntax.problem import Problem  # noqa: E402


@dataclass
class Tally:
    """What was counted for texts with one number of slips."""

    tried: int = 0
    broken: int = 0
    placed: int = 0
    spurious: int = 0
    slips: int = 0
    answered: int = 0
    """Slips that got a message of their own in the first run."""
    without_tree: int = 0
    misplaced: list[tuple[str, Edit, Problem]] = field(default_factory=list)
    noisy: list[tuple[str, list[Edit], tuple[Problem, ...]]] = field(default_factory=list)


def messages(file: str, text: str) -> tuple[Problem, ...]:
    """What ``plait check FILE`` says of a file of the shipped book with this text in it."""
    beside = tuple((name, body) for name, body in book().items() if name != file)
    return try_file(Job(Shelf(Path()), file, text, None, beside), fetch).problems


def measure(slips: int, count: int, seed: int) -> Tally:
    """Make ``count`` texts with this many slips each, and tally what is said of them."""
    random = Random(f"{seed} {slips}")
    files = [*shipped_looks(), *book()]
    tally = Tally()
    while tally.tried < count:
        file = random.choice(files)
        text, edits = broken_often(shipped_text(file), random, slips)
        tally.tried += 1
        try:
            tree, _ = parse(text, file)
            problems = messages(file, text)
        except Exception:  # noqa: BLE001  an escape leaves the reader without anything
            tally.without_tree += 1
            continue
        if tree is None:
            tally.without_tree += 1
        if problems:
            _count(tally, text, edits, problems)
    return tally


def _count(tally: Tally, text: str, edits: list[Edit], problems: tuple[Problem, ...]) -> None:
    tally.broken += 1
    tally.slips += len(edits)
    free = list(edits)
    spurious = 0
    for place, problem in enumerate(problems):
        lines = {problem.span.line, *(span.line for _, span in problem.others)}
        right = [edit for edit in edits if in_place(edit, problem.message, lines, text)]
        if place == 0:
            tally.placed += bool(right)
            if not right:
                tally.misplaced.append((text, edits[0], problem))
        mine = [edit for edit in right if edit in free]
        if mine:
            free.remove(mine[0])
        else:
            spurious += 1
    if not any(in_place(e, p.message, {p.span.line}, text) for e in edits for p in problems[:1]):
        spurious = len(problems) - 1 if len(edits) == 1 else spurious  # the first is wrong, not a follow-up
    tally.spurious += spurious
    tally.answered += len(edits) - len(free)
    if spurious:
        tally.noisy.append((text, edits, problems))


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--texts", type=int, default=4000, help="texts for each number of slips")
    parser.add_argument("--seed", type=int, default=8)
    parser.add_argument("--show", type=int, default=0, metavar="N", help="show N texts that were judged ill")
    arguments = parser.parse_args()
    good = True
    print("| slips | texts | with a mistake | first message in place | spurious messages a text | slips answered at once | no tree |")
    print("| --- | --- | --- | --- | --- | --- | --- |")
    for slips in (1, 2, 3):
        tally = measure(slips, arguments.texts, arguments.seed)
        print(f"| {slips} | {tally.tried} | {tally.broken} | {tally.placed / tally.broken:.2%} | {tally.spurious / tally.broken:.3f} "
              f"| {tally.answered / tally.slips:.1%} | {tally.without_tree} |", flush=True)
        good &= tally.without_tree == 0 and tally.spurious / tally.broken <= 0.1 and (slips > 1 or tally.placed / tally.broken >= 0.98)
        for text, edit, problem in tally.misplaced[: arguments.show]:
            print(f"\nMISPLACED {edit.what} at {edit.lines}, lost {sorted(edit.words)[:8]}\n  {_row(text, edit.lines[0])}\n"
                  f"  said at {problem.span.file}:{problem.span.line} [{problem.code}] {problem.message}")
        for text, edits, problems in tally.noisy[: arguments.show]:
            print("\nNOISY " + "; ".join(f"{e.what} at {e.lines}: {_row(text, e.lines[0])}" for e in edits))
            for problem in problems[:8]:
                print(f"  {problem.span.file}:{problem.span.line} [{problem.code}] {problem.message}")
    return 0 if good else 1


def _row(text: str, line: int) -> str:
    rows = text.split("\n")
    return rows[line - 1] if line <= len(rows) else ""


if __name__ == "__main__":
    raise SystemExit(main())
