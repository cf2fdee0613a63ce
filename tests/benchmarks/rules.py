"""What the rules cost: ``python tests/benchmarks/rules.py``.

Prints a Markdown table: judging a shipped look of 150 sections by the built-in
rules alone and with 200 house rules (a plain mix, some of them looking at every
section), reading those rules when their file was changed, and what the
built-in rules add to a cold start. Nothing is asserted; goals are named beside
each number.
"""

from __future__ import annotations

import argparse
import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import Callable

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from shipped_book import BOOK_FILES, fetch, shipped_text  # noqa: E402
from speed import recipe  # noqa: E402

from plaitbook import Request  # noqa: E402
from plaitbook.compile import compile_from_book  # noqa: E402
from plaitbook.meaning.book import file_meaning, open_book  # noqa: E402
from plaitbook.rules import Parts, judge  # noqa: E402
from plaitbook.rules.read import read_rules  # noqa: E402
from plaitbook.syntax.problem import Problem  # noqa: E402

NAME = "looks/bench.plait"


def two_hundred(salt: int = 0) -> str:
    """200 rules such as a house would write; one in ten looks at every section."""
    conditions = (
        "added weight over {n} g and strand is fine", "time over {n} min", "packs over {n} or sections over {m}",
        "age under {n} years and end is dip", "any section where hairs under {n}", "price over {n}0 USD",
        "not (own hair under {n} mm) and texture is coily or wavy", "load over {n}.5 mN",
        "added weight over {n} times own weight", "stitches over {m} and tightness is firm",
    )
    lines = ["edition 1"]
    for n in range(200):
        asked = conditions[n % 10].format(n=n + 7, m=1000 + n)
        lines += [f'rule "r{n}"', f"code Y{n:03d}", "severity note", f"if {asked}",
                  f'message "{{time}} and {{added weight}}, rule {n} of {salt}"', 'source "invented"']
    return "\n".join(lines) + "\n"


def timed(work: Callable[[], object], runs: int) -> tuple[float, float, float]:
    """(median, least, greatest) milliseconds, after a warm-up."""
    for _ in range(5):
        work()
    spans = []
    for _ in range(runs):
        start = time.perf_counter()
        work()
        spans.append((time.perf_counter() - start) * 1000)
    return statistics.median(spans), min(spans), max(spans)


def scene() -> tuple:  # type: ignore[type-arg]
    """(recipe, wearer, house, parts) of the benchmark's look of 150 sections."""
    book = open_book([(NAME, recipe(sections=150)), *((name, shipped_text(name)) for name in BOOK_FILES)], fetch)
    done = compile_from_book(book, NAME, Request(wearer="Ilse"))
    assert done.plan and done.recipe and done.wearer and done.house, done.problems
    plan = done.plan
    return done.recipe, done.wearer, done.house, Parts(
        plan.sections, plan.strand_kinds, plan.strands, plan.material, plan.load, plan.timing, plan.quote)


def house_rules(salt: int = 0):  # type: ignore[no-untyped-def]
    problems: list[Problem] = []
    rules = read_rules(file_meaning(two_hundred(salt), "rules.plait").rules, problems)
    assert not problems, problems[0]
    return rules


def cold(runs: int) -> float:
    """Milliseconds of processor that importing and preparing the rules adds to what they rest on."""
    code = ("import time, statistics, plaitbook.passes.quote, plaitbook.passes.timing, plaitbook.meaning.settle\n"
            "import plaitbook.meaning.conditions, plaitbook.syntax.parse\n"
            "start = time.process_time()\nfrom plaitbook.rules.engine import _built_in\n_built_in()\n"
            "print((time.process_time() - start) * 1000)")
    with tempfile.TemporaryDirectory() as folder:  # byte code is kept between runs, as it is once installed
        environment = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
        environment["PYTHONPYCACHEPREFIX"] = folder
        spans = [float(subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True,
                                      env=environment).stdout) for _ in range(runs + 1)]
    return statistics.median(spans[1:])


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--runs", type=int, default=200)
    runs = parser.parse_args().runs
    one = scene()
    rules = house_rules()
    plain, more = timed(lambda: judge(*one), runs), timed(lambda: judge(*one, rules), runs)
    salts = iter(range(1, 10_000))
    read = timed(lambda: house_rules(next(salts)), max(5, runs // 20))
    known = timed(lambda: house_rules(), runs)
    print(f"{len(one[3].sections.items)} sections, {len(one[3].kinds)} kinds of strand, "
          f"{len(judge(*one))} findings, with the house's rules {len(judge(*one, rules))}\n")
    print("| rules | median ms | least | greatest | goal |\n| --- | --- | --- | --- | --- |")
    print(f"| the built-in rules | {plain[0]:.2f} | {plain[1]:.2f} | {plain[2]:.2f} | 1 |")
    print(f"| 200 house rules more | {more[0] - plain[0]:.2f} | {more[1] - plain[1]:.2f} | | 3 |")
    print(f"| read 200 rules, all messages new | {read[0]:.1f} | {read[1]:.1f} | {read[2]:.1f} | |")
    print(f"| read 200 rules, the file unchanged | {known[0]:.2f} | {known[1]:.2f} | {known[2]:.2f} | |")
    print(f"| cold: import and prepare the rules | {cold(7):.1f} | | | 20 |")


if __name__ == "__main__":
    main()
