"""Keystroke to updated card, in a real browser: ``python tests/benchmarks/page.py``.

Prints a Markdown table for docs/performance.md. A recipe of 60 lines and 150 sections is opened with ``plait open``'s own
server and typed into at a person's pace; each span runs from the key going down to the frame in which the change is
painted: of what is in view, and of the whole card. Needs Chromium and Playwright. Nothing here is asserted; the machine is named in the document.
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
  let shown = null;
  addEventListener("keydown", (event) => { if (event.key !== "Shift") { down = performance.now(); shown = null; } }, true);
  document.querySelector("main > div").addEventListener("card", ({ detail }) => {
    const from = down;
    const channel = new MessageChannel();
    channel.port1.onmessage = () => {
      if (!from || from !== down) return;
      const span = performance.now() - from;
      if (detail.more) shown = span;
      else { window.spans.push([shown ?? span, span]); down = 0; }
    };
    requestAnimationFrame(() => channel.port2.postMessage(0));
  });
}"""
"""Of each key: until what is in view is painted anew, and until the whole card is, the parts out of view included."""


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
    "a word of the summary, typed": ("summary", ""),
    "how often an accent comes, typed": ("accents: every 9", "5678"), "how often an accent comes, by its slider": ("accents", "Every how many stitches"),
    "the width held, typed": ("hold width 5", "6789"), "the width held, by its slider": ("feed", "Width of a strand"),
    "the section count, typed": ("brick 150", "123456789"), "the section count, by its slider": ("grid", "How many sections"),
}
"""What is edited -> the words of its line up to where is typed, and the digits that take the last one's place; or the
slider that moves it. Letters where neither is told."""
TYPED = "knotless and loose and long and light "


def text_of(what: str, turn: int) -> str:
    """A recipe of 60 lines and 150 sections that no other turn has."""
    return recipe(150, lines=59).replace("hold width by size", "hold width 5 mm") + f"# {what}, {turn}\n"


def measured(size: str, keys: int) -> dict[str, list[tuple[float, float]]]:
    """(in view, whole card) in ms of every key, by what is edited. No text comes twice in a turn."""
    found: dict[str, list[tuple[float, float]]] = {what: [] for what in EDITS}
    with tempfile.TemporaryDirectory() as folder:
        root = copied_book(Path(folder) / "book")
        with opened(root) as (enter, server), browser_page(size) as page:
            page.goto(enter)
            page.evaluate("sessionStorage.setItem('plaitbook-wearer', 'Ilse')")
            turn = 0
            while any(len(spans) < keys for spans in found.values()):
                turn += 1
                for what, (words, how) in EDITS.items():
                    if len(found[what]) >= keys:
                        continue
                    text = text_of(what, turn)
                    (root / NAME).write_text(text, "utf-8")
                    for path in (root / ".plait").rglob("*.json"):
                        path.unlink()
                    number, line = next((n, line) for n, line in enumerate(text.split("\n"), 1) if words in line)
                    page.goto(f"{server}/#/desk?file={NAME}&line={number}&turn={turn}")
                    page.reload()
                    wait_for_card(page)
                    page.wait_for_timeout(2500)
                    if how.isdigit():
                        for _ in range(line.index(words) + len(words)):
                            page.keyboard.press("ArrowRight")
                        pressed = list(how)
                    elif how:
                        page.locator(".number", has_text=how).locator("input").first.focus()
                        page.keyboard.press("Home")
                        pressed = ["ArrowRight"] * min(keys, page.evaluate("+document.activeElement.max"))
                    else:
                        page.keyboard.press("End")
                        page.keyboard.press("ArrowLeft")
                        page.keyboard.type("Now ", delay=PACE_MS)
                        pressed = [TYPED[n % len(TYPED)] for n in range(keys)]
                    page.wait_for_timeout(2000)
                    page.evaluate(WATCH)
                    for key in pressed:
                        if how.isdigit():
                            page.keyboard.press("Shift+ArrowLeft")
                        page.keyboard.press(key)
                        page.wait_for_timeout(PACE_MS)
                    page.wait_for_timeout(500)
                    found[what] += [(seen, whole) for seen, whole in page.evaluate("window.spans")]
    return {what: spans[:keys] for what, spans in found.items()}


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--keys", type=int, default=60, help="keys of each kind; default: 60")
    parser.add_argument("--size", choices=("phone", "tablet", "desktop"), default="desktop")
    arguments = parser.parse_args()
    found = measured(arguments.size, arguments.keys)
    print("| what is edited | keys | in view: median ms | 95th percentile | greatest | whole card: median ms | 95th percentile |\n"
          "| --- | --- | --- | --- | --- | --- | --- |")
    for what, spans in [*found.items(), ("**all of these**", [span for spans in found.values() for span in spans])]:
        seen, whole = ([span[n] for span in spans] for n in (0, 1))
        print(f"| {what} | {len(spans)} | {statistics.median(seen):.0f} | {_most(seen):.0f} | {max(seen):.0f} | "
              f"{statistics.median(whole):.0f} | {_most(whole):.0f} |")


def _most(spans: list[float]) -> float:
    """The 95th percentile."""
    return statistics.quantiles(spans, n=20)[-1] if len(spans) > 1 else spans[0]


if __name__ == "__main__":
    main()
