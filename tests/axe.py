"""A page in a real browser, judged by axe-core.

Needs Chromium, and axe-core from npm: ``PLAITBOOK_AXE`` names its ``axe.min.js``, or it lies in
``node_modules/axe-core`` here or above. Neither comes with the repository.
"""

from __future__ import annotations

import html
import json
import os
import shutil
import subprocess
from pathlib import Path

import pytest

CHROMIUM = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome", "chrome"))), None)
FLAGS = ("--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
         "--disable-component-update", "--disable-sync", "--virtual-time-budget=20000", "--dump-dom")
TAGS = ["wcag2a", "wcag2aa", "wcag2aaa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]


def axe_file() -> Path | None:
    """axe-core's script, if there is one."""
    named = os.environ.get("PLAITBOOK_AXE")
    here = Path(__file__).resolve()
    places = [Path(named)] if named else [p / "node_modules/axe-core/axe.min.js" for p in here.parents]
    return next((p for p in places if p.is_file()), None)


in_browser = [
    pytest.mark.browser,
    pytest.mark.skipif(CHROMIUM is None, reason="no Chromium here"),
    pytest.mark.skipif(axe_file() is None, reason="no axe-core here; set PLAITBOOK_AXE to its axe.min.js"),
]
"""Marks of a module or a test that needs both; CI counts a skip as a failure."""


def violations(page: str, window: str, folder: Path) -> list[object]:
    """What axe-core finds wrong with a page in a window of this size."""
    axe = axe_file()
    assert axe and CHROMIUM
    run = """axe.run(document, {runOnly: {type: "tag", values: %s}}).then(found => {
      const said = JSON.stringify(found.violations.map(v => [v.id, v.nodes.map(n => n.html.slice(0, 200))]));
      document.documentElement.innerHTML = "<body></body>";
      document.body.textContent = "AXE" + said + "END";
    })""" % json.dumps(TAGS)
    source = axe.read_text("utf-8").replace("</script", "<\\/script")
    file = folder / "card.html"
    file.write_text(page.replace("</body>", f"<script>{source}</script><script>{run}</script></body>"), "utf-8")
    dumped = subprocess.run([CHROMIUM, *FLAGS, f"--user-data-dir={folder / 'profile'}", f"--window-size={window}", file.as_uri()],
                            capture_output=True, text=True, timeout=120, check=False).stdout
    said = html.unescape(dumped)
    assert "AXE" in said, "axe didn't run"
    return list(json.loads(said[said.index("AXE") + 3:said.rindex("END")]))
