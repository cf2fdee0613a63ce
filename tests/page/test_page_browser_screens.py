"""Every screen of the page in both themes, judged by axe-core at level AAA; and on a phone held upright."""

from __future__ import annotations

import pytest
from desk_at import LOOK, Served, copied_book, page_of
from in_browser import CHROMIUM, axe_file, browser_page, sync_playwright, until, violations, wait_for_card

pytestmark = [
    pytest.mark.browser,
    pytest.mark.skipif(CHROMIUM is None, reason="no Chromium here"),
    pytest.mark.skipif(sync_playwright is None, reason="no Playwright here"),
    pytest.mark.skipif(axe_file() is None, reason="no axe-core here; set PLAITBOOK_AXE to its axe.min.js"),
]

DESK = "#/desk?file=looks/saltmarsh.plait&look=Saltmarsh"


def close(page) -> None:
    page.keyboard.press("Escape")
    page.wait_for_selector(".window", state="detached")


def no_side_scroll(page) -> bool:
    return bool(page.evaluate("document.documentElement.scrollWidth <= innerWidth"))


def small_targets(page) -> list[str]:
    """Buttons, links of rows, fields and pickers that a finger could miss: under 44 px high."""
    return page.evaluate("""[...document.querySelectorAll("button, select, input:not([type=radio]), a.row, a.home, summary")]
        .filter((e) => e.checkVisibility() && e.getBoundingClientRect().height > 0 && e.getBoundingClientRect().height < 44
            && !e.closest(".cm-editor") && !e.classList.contains("skip"))
        .map((e) => `${e.outerHTML.slice(0, 120)} ${e.getBoundingClientRect().height}`)""")


def screens_of_the_desk(page, served: Served):
    """(name, None) for each screen of the desk, shown one after the other."""
    page.goto(f"http://{served.host}/{DESK}")
    wait_for_card(page)
    yield "desk"
    narrow = page.is_visible(".switcher")
    if narrow:
        page.click(".fold")
        yield "pickers unfolded"
        for name in ("Numbers", "Card"):
            page.click(f".switcher >> text={name}")
            page.wait_for_timeout(100)
            yield name.lower()
    page.click("text=Numbers as buttons")
    yield "numbers as buttons"
    page.click("text=Numbers as buttons")
    page.locator(".total").nth(3).click()
    page.wait_for_selector(".window .why")
    page.locator(".window summary").first.click()
    yield "explain"
    close(page)
    page.click("text=Other papers")
    page.wait_for_selector(".window")
    yield "papers"
    close(page)
    page.click("text=Station card")
    page.wait_for_selector(".window >> text=Open it here")
    yield "station"
    close(page)
    if narrow:
        page.click(".switcher >> text=Recipe")
    page.locator(".cm-line", has_text="technique").click()
    page.keyboard.press("End")
    page.keyboard.type("q")
    page.wait_for_selector(".mistakes h3")
    yield "a mistake"
    until(page, "document.querySelector('.kept-said').textContent.includes('draft')")
    page.click("text=History")
    page.wait_for_selector(".window")
    yield "history"
    close(page)


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize("size", ["phone", "desktop"])
def test_the_desk(size, theme, tmp_path):
    with page_of(copied_book(tmp_path / "book")) as served, browser_page(size, theme) as page:
        page.goto(served.address)
        page.wait_for_selector(".look")
        until(page, "[...document.images].slice(0, 2).every((i) => i.complete)")
        assert violations(page) == [] and no_side_scroll(page) and small_targets(page) == []
        for dialog in ("Begin a look of my own", "Add a person"):
            page.locator(f"text={dialog}").first.click()
            page.wait_for_selector(".window form")
            assert violations(page) == [], dialog
            close(page)
        for name in screens_of_the_desk(page, served):
            assert violations(page) == [], name
            assert no_side_scroll(page), name
            assert small_targets(page) == [], name
        page.goto(f"http://{served.host}/#/desk?file=hairs.plait")
        page.wait_for_selector(".cm-content")
        page.wait_for_timeout(400)
        assert violations(page) == []
        page.goto(f"http://{served.host}/{DESK}")
        page.wait_for_selector(".notice >> text=Set it aside")
        assert violations(page) == [], "a draft offered back"
        page.click(".notice >> text=Set it aside")
        page.wait_for_selector(".notice", state="detached")
        (served.root / LOOK).write_text(served.text() + "# from elsewhere\n", "utf-8")
        page.locator(".cm-line").first.click()
        page.keyboard.type("# mine ")
        page.click(".notice >> text=See both")
        page.wait_for_selector(".window .side")
        assert violations(page) == [], "two texts"
        close(page)
        page.goto(f"http://{served.host}/#/desk?file=looks/none.plait")
        page.wait_for_selector("text=This can’t be opened")
        assert violations(page) == []


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_the_first_start_and_the_doors(theme, tmp_path):
    with page_of(tmp_path / "none", shared=True) as served, browser_page("phone", theme) as page:
        for path in ("/door", "/station/none"):
            page.goto(f"http://{served.host}{path}")
            assert violations(page) == [], path
        page.goto(served.address)
        page.wait_for_selector(".pick")
        assert violations(page) == [] and no_side_scroll(page) and small_targets(page) == []
        page.locator(".pick").nth(6).click()
        page.wait_for_selector(".wearer-form")
        page.click("summary")
        assert violations(page) == [] and no_side_scroll(page) and small_targets(page) == []
    with page_of(tmp_path / "none") as served, browser_page("phone", theme) as page:
        page.goto(f"http://{served.host}/door")
        assert violations(page) == []


@pytest.mark.parametrize("language, words", [("fr", "Recette"), ("es", "Receta"), ("pt", "Receita")])
def test_the_other_languages(language, words, reading):
    with browser_page("phone") as page:
        page.goto(reading.address)
        page.wait_for_selector(".look")
        page.locator(".settings select").first.select_option(language)
        until(page, f"document.documentElement.lang === '{language}'")
        page.wait_for_selector(".look")
        page.goto(f"http://{reading.host}/{DESK}")
        wait_for_card(page)
        assert page.inner_text("#recipe-title") == words
        assert violations(page) == [] and no_side_scroll(page)


def test_the_switch_beats_the_device(reading):
    with browser_page("desktop", "dark") as page:
        page.goto(reading.address)
        page.wait_for_selector(".look")
        dark = page.evaluate("getComputedStyle(document.body).backgroundColor")
        page.locator(".settings select").nth(1).select_option("light")
        assert page.evaluate("getComputedStyle(document.body).backgroundColor") != dark
        page.reload()
        page.wait_for_selector(".look")
        assert page.evaluate("getComputedStyle(document.body).backgroundColor") != dark
