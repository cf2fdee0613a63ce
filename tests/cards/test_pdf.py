"""The card on paper: tagged, titled, fonts inside, nothing off the sheet, measures true."""

import io
import re
import shutil
import subprocess

import pytest
from sample import sample
from test_card import HOSTILE

from plaitbook.cards.build import write_card
from plaitbook.cards.glyphs import covered, printable
from plaitbook.cards.pdf import MAPS, _pages, best_form, render_pdf
from plaitbook.cards.pictures import with_map

pikepdf = pytest.importorskip("pikepdf")
pytest.importorskip("typst")

SHEETS = {"letter": (612.0, 792.0), "a4": (595.28, 841.89), "half": (396.0, 612.0)}


@pytest.fixture(scope="module")
def papers(card):
    return {paper: render_pdf(card, paper) for paper in SHEETS}


@pytest.mark.parametrize("paper", SHEETS)
def test_boxes_and_sides(papers, paper):
    with pikepdf.open(io.BytesIO(papers[paper])) as pdf:
        for page in pdf.pages:
            assert [float(x) for x in page.mediabox] == pytest.approx([0, 0, *SHEETS[paper]], abs=0.6)
        assert len(pdf.pages) <= (2 if paper != "half" else 6)


def test_tagged_titled_and_in_a_language(papers):
    with pikepdf.open(io.BytesIO(papers["letter"])) as pdf:
        assert pdf.Root.MarkInfo.Marked and str(pdf.Root.Lang).startswith("en")
        assert "Saltmarsh" in str(pdf.docinfo["/Title"])
        assert pdf.Root.ViewerPreferences.DisplayDocTitle
        with pdf.open_metadata() as meta:
            assert meta["pdfuaid:part"] == "1"
        kinds: list[str] = []
        alts: list[str] = []

        def walk(node):
            if isinstance(node, pikepdf.Dictionary):
                if "/S" in node:
                    kinds.append(str(node.S))
                    if "/Alt" in node:
                        alts.append(str(node.Alt))
                if "/K" in node:
                    walk(node.K)
            elif isinstance(node, pikepdf.Array):
                for item in node:
                    walk(item)

        walk(pdf.Root.StructTreeRoot.K)
    for kind in ("/H1", "/H2", "/Table", "/TH", "/TD", "/L", "/LI", "/Figure"):
        assert kind in kinds
    assert kinds.count("/Figure") == len(alts) >= 6
    assert kinds.count("/H1") == 1


def test_fonts_are_ours_and_inside(papers):
    names = set()
    with pikepdf.open(io.BytesIO(papers["a4"])) as pdf:
        for obj in pdf.objects:
            if isinstance(obj, pikepdf.Dictionary) and obj.get("/Type") == "/FontDescriptor":
                names.add(str(obj.FontName))
                assert {"/FontFile2", "/FontFile3"} & set(obj.keys())
    assert names and all("NotoSans" in n or "DejaVuSans" in n for n in names)


def test_the_check_bar_is_50_mm(papers):
    """The bar is the only filled rectangle 50 units wide; its user unit must print as one millimetre."""
    import typst  # noqa: F401

    with pikepdf.open(io.BytesIO(papers["letter"])) as pdf:
        widths = []

        def run(stream, resources, scale):
            stack, now = [], scale
            xs: list[float] = []
            for operands, operator in pikepdf.parse_content_stream(stream):
                op = str(operator)
                if op == "q":
                    stack.append(now)
                elif op == "Q":
                    now = stack.pop()
                elif op == "cm":
                    now *= float(operands[0])
                elif op in ("m", "l"):
                    xs.append(float(operands[0]))
                elif op == "re":
                    widths.append(abs(float(operands[2]) * now))
                elif op in ("f", "f*", "S", "n"):
                    if xs:
                        widths.append(abs((max(xs) - min(xs)) * now))
                    xs = []
                elif op == "Do":
                    form = resources.XObject[operands[0]]
                    if form.get("/Subtype") == "/Form":
                        m = form.get("/Matrix", [1])
                        run(form, form.get("/Resources", resources), now * float(m[0]))

        for page in pdf.pages:
            run(page, page.Resources, 1.0)
    assert any(abs(w / 72 * 25.4 - 50) < 0.2 for w in widths)


@pytest.mark.parametrize(("look", "wearer", "house"), [
    ("lantern", "Marisol", "Harbour Chair"), ("lantern", "Marisol", "Zimmer Sieben"), ("ebb-and-flow", "Adaeze", "Harbour Chair"),
    ("quayside", "Wren", "Zimmer Sieben"), ("fernrope", "Wren", "Harbour Chair"),
])
def test_the_fullest_shipped_cards_take_two_sides(look, wearer, house):
    """Cards that stop three times over (Lantern on a four-year-old) may run on: nobody works from them."""
    from shipped_book import compile_in_book, shipped_text

    done = compile_in_book(shipped_text(f"looks/{look}.plait"), f"looks/{look}.plait", wearer=wearer, house=house)
    card = write_card(done.plan, done.recipe, done.wearer, done.house)
    assert card.sections <= 120
    with pikepdf.open(io.BytesIO(render_pdf(card))) as pdf:
        assert len(pdf.pages) <= 2


@pytest.mark.skipif(not shutil.which("pdftotext"), reason="needs pdftotext")
@pytest.mark.parametrize("paper", SHEETS)
def test_no_word_leaves_the_sheet(paper, tmp_path):
    wide, high = SHEETS[paper]
    hard = ({"sections": 150, "techniques": True, "ornaments": True}, {"words": "W" * 10_000},
            {"found": 30, "name": "The long, long name of a look that somebody typed in full"})
    for i, kw in enumerate(hard if paper == "half" else hard[:2] if paper == "a4" else hard[1:]):
        file = tmp_path / f"{i}.pdf"
        file.write_bytes(render_pdf(write_card(*sample(**kw)), paper))
        boxes = subprocess.run(["pdftotext", "-bbox", str(file), "-"], capture_output=True, text=True, check=True).stdout
        found = re.findall(r'<word xMin="([-\d.]+)" yMin="([-\d.]+)" xMax="([-\d.]+)" yMax="([-\d.]+)">(.*?)<', boxes)
        assert found
        for x0, y0, x1, y1, word in found:
            assert float(x0) >= 10 and float(y0) >= 8 and float(x1) <= wide - 10 and float(y1) <= high - 5, (kw, word)


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_words_break_nothing(name):
    pdf = render_pdf(write_card(*sample(words=HOSTILE[name], ornaments=True)), "letter")
    with pikepdf.open(io.BytesIO(pdf)) as opened:
        assert 1 <= len(opened.pages) < 20


def test_the_fonts_hold_every_sign_the_card_uses():
    assert not [c for c in "½⅓⅔¼¾⅛⅜⅝⅞°×–→☐″′éñçãõ·…□“”‘’€£" if ord(c) not in covered()]


def test_what_no_font_holds_becomes_a_box():
    assert printable("编a") == "□a"
    assert max(len(part) for part in printable("W" * 99).split("\u200b")) < 20


def test_the_map_is_as_large_as_the_sheet_lets_it_be():
    from shipped_book import compile_in_book, shipped_text

    done = compile_in_book(shipped_text("looks/ebb-and-flow.plait"), "looks/ebb-and-flow.plait", wearer="Noor")
    card = write_card(done.plan, done.recipe, done.wearer, done.house)
    pdf, (_, _, wide) = best_form(card, "a4")
    assert wide in MAPS and _pages(pdf) <= 2
    assert with_map(card, wide).part("map").blocks[1].pictures[0].width_mm == wide
    assert best_form(card, "half")[1][2] == 0


def test_a_map_and_its_table_stand_on_one_side(tmp_path):
    from shipped_book import compile_in_book, shipped_text

    done = compile_in_book(shipped_text("looks/shingle.plait"), "looks/shingle.plait", wearer="Tomasz")
    file = tmp_path / "card.pdf"
    file.write_bytes(render_pdf(write_card(done.plan, done.recipe, done.wearer, done.house)))
    if shutil.which("pdftotext"):
        sides = subprocess.run(["pdftotext", str(file), "-"], capture_output=True, text=True, check=True).stdout.split("\f")
        assert "Section map" in sides[0] and "side by side" in sides[0]
