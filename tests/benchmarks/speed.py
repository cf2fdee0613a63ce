"""Speed and memory, measured again: ``python tests/benchmarks/speed.py``.

Prints Markdown tables for docs/performance.md: cold commands in fresh
processes, the warm road from text to HTML by stage, its growth in sections
and lines, and parsing. Nothing here is asserted; the machine is named in the
document.
"""

from __future__ import annotations

import argparse
import gc
import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import Callable

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from shipped_book import BOOK_FILES, fetch, shipped_text  # noqa: E402

from plaitbook import Request, compile_recipe  # noqa: E402
from plaitbook.compile import Compiled  # noqa: E402
from plaitbook.meaning.book import file_meaning, open_book  # noqa: E402
from plaitbook.meaning.inherit import inherit  # noqa: E402
from plaitbook.meaning.settle import settle  # noqa: E402
from plaitbook.passes.load import weigh_load  # noqa: E402
from plaitbook.passes.material import portion_material  # noqa: E402
from plaitbook.passes.quote import price_service  # noqa: E402
from plaitbook.passes.sections import lay_sections  # noqa: E402
from plaitbook.passes.strands import work_strands  # noqa: E402
from plaitbook.passes.timing import clock_service  # noqa: E402
from plaitbook.rules import Parts, judge  # noqa: E402
from plaitbook.shipped import shipped_folder  # noqa: E402
from plaitbook.syntax.parse import parse  # noqa: E402

BESIDE = tuple((name, shipped_text(name)) for name in BOOK_FILES)
NAME = "looks/bench.plait"


def recipe(sections: int = 150, every: int = 9, width: str = "5 mm", lines: int = 60) -> str:
    """Saltmarsh at a section count, padded with notes to a number of lines."""
    text = shipped_text("looks/saltmarsh.plait")
    text = text.replace("grid brick by size", f"grid brick {sections} sections").replace("  hairline brick ¾ in\n", "")
    text = text.replace("small is grid ¾ in, width 5 mm; medium is grid 1 in, width 7 mm; large is grid 1½ in, width 9 mm; default medium",
                        f"small is width 4 mm; medium is width {width}; default medium")
    text = text.replace("every 9 stitches", f"every {every} stitches")
    count = text.count("\n")
    return text + "".join(f'note "Line {n}, for length."\n' for n in range(max(0, lines - count)))


def compiled(text: str) -> Compiled:
    done = compile_recipe(text, NAME, Request(wearer="Ilse"), beside=BESIDE, fetch=fetch)
    assert done.plan is not None, [(p.span.line, p.message) for p in done.problems]
    return done


def html(done: Compiled) -> str:
    from plaitbook.cards.build import write_card
    from plaitbook.cards.html import render_html

    assert done.plan and done.recipe and done.wearer and done.house
    return render_html(write_card(done.plan, done.recipe, done.wearer, done.house))


def timed(work: Callable[[int], object], runs: int) -> tuple[float, float, float]:
    """(median, least, greatest) milliseconds of ``work(n)`` for different n, after a warm-up."""
    for n in range(3):
        work(-n - 1)
    spans = []
    for n in range(runs):
        start = time.perf_counter()
        work(n)
        spans.append((time.perf_counter() - start) * 1000)
    return statistics.median(spans), min(spans), max(spans)


def shown(name: str, spans: tuple[float, float, float]) -> str:
    return f"| {name} | {spans[0]:.1f} | {spans[1]:.1f} | {spans[2]:.1f} |"


BASE = "importing argparse, lark, and one pydantic model"
_COUNTED = """import resource, subprocess, sys
subprocess.run(sys.argv[1:], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
print(resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss)"""


def cold(runs: int) -> None:
    """Whole processes, from nothing, in turn, so that what disturbs the machine disturbs all alike.

    Every run finds the bytecode that an install or the first import writes,
    and the grammar's tables. A check's *first time* finds no check remembered.
    """
    look = str(shipped_folder("recipes") / "looks" / "saltmarsh.plait")
    run = "import sys; from plaitbook.desk.command import main; sys.exit(main(sys.argv[1:]))"
    card = ["-c", run, "card", look, "--wearer", "Ilse", "--format"]
    again = "`plait check` of one look, again"
    cases = {
        "`python -c pass`": ["-c", "pass"],
        BASE: ["-c", "import argparse, lark\nfrom pydantic import BaseModel\nclass M(BaseModel):\n    a: int"],
        "`plait check` of one look, first time": ["-c", run, "check", look],
        again: ["-c", run, "check", look],
        "`plait card --format text`": [*card, "text", "-o", os.devnull],
        "`plait card --format html`": [*card, "html", "-o", os.devnull],
        "`plait card --format pdf`": [*card, "pdf", "-o", "bench.pdf"],
    }
    spans: dict[str, list[float]] = {name: [] for name in cases}
    peaks: dict[str, str] = {}
    with tempfile.TemporaryDirectory(prefix="plaitbook-bench-") as scratch:
        environment = os.environ | {"PLAITBOOK_CACHE": f"{scratch}/kept", "PYTHONPYCACHEPREFIX": f"{scratch}/bytecode"}
        environment.pop("PYTHONDONTWRITEBYTECODE", None)
        for turn in range(runs + 2):
            for name, arguments in cases.items():
                if name != again:
                    shutil.rmtree(f"{scratch}/kept/checks", ignore_errors=True)
                command = [sys.executable, *arguments]
                if turn == 1 and sys.platform != "win32":  # turn 0 warms up, turn 1 measures memory
                    done = subprocess.run([sys.executable, "-c", _COUNTED, *command], capture_output=True, text=True, env=environment)
                    peaks[name] = f"{int(done.stdout) / 1024:.0f}"
                    continue
                start = time.perf_counter()
                subprocess.run(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, env=environment)
                spans[name] += [(time.perf_counter() - start) * 1000] if turn > 1 else []
    Path("bench.pdf").unlink(missing_ok=True)
    base = min(spans[BASE])
    print("| fresh process | median ms | least | greatest | least, of importing | peak MB |\n| --- | --- | --- | --- | --- | --- |")
    for name, taken in spans.items():
        figures = f"{statistics.median(taken):.0f} | {min(taken):.0f} | {max(taken):.0f} | {min(taken) / base:.2f}"
        print(f"| {name} | {figures} | {peaks.get(name, '–')} |")


def warm(runs: int) -> None:
    """One edit at a time on a 60-line recipe of 150 sections, text to finished HTML."""
    gc.collect()
    gc.freeze()  # as a session at the desk would: what is loaded by now stays
    gc.set_threshold(100_000, 50, 50)  # as the command line does
    edits: dict[str, Callable[[int], str]] = {
        "a word of the summary": lambda n: recipe().replace("Knotless", f"Knotless {n}"),
        "how often an accent comes": lambda n: recipe(every=4 + n % 60),
        "the width held": lambda n: recipe(width=f"{5 + (n % 97) / 200:.3f} mm"),
        "the section count": lambda n: recipe(sections=130 + n % 40),
    }
    print("\n| what is edited | median ms | least | greatest |\n| --- | --- | --- | --- |")
    for name, edit in edits.items():
        print(shown(name, timed(lambda n: html(compiled(edit(n + 5))), runs)))


def stages(runs: int) -> None:
    """The same road in stages, the width being edited."""
    print("\n| stage | median ms | least | greatest |\n| --- | --- | --- | --- |")
    texts = [recipe(width=f"{5 + n / 300:.4f} mm") for n in range(200)]
    print(shown("read the file and give it meaning", timed(lambda n: file_meaning(texts[n + 5] + "\n", NAME), runs)))
    book = open_book([(NAME, texts[0]), *BESIDE], fetch)
    look = inherit(book.files[NAME].looks[0], book.looks, [])
    wearer, house = book.wearers["Ilse"], next(iter(book.houses.values()))
    assert look is not None
    print(shown("settle", timed(lambda n: settle(look, wearer, house, book.hairs, book.ornaments, {}, []), runs)))
    done = [compiled(text) for text in texts[:3]]
    one = done[0].recipe
    assert one is not None

    def moved(n: int):  # type: ignore[no-untyped-def]
        book = open_book([(NAME, recipe(width=f"{6 + n / 300:.4f} mm")), *BESIDE], fetch)
        return settle(book.files[NAME].looks[0], wearer, house, book.hairs, book.ornaments, {}, [])

    recipes = [moved(n) for n in range(runs + 10)]
    sections = lay_sections(one, wearer, house).part
    print(shown("sections, nothing changed for them", timed(lambda n: lay_sections(recipes[n + 3], wearer, house), runs)))
    counts = [open_book([(NAME, recipe(sections=120 + n)), *BESIDE], fetch).files[NAME].looks[0] for n in range(runs + 10)]
    resized = [settle(c, wearer, house, book.hairs, book.ornaments, {}, []) for c in counts]
    print(shown("sections, the grid changed", timed(lambda n: lay_sections(resized[n + 3], wearer, house), runs)))
    print(shown("strands", timed(lambda n: work_strands(recipes[n + 3], wearer, house, sections), runs)))
    kinds, strands = work_strands(one, wearer, house, sections).part
    print(shown("material", timed(lambda n: portion_material(one, wearer, house, sections, kinds), runs)))
    material = portion_material(one, wearer, house, sections, kinds).part
    print(shown("load", timed(lambda n: weigh_load(one, wearer, house, sections, kinds), runs)))
    load = weigh_load(one, wearer, house, sections, kinds).part
    print(shown("timing", timed(lambda n: clock_service(one, wearer, house, sections, kinds, material), runs)))
    timing = clock_service(one, wearer, house, sections, kinds, material).part
    print(shown("quote", timed(lambda n: price_service(one, wearer, house, material, timing), runs)))
    quote = price_service(one, wearer, house, material, timing).part
    parts = Parts(sections, kinds, strands, material, load, timing, quote)
    print(shown("rules", timed(lambda n: judge(one, wearer, house, parts), runs)))
    print(shown("HTML card", timed(lambda n: html(done[n % 3]), runs)))


def growth(runs: int) -> None:
    """The warm road against the section count, the width being edited."""
    print("\n| sections | median ms | least | greatest |\n| --- | --- | --- | --- |")
    for sections in (30, 75, 150, 300, 600, 1200):
        edit = lambda n: recipe(sections=sections, width=f"{5 + (n % 97) / 200:.3f} mm")  # noqa: E731
        print(shown(str(sections), timed(lambda n: html(compiled(edit(n + 5))), runs)))


def parsing() -> None:
    """Lines a second, every line new to the parser, and every line known."""
    print("\n| parsing | lines | lines a second | MB a second |\n| --- | --- | --- | --- |")
    for name, line in (("every line new", "wearing {0} in in nape\nnote \"line {0}\"\n"), ("lines seen before", "wearing 12 in in nape\nnote \"same\"\n")):
        text = 'edition 1\nrecipe "Long"\n' + "".join(line.format(n) for n in range(2500))
        parse('edition 1\n', "warm")
        start = time.perf_counter()
        parse(text, "long")
        span = time.perf_counter() - start
        lines = text.count("\n")
        print(f"| {name} | {lines} | {lines / span:,.0f} | {len(text.encode()) / span / 1e6:.2f} |")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--runs", type=int, default=40, help="runs of each warm measurement")
    parser.add_argument("--cold-runs", type=int, default=9, help="runs of each fresh process")
    arguments = parser.parse_args()
    cold(arguments.cold_runs)
    warm(arguments.runs)
    stages(arguments.runs)
    growth(max(5, arguments.runs // 4))
    parsing()


if __name__ == "__main__":
    main()
