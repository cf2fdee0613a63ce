"""The station card: self-contained, escaped, kept across a reload, and usable without a mouse or eyes."""

import html as entities
import json
import os
import re
from html.parser import HTMLParser
from pathlib import Path

import pytest
from sample import sample
from shipped_book import compile_in_book, shipped_text

from plaitbook.cards.build import write_card
from plaitbook.cards.card import Ticks
from plaitbook.cards.station import render_station
from plaitbook.rules import CAUTION

CHROMIUM = next((p for p in ("/usr/bin/chromium", "/usr/bin/chromium-browser", "/usr/bin/google-chrome") if Path(p).exists()), None)
FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
         "--disable-component-update", "--disable-sync"]
HOSTILE = {
    "script": "</script><script>alert(1)</script>", "template": "{{7*1009}}{% raw %}", "markup": "<img src=x onerror=alert(1)>",
    "comment": "<!--<script>", "long": "W" * 10_000, "right to left": "مرحبا \u202eabc", "control": "a\x00b\ud800\u2028", "empty": "",
}


def station(**kw):
    plan, recipe, wearer, house = sample(**kw)
    return render_station(write_card(plan, recipe, wearer, house), plan)


@pytest.fixture(scope="module")
def shipped():
    done = compile_in_book(shipped_text("looks/saltmarsh.plait"), "looks/saltmarsh.plait", wearer="Adaeze")
    card = write_card(done.plan, done.recipe, done.wearer, done.house)
    return card, done.plan, render_station(card, done.plan)


def data_of(page):
    return json.loads(re.search(r'<script type="application/json" id="data">(.*?)</script>', page, re.S)[1])


class Tags(HTMLParser):
    def __init__(self, page):
        super().__init__()
        self.found = []
        self.feed(page)

    def handle_starttag(self, tag, attrs):
        self.found.append((tag, dict(attrs)))


def test_nothing_is_fetched(shipped):
    page = shipped[2].replace("http://www.w3.org/2000/svg", "")
    assert not re.search(r"https?://", page)
    for tag, attrs in Tags(shipped[2]).found:
        assert tag not in ("link", "iframe", "object", "embed", "base", "form", "img")
        assert "src" not in attrs and not any(name.startswith("on") for name in attrs)
        assert attrs.get("href", "#").startswith("#")
    assert "default-src 'none'" in entities.unescape(page) and "connect-src" not in page
    assert len(shipped[2].encode()) < 400_000


def test_the_policy_lets_only_our_script_run(shipped):
    from base64 import b64encode
    from hashlib import sha256

    script = re.findall(r"<script>(.*?)</script>", shipped[2], re.S)
    assert len(script) == 1
    assert f"'sha256-{b64encode(sha256(script[0].encode()).digest()).decode()}'" in entities.unescape(shipped[2])


def test_caution_first_then_stops():
    page = station(found=5)
    assert page.index(CAUTION.split(".")[0]) < page.index("<h1>")
    severities = re.findall(r'class="alert (\w+)"', page)
    assert severities == sorted(severities, key=("stop", "warn", "note", "ask").index) and severities[0] == "stop"


def test_every_tick_of_the_card_is_a_step(shipped):
    card, _, page = shipped
    wanted = sum(len(b.items) for p in card.parts if p.key != "quote" for b in p.blocks if isinstance(b, Ticks))
    steps = re.findall(r'data-step="([^"]+)"', page)
    assert len(steps) == len(set(steps)) >= wanted


def test_schedules_are_the_strands_own(shipped):
    _, plan, page = shipped
    data = data_of(page)
    assert [s[0] for s in data["sections"]] == sorted(s.number for s in plan.sections.items)
    strand = plan.strands[10]
    _, zone, at = next(s for s in data["sections"] if s[0] == strand.section)
    stitches, events = data["schedules"][at]
    assert stitches == strand.stitches
    assert data["words"][zone] == next(s.zone for s in plan.sections.items if s.number == strand.section)
    assert {e[0] for e in events} >= {f.stitch for f in strand.feed_ins} | {a.stitch for a in strand.accents}


def test_the_key_follows_the_content(shipped):
    assert data_of(station())["key"] == data_of(station())["key"] != data_of(shipped[2])["key"]


@pytest.mark.parametrize("what", HOSTILE)
def test_hostile_words_stay_words(what):
    page = station(words=HOSTILE[what], ornaments=True)
    tags = Tags(page).found
    assert [t for t, _ in tags].count("script") == 2 and "img" not in [t for t, _ in tags]
    assert "7063" not in page
    data_of(page)


# --- in a real browser ---------------------------------------------------------


@pytest.fixture(scope="module")
def browser():
    play = pytest.importorskip("playwright.sync_api")
    if CHROMIUM is None:
        pytest.skip("no Chromium on this machine")
    with play.sync_playwright() as running:
        opened = running.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        yield opened
        opened.close()


@pytest.fixture
def file(shipped, tmp_path):
    path = tmp_path / "station.html"
    path.write_text(shipped[2], "utf-8")
    return path.as_uri()


def opened(browser, file, **kw):
    context = browser.new_context(viewport={"width": 820, "height": 1180}, **kw)
    page = context.new_page()
    page.asked, page.wrong = [], []
    page.on("request", lambda request: page.asked.append(request.url))
    page.on("pageerror", lambda error: page.wrong.append(str(error)))
    page.on("console", lambda message: page.wrong.append(message.text) if message.type == "error" else None)
    page.goto(file)
    return page


FOCUSED = "() => document.activeElement.dataset.step || document.activeElement.id || ''"


@pytest.mark.browser
def test_a_service_by_keyboard_alone(browser, file, shipped):
    page = opened(browser, file)
    sections = len(shipped[1].sections.items)
    steps = page.locator("input[data-step]").count()
    seen = []
    for _ in range(steps + 60):
        page.keyboard.press("Tab")
        at = page.evaluate(FOCUSED)
        seen.append(at)
        box = page.evaluate("() => { const r = document.activeElement.getBoundingClientRect(); return [r.top, r.bottom] }")
        assert page.evaluate("() => document.activeElement === document.body") or box[1] > 0 and box[0] < 1180
        if at == "start":
            page.keyboard.press("Enter")
        elif at == "done-more":
            for _ in range(sections):
                page.keyboard.press("Enter")
        elif at and page.evaluate("() => document.activeElement.matches('input[data-step]')"):
            page.keyboard.press("Space")
        if at == "tick" or at == "clear" and page.locator("input[data-step]:not(:checked)").count() == 0:
            break
    assert page.locator("input[data-step]:not(:checked)").count() == 0
    assert page.inner_text("#next-text") == "Every step is done."
    assert page.inner_text("#done") == str(sections) and "Every section is done" in page.inner_text("#hand")
    assert "theme" in seen and "start" in seen
    page.reload()
    assert page.locator("input[data-step]:not(:checked)").count() == 0
    assert page.inner_text("#done") == str(sections)
    assert page.inner_text("#start") == "Stop the clock"
    assert set(page.asked) == {file} and not page.wrong


@pytest.mark.browser
def test_stitch_counter_says_what_is_next(browser, file, shipped):
    page = opened(browser, file)
    first = next(s for s in shipped[1].strands if s.section == 1)
    fed = next(f for f in first.feed_ins if f.stitch > 0)
    for _ in range(fed.stitch):
        page.click("#stitch-more")
    assert page.inner_text("#stitch") == str(fed.stitch)
    assert f"Stitch {fed.stitch}: lay in" in page.inner_text("#said") and page.inner_text("#coming").startswith("Now: lay in")
    page.click("#stitch-less")
    assert "Next stitch: lay in" in page.inner_text("#said")
    page.click("#done-more")
    assert page.inner_text("#stitch") == "0" and "section 2" in page.inner_text("#hand")


@pytest.mark.browser
def test_clock_stands_against_the_checkpoints(browser, file, shipped):
    page = opened(browser, file)
    page.click("#start")
    assert "ahead" in page.inner_text("#standing") or "On time" in page.inner_text("#standing")
    late = shipped[1].timing.checkpoints[-1].minutes * 60_000 * 2
    page.evaluate("late => { const real = Date.now; Date.now = () => real() + late; }", late)
    page.click("#done-more")
    assert "behind" in page.inner_text("#standing") and "h" in page.inner_text("#time")


@pytest.mark.browser
def test_clearing_asks_first(browser, file):
    page = opened(browser, file)
    page.click("#tick")
    page.click("#clear")
    page.keyboard.press("Escape")
    assert page.locator("input[data-step]:checked").count() == 1
    page.click("#clear")
    page.click("#clear-now")
    assert page.locator("input[data-step]:checked").count() == 0
    page.reload()
    assert page.locator("input[data-step]:checked").count() == 0


@pytest.mark.browser
def test_next_moves_the_focus(browser, file):
    page = opened(browser, file)
    page.click("#tick")
    page.click("#go")
    assert page.evaluate("() => document.activeElement.getAttribute('aria-current')") == "step"


@pytest.mark.browser
def test_a_browser_that_keeps_nothing_says_so(browser, shipped, tmp_path):
    path = tmp_path / "station.html"
    path.write_text(shipped[2], "utf-8")
    page = browser.new_context().new_page()
    page.add_init_script("Object.defineProperty(window, 'localStorage', { get() { throw new Error('no') } })")
    page.goto(path.as_uri())
    assert "gone after a reload" in page.inner_text("#kept")
    page.click("#tick")
    assert page.locator("input[data-step]:checked").count() == 1


@pytest.mark.browser
@pytest.mark.parametrize("width", [390, 820, 1200])
def test_targets_are_large_and_nothing_overflows(browser, file, width):
    page = opened(browser, file)
    page.set_viewport_size({"width": width, "height": 844})
    assert page.evaluate("() => document.documentElement.scrollWidth <= window.innerWidth")
    small = page.evaluate("""() => [...document.querySelectorAll('button, summary, label, nav a')].filter(e => e.offsetParent)
        .map(e => [e.textContent.trim().slice(0, 30), e.getBoundingClientRect().height]).filter(e => e[1] < 44)""")
    assert small == []


@pytest.mark.browser
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing(browser, file, scheme):
    axe = os.environ.get("PLAITBOOK_AXE")
    if not axe or not Path(axe).exists():
        pytest.skip("PLAITBOOK_AXE names no axe.min.js")
    page = opened(browser, file, color_scheme=scheme)
    assert page.evaluate("() => document.documentElement.dataset.theme") == scheme
    page.evaluate("() => document.querySelectorAll('details').forEach(d => { d.open = true })")
    page.evaluate(Path(axe).read_text("utf-8"))
    found = page.evaluate("async () => (await axe.run()).violations.map(v => [v.id, v.nodes.slice(0, 3).map(n => n.html.slice(0, 200))])")
    assert found == []
    page.click("#clear")
    found = page.evaluate("async () => (await axe.run()).violations.map(v => [v.id, v.nodes.slice(0, 3).map(n => n.html.slice(0, 200))])")
    assert found == []
