"""A real browser for the page's tests: Chromium through Playwright, and axe-core to judge what it shows (see ``axe``)."""

from __future__ import annotations

import json
from contextlib import contextmanager
from typing import Any, Iterator

from axe import CHROMIUM, TAGS, axe_file

try:
    from playwright.sync_api import Page, sync_playwright
except ImportError:
    sync_playwright = Page = None  # type: ignore[assignment, misc]

FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
         "--disable-component-update", "--disable-sync"]
SIZES = {"phone": (390, 844), "tablet": (820, 1180), "desktop": (1280, 900)}


_complaints: dict[Any, list[str]] = {}
"""What each page's console complained of; axe-core's own style sheets, which the policy blocks, left out."""


@contextmanager
def browser_page(size: str = "desktop", theme: str = "light", **more: Any) -> Iterator["Page"]:
    """A page of a new browser. What the console complains of, and what a policy blocked, fails the test."""
    width, height = SIZES[size]
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        context = browser.new_context(viewport={"width": width, "height": height}, color_scheme=theme, locale="en-GB",
                                      accept_downloads=True, has_touch=size != "desktop", **more)
        page = context.new_page()
        complaints: list[str] = []
        _complaints[page] = complaints
        page.on("pageerror", lambda error: complaints.append(str(error)))
        page.on("console", lambda message: complaints.append(message.text) if message.type == "error" and (
            "Content Security Policy" in message.text or "Error" in message.text) else None)
        yield page
        browser.close()
        del _complaints[page]
        assert not complaints, set(complaints)


def violations(page: "Page") -> list[Any]:
    """What axe-core finds wrong with what the page shows now, the card in its frame included."""
    axe = axe_file()
    assert axe
    before = len(_complaints[page])
    page.evaluate(axe.read_text("utf-8") + "; true")
    found = page.evaluate("""async (tags) => (await axe.run(document, {runOnly: {type: "tag", values: tags}})).violations
        .map((v) => [v.id, v.nodes.map((n) => `${n.target.join(" ")} ${n.html.slice(0, 160)} ${(n.any[0] || n.all[0] || n.none[0] || {}).message || ""}`)])""", TAGS)
    page.wait_for_timeout(50)
    del _complaints[page][before:]
    return json.loads(json.dumps(found))


def wait_for_card(page: "Page") -> None:
    """Until the card of the text in the editor is shown."""
    page.wait_for_selector(".total", state="attached", timeout=60_000)
    until(page, "document.querySelector('.card-host')?.shadowRoot.querySelectorAll('section').length > 8")


def until(page: "Page", wanted: str, seconds: float = 60) -> None:
    """Wait until an expression of the page is true. (The page's policy forbids what Playwright's own waiting does.)"""
    for _ in range(int(seconds * 20)):
        if page.evaluate(wanted):
            return
        page.wait_for_timeout(50)
    raise AssertionError(f"this never came true: {wanted}")
