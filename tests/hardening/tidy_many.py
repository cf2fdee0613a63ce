"""Tidy ten thousand made-up recipes: ``python tests/hardening/tidy_many.py``.

Each compiles; each is tidied and compiled again. Counted are recipes whose
plan differs (places in the file apart: lines move), whose second tidying
changes something, and comments that are lost, added or changed.
"""

from __future__ import annotations

import argparse
import re
import sys
import time
from pathlib import Path
from random import Random

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE.parent), str(HERE)]

from recipe_maker import made_recipe  # noqa: E402
from shipped_book import compile_in_book  # noqa: E402

from plaitbook.compile import Compiled  # noqa: E402
from plaitbook.syntax.normalise import plain_line, plain_lines  # noqa: E402
from plaitbook.syntax.tidy import tidy  # noqa: E402

WEARERS = (None, "Ilse", "Noor", "Tomasz", "Adaeze", "Marisol")


def comments(text: str) -> list[str]:
    """Every comment, by the reader's own splitter of lines, without the space at its ends."""
    return [" ".join(comment.split()) for line in plain_lines(text) if (comment := plain_line(line).comment)]


def said(done: Compiled) -> str:
    """The plan as data, but for the lines it names and the author's spacing of a measure."""
    assert done.plan is not None
    data = done.plan.model_dump_json(exclude={"head": {"seal"}})
    data = re.sub(r'"line":\d+', '"line":0', data)
    return re.sub(r"line \d+", "line", data)


def trouble(text: str, wearer: str | None) -> str:
    """What tidying did to a recipe that it should not have; nothing where all is well; ``no plan`` where it has none."""
    before = compile_in_book(text, wearer=wearer)
    if before.plan is None:
        return "no plan"
    once = tidy(text)
    if tidy(once) != once:
        return "a second tidying changes it"
    if comments(text) != comments(once):
        return "a comment is lost"
    after = compile_in_book(once, wearer=wearer)
    if after.plan is None or said(after) != said(before):
        return "the plan changed"
    return ""


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--recipes", type=int, default=10_000)
    parser.add_argument("--seed", type=int, default=8)
    arguments = parser.parse_args()
    random, counts, started, untidy, seen_comments = Random(arguments.seed), {}, time.time(), 0, 0
    compiled = 0
    while compiled < arguments.recipes:
        text = made_recipe(random)
        found = trouble(text, random.choice(WEARERS))
        counts[found] = counts.get(found, 0) + 1
        if found == "no plan":
            continue
        compiled += 1
        untidy += tidy(text) != text
        seen_comments += len(comments(text))
        if found:
            print(f"--- {found}\n{text}", file=sys.stderr)
        if compiled % 500 == 0:
            print(f"{compiled:,} of {arguments.recipes:,}  {time.time() - started:.0f} s", file=sys.stderr, flush=True)
    bad = {name: count for name, count in counts.items() if name not in ("", "no plan")}
    print(f"{compiled:,} recipes with a plan, {untidy:,} of them untidy, {seen_comments:,} comments; "
          f"{counts.get('no plan', 0):,} more had no plan; {time.time() - started:.0f} s")
    print("troubles: " + (", ".join(f"{name}: {count}" for name, count in bad.items()) or "none"))
    return 1 if bad else 0


if __name__ == "__main__":
    raise SystemExit(main())
