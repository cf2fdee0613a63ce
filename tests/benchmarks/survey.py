"""A book of a hundred looks for a hundred wearers: rows a second, peak memory, and what a second core brings.

    python tests/benchmarks/survey.py [HOW MANY OF EACH]

Cards as HTML are made for half as many of each.

The looks are the demo book's, each under several names; the wearers differ in hair, and every third in head.
"""

from __future__ import annotations

import re
import resource
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from plaitbook.shipped import shipped_folder

STRANDS, DENSITIES, EDGES = ("fine", "medium", "coarse"), ("sparse", "medium", "dense"), ("healthy", "thin")


def make_book(folder: Path, many: int) -> None:
    """``many`` looks and ``many`` wearers."""
    shutil.copytree(shipped_folder("recipes"), folder)
    shipped = sorted((folder / "looks").glob("*.plait"))
    for i in range(many - len(shipped)):
        source = shipped[i % len(shipped)]
        text = re.sub(r'(?m)^recipe "([^"]+)"', rf'recipe "\1 {i}"', source.read_text("utf-8"))
        (folder / "looks" / f"{source.stem}-{i}.plait").write_text(text, "utf-8")
    wearers = ["edition 1"]
    for i in range(many):
        head = f"circumference {540 + i % 40} mm" if i % 3 == 0 else "circumference 561 mm"
        wearers += [f'wearer "Demo {i}"', "demo", f"strand {STRANDS[i % 3]}", f"density {DENSITIES[i // 3 % 3]}", f"own hair {12 + i % 17} cm",
                    head, f"edges {EDGES[i // 9 % 2]}"]
    (folder / "wearers.plait").write_text("\n".join(wearers) + "\n", "utf-8")


def run(book: Path, processes: int, *more: str) -> tuple[float, float]:
    """(seconds, peak memory of the largest process in MB) of one survey."""
    code = "import sys; from plaitbook.desk.command import main; sys.exit(main())"
    before = time.perf_counter()
    done = subprocess.run([sys.executable, "-c", code, "survey", str(book), "--processes", str(processes), "-o", str(book.parent / "out.csv"), *more],
                          capture_output=True, text=True)
    seconds = time.perf_counter() - before
    if not (book.parent / "out.csv").is_file() or " 0 that can't be made" not in done.stderr:
        sys.exit(done.stderr)
    return seconds, resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024


def main() -> None:
    many = int(sys.argv[1]) if len(sys.argv) > 1 else 100
    print("| what | compiles | processes | seconds | a second | peak MB of a process |\n| --- | --- | --- | --- | --- | --- |")
    for said, each, cards in (("rows of figures", many, False), ("HTML cards too", many // 2, True)):
        with tempfile.TemporaryDirectory() as folder:
            book = Path(folder) / "book"
            make_book(book, each)
            for processes in (1, 2):
                more = ("--cards", str(Path(folder) / f"cards{processes}")) if cards else ()
                seconds, peak = run(book, processes, *more)
                print(f"| {said} | {each * each:,} | {processes} | {seconds:.1f} | {each * each / seconds:.0f} | {peak:.0f} |", flush=True)


if __name__ == "__main__":
    main()
