"""The whole job as a new user does it, in a real browser; and two tabs, a dead desk, a closed tab."""

from __future__ import annotations

import pytest
from desk_at import LOOK, copied_book, page_of
from in_browser import CHROMIUM, SIZES, browser_page, sync_playwright, until, wait_for_card

from plaitbook.desk.page import drafts
from plaitbook.desk.page.files import version_of

pytestmark = [
    pytest.mark.browser,
    pytest.mark.skipif(CHROMIUM is None, reason="no Chromium here"),
    pytest.mark.skipif(sync_playwright is None, reason="no Playwright here"),
]


def show(page, name: str) -> None:
    """The pane of that name, where only one is shown at a time."""
    if page.is_visible(".switcher"):
        page.click(f".switcher >> text={name}")


def card_text(page) -> str:
    return page.evaluate("document.querySelector('.card-host').shadowRoot.textContent")


def kept(page) -> None:
    until(page, "document.querySelector('.kept-said').dataset.kind === 'kept'", 10)


def test_an_edit_leaves_the_card_s_ticks_and_place_alone(tmp_path):
    with page_of(copied_book(tmp_path / "book")) as served, browser_page("desktop") as page:
        page.goto(served.address)
        page.goto(f"http://{served.host}/#/desk?file={LOOK}")
        wait_for_card(page)
        box = "document.querySelector('.card-host').shadowRoot.querySelector('#cut input')"
        page.evaluate(f"{box}.click(); {box}.scrollIntoView(); window.box = {box}")
        place = page.evaluate("document.querySelector('.card-host').scrollTop")
        slider = page.locator(".number", has_text="Every how many stitches").locator("input").first
        slider.focus()
        page.keyboard.press("ArrowRight")
        until(page, "document.querySelector('.total.moved') !== null", 10)
        page.wait_for_timeout(500)
        assert page.evaluate(f"{box}.checked && {box} === window.box"), "what is done stays ticked"
        assert abs(page.evaluate("document.querySelector('.card-host').scrollTop") - place) < 2
        assert page.evaluate("[...document.querySelector('.card-host').shadowRoot.querySelectorAll('.step')].map((one) => one.textContent).join()") \
            .startswith("1,2,3,4,5"), "steps stay numbered"


@pytest.mark.parametrize("size", list(SIZES))
def test_a_new_user_does_the_whole_job(size, tmp_path):
    root = tmp_path / "first"
    with page_of(root) as served, browser_page(size) as page:
        page.goto(served.address)
        page.wait_for_selector(".pick")  # start: choose a look
        page.click("text=Inches, on letter paper")
        page.locator(".pick", has_text="Plain Saltmarsh").first.click()
        page.wait_for_selector(".wearer-form")  # who it is for
        page.click(".wearer-form button.main")
        page.wait_for_selector(".wearer-form .wrong >> text=needs a name")
        page.get_by_label("Name, or what you call them").fill("Odile")
        for answer in ("Medium: felt", "Medium: seen in places", "Coily", "Shoulder"):
            page.click(f"label:has-text('{answer}')")
        page.locator("fieldset", has_text="How is the scalp?").get_by_label("Healthy").check()
        page.click(".wearer-form button.main")
        wait_for_card(page)  # the first card
        assert "Odile" in card_text(page) and 'wearer "Odile"' in (root / "wearers" / "odile.plait").read_text("utf-8")
        assert (root / "book.plait").is_file()

        show(page, "Recipe")  # edit
        page.locator(".cm-line", has_text="summary").click()
        page.keyboard.press("End")
        page.keyboard.press("ArrowLeft")
        page.keyboard.type(" For the fair.")
        until(page, "document.querySelector('.card-host').shadowRoot.textContent.includes('For the fair.')", 20)
        page.locator(".cm-line", has_text="accents").click()  # meet an error
        page.keyboard.press("Home")
        page.keyboard.press("Delete")
        page.wait_for_selector(".mistakes h3")
        assert page.inner_text(".mistakes h3") == "One mistake" and page.locator(".cm-lintRange-error").count() >= 1
        page.locator(".mistakes .actions button").first.click()  # fix it
        page.wait_for_selector(".mistakes h3", state="detached")
        assert page.locator(".cm-line", has_text="accents: none").count() == 1

        show(page, "Numbers")  # move a number; what changes is told
        slider = page.locator(".number input").first
        slider.focus()
        page.keyboard.press("ArrowRight")
        until(page, "document.querySelector('.cm-content').textContent.includes('185 °C')", 10)
        page.locator(".kept-said").wait_for()
        kept(page)
        page.click("button:text-is('Save')")
        until(page, "document.querySelector('.kept-said').dataset.kind === 'saved'", 10)
        assert "185 °C" in served.text("looks/plain-saltmarsh.plait") and "For the fair." in served.text("looks/plain-saltmarsh.plait")

        page.locator(".total", has_text="In the chair").click()  # explain
        page.wait_for_selector(".window .formula")
        page.keyboard.press("Escape")
        page.wait_for_selector(".window", state="detached")

        show(page, "Card")  # the PDF
        with page.expect_download(timeout=60_000) as found:
            page.click("button:text-is('PDF')")
        assert found.value.path().read_bytes().startswith(b"%PDF")

        page.click("text=Station card")  # the station card, and a tick on it
        with page.context.expect_page() as opened:
            page.click("text=Open it here")
        station = opened.value
        box = station.locator("input[type=checkbox]").first
        box.check()
        station.reload()
        assert station.locator("input[type=checkbox]").first.is_checked(), "a tick outlives a reload"


def test_what_a_slider_moves_is_undone(writing):
    with browser_page() as page:
        page.goto(writing.address)
        page.goto(f"http://{writing.host}/#/desk?file={LOOK}&look=Saltmarsh")
        wait_for_card(page)
        page.get_by_label("More: Every how many stitches").click()
        until(page, "[...document.querySelectorAll('.total.moved')].length > 0", 20)
        assert "−" in page.inner_text(".total[data-what=price] .total-was")
        kept(page)
        assert "every 10 stitches" in drafts.found(writing.root, LOOK)[0].text
        page.click("text=Undo")
        until(page, "document.querySelectorAll('.total.moved').length === 0", 20)
        for _ in range(40):
            if not drafts.found(writing.root, LOOK, version_of(writing.text())):
                break
            page.wait_for_timeout(100)
        assert not drafts.found(writing.root, LOOK, version_of(writing.text())), "the draft says again what is saved"


def test_completion_and_hover(reading):
    with browser_page() as page:
        page.goto(reading.address)
        page.goto(f"http://{reading.host}/#/desk?file={LOOK}&look=Saltmarsh")
        wait_for_card(page)
        page.locator(".cm-line", has_text="technique").click()
        page.keyboard.press("End")
        page.keyboard.press("Enter")
        page.keyboard.type("fin", delay=40)
        page.wait_for_selector(".cm-tooltip-autocomplete >> text=finish")
        page.wait_for_timeout(150)
        page.keyboard.press("Enter")
        until(page, "[...document.querySelectorAll('.cm-line')].some((l) => l.textContent.startsWith('finish') && !l.textContent.includes('foam'))", 10)
        page.locator(".cm-line >> text=technique").hover()
        page.wait_for_selector(".cm-tooltip .about", timeout=20_000)


def test_a_click_on_a_number_explains_it(reading):
    with browser_page() as page:
        page.goto(reading.address)
        page.goto(f"http://{reading.host}/#/desk?file={LOOK}&look=Saltmarsh")
        wait_for_card(page)
        page.locator(".head dd", has_text="allow").click(position={"x": 14, "y": 12})
        page.wait_for_selector(".window .why")
        assert "chair" in page.inner_text(".window .why h3")
        page.keyboard.press("Escape")
        page.click("text=Numbers as buttons")
        number = page.locator("#buy .num[role=button]").first
        number.focus()
        page.keyboard.press("Enter")
        page.wait_for_selector(".window .why")


def test_two_tabs_never_overwrite_each_other(writing):
    with browser_page() as page:
        page.goto(writing.address)
        page.goto(f"http://{writing.host}/#/desk?file={LOOK}&look=Saltmarsh")
        wait_for_card(page)
        other = page.context.new_page()
        other.goto(f"http://{writing.host}/#/desk?file={LOOK}&look=Saltmarsh")
        wait_for_card(other)
        for tab, words in ((page, "# mine"), (other, "# theirs")):
            tab.locator(".cm-line").first.click()
            tab.keyboard.press("Control+Home")
            tab.keyboard.type(words + " ")
            kept(tab)
        other.click("button:text-is('Save')")
        until(other, "document.querySelector('.kept-said').dataset.kind === 'saved'", 10)
        page.click("button:text-is('Save')")
        page.wait_for_selector(".window .side")
        assert "# mine" in page.inner_text(".side >> nth=0") and "# theirs" in page.inner_text(".side >> nth=1")
        assert writing.text().startswith("# theirs"), "nothing was overwritten"
        page.click("text=Save mine; theirs goes to the history")
        until(page, "document.querySelector('.kept-said').dataset.kind === 'saved'", 10)
        assert writing.text().startswith("# mine")
        other.locator(".cm-line").first.click()
        other.keyboard.type("x")
        other.wait_for_selector(".notice >> text=See both")
        page.click("text=History")
        page.locator(".kept button").nth(1).click()
        assert "# theirs" in page.inner_text(".window .side >> nth=0")
        page.click("text=Bring it back")
        until(page, "document.querySelector('.cm-content').textContent.startsWith('# theirs')", 10)


def test_a_closed_tab_loses_nothing(writing):
    with browser_page() as page:
        page.goto(writing.address)
        page.goto(f"http://{writing.host}/#/desk?file={LOOK}&look=Saltmarsh")
        wait_for_card(page)
        page.locator(".cm-line").first.click()
        page.keyboard.press("Control+Home")
        page.keyboard.type("# half a thought ")
        page.close(run_before_unload=False)  # at once: before the draft's half second is over
        page = page.context.new_page()
        for _ in range(100):
            if any(d.text.startswith("# half a thought") for d in drafts.found(writing.root, LOOK)):
                break
            page.wait_for_timeout(50)
        page.goto(f"http://{writing.host}/#/desk?file={LOOK}&look=Saltmarsh")
        page.click(".notice >> text=Go on with it")
        until(page, "document.querySelector('.cm-content').textContent.startsWith('# half a thought')", 10)
        assert not writing.text().startswith("# half")


def test_a_dead_desk_loses_nothing(tmp_path):
    root = copied_book(tmp_path / "book")
    with browser_page() as page:
        with page_of(root) as served:
            page.goto(served.address)
            page.goto(f"http://{served.host}/#/desk?file={LOOK}&look=Saltmarsh")
            wait_for_card(page)
        page.locator(".cm-line").first.click()
        page.keyboard.press("Control+Home")
        page.keyboard.type("# nobody listens ")
        until(page, "document.querySelector('.kept-said').dataset.kind === 'wrong'", 20)
        assert "this browser keeps" in page.inner_text(".kept-said")
        assert "nobody listens" in page.evaluate("Object.entries(localStorage).map((e) => e.join()).join()")
