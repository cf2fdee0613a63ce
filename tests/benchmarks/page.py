"""Keystroke to updated card, in a real browser: ``python tests/benchmarks/page.py``.

Prints a Markdown table for docs/performance.md. A recipe of 60 lines and 150 sections is opened with ``plait open``'s own
server and typed into at a person's pace; each span runs from the key going down to the frame in which the new card is
painted. Needs Chromium and Playwright. Nothing here is asserted; the machine is named in the document.
"""

from __future__ import annotations

import argparse
import re
import statistics
import subprocess
import sys
import tempfile
from contextlib import contextmanager
from pathlib import Path
from typing import Iterator

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE), str(HERE.parent), str(HERE.parent / "page")]

from desk_at import copied_book  # noqa: E402
from in_browser import browser_page, wait_for_card  # noqa: E402
from speed import recipe  # noqa: E402

NAME = "looks/bench.plait"
PACE_MS = 250
"""Between two keys: 48 words a minute of five letters, a ready typist. Our own estimate."""

WATCH = """() => {
  window.spans = [];
  let down = 0;
  addEventListener("keydown", () => { down = performance.now(); }, true);
  document.querySelector("main > div").addEventListener("card", () => {
    const from = down;
    const channel = new MessageChannel();
    channel.port1.onmessage = () => { if (from) window.spans.push([performance.now() - from]); down = 0; };
    requestAnimationFrame(() => channel.port2.postMessage(0));
  });
}"""


@contextmanager
def opened(root: Path) -> Iterator[tuple[str, str]]:
    """(the address to enter by, the server's own) of ``plait open`` as a process of its own."""
    run = "import sys; from plaitbook.desk.command import main; sys.exit(main(sys.argv[1:]))"
    process = subprocess.Popen([sys.executable, "-c", run, "open", str(root), "--no-browser"], stdout=subprocess.PIPE, text=True)
    try:
        assert process.stdout
        enter = next(match.group() for line in process.stdout if (match := re.search(r"http://\S+key=\S+", line)))
        yield enter, enter.partition("/enter")[0]
    finally:
        process.terminate()
        process.wait(10)


EDITS = {
    "a word of the summary": ("summary", ""), "how often an accent comes": ("accents", "Every how many stitches"),
    "the width held": ("width", "Width of a strand"), "the section count": ("grid", "How many sections"),
}
"""What is edited -> a word of its line, and the slider that moves it; typed where there is none."""
TYPED = "knotless and loose and long and light "


def measured(size: str, keys: int) -> dict[str, list[float]]:
    """Spans in ms by what is edited. No text comes twice, so that nothing is answered from memory."""
    found: dict[str, list[float]] = {what: [] for what in EDITS}
    with tempfile.TemporaryDirectory() as folder:
        root = copied_book(Path(folder) / "book")
        with opened(root) as (enter, server), browser_page(size) as page:
            page.goto(enter)
            page.evaluate("sessionStorage.setItem('plaitbook-wearer', 'Ilse')")
            turn = 0
            while any(len(spans) < keys for spans in found.values()):
                turn += 1
                for what, (word, slider) in EDITS.items():
                    text = recipe(150, lines=59) + f"# {what}, {turn}\n"
                    (root / NAME).write_text(text, "utf-8")
                    for path in (root / ".plait").rglob("*.json"):
                        path.unlink()
                    line = next(n for n, words in enumerate(text.split("\n"), 1) if word in words)
                    page.goto(f"{server}/#/desk?file={NAME}&line={line}&turn={turn}&of={word}")
                    page.reload()
                    wait_for_card(page)
                    page.wait_for_timeout(2500)
                    if slider:
                        page.locator(".number", has_text=slider).locator("input").first.focus()
                        page.keyboard.press("Home")
                        pressed = ["ArrowRight"] * min(keys, page.evaluate("+document.activeElement.max"))
                    else:
                        page.keyboard.press("End")
                        page.keyboard.press("ArrowLeft")
                        page.keyboard.type("Now ", delay=PACE_MS)
                        pressed = [TYPED[n % len(TYPED)] for n in range(keys)]
                    page.wait_for_timeout(PACE_MS)
                    page.evaluate(WATCH)
                    for key in pressed:
                        page.keyboard.press(key)
                        page.wait_for_timeout(PACE_MS)
                    page.wait_for_timeout(500)
                    found[what] += [span for span, in page.evaluate("window.spans")]
    return {what: spans[:keys] for what, spans in found.items()}


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--keys", type=int, default=60, help="keys of each kind; default: 60")
    parser.add_argument("--size", choices=("phone", "tablet", "desktop"), default="desktop")
    arguments = parser.parse_args()
    found = measured(arguments.size, arguments.keys)
    print("| what is edited | keys | median ms | 95th percentile | least | greatest |\n| --- | --- | --- | --- | --- | --- |")
    for what, spans in [*found.items(), ("all of these", [span for spans in found.values() for span in spans])]:
        cut = statistics.quantiles(spans, n=20)[-1] if len(spans) > 1 else spans[0]
        print(f"| {what} | {len(spans)} | {statistics.median(spans):.0f} | {cut:.0f} | {min(spans):.0f} | {max(spans):.0f} |")


if __name__ == "__main__":
    main()
