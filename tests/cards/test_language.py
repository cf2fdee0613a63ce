"""The card in four languages: every sentence translated, by the glossary, with the same places; user text kept apart."""

import re
from io import BytesIO
from pathlib import Path

import pikepdf
import pytest
from sample import sample

from plaitbook.cards import make_catalogues as made
from plaitbook.cards.build import write_card
from plaitbook.cards.documents import DOCUMENTS, write_document
from plaitbook.cards.findings import said
from plaitbook.cards.html import render_html
from plaitbook.cards.language import TRANSLATED, language
from plaitbook.cards.pdf import render_pdf
from plaitbook.cards.speech import Speech, speech
from plaitbook.cards.station import render_station
from plaitbook.cards.terms import TERMS
from plaitbook.cards.text import columns, render_text
from plaitbook.cards.told import TEMPLATES, template_of, told
from plaitbook.cards.wording import FIRST_STRONG, NBSP, POP, clean
from plaitbook.rules import RULES
from shipped_book import compile_in_book, shipped_looks, shipped_text, shipped_wearers

PLACES = re.compile(r"\{[^{}]*\}")
GLOSSARY = Path(__file__).resolve().parents[2] / "docs" / "glossary.md"
ALIKE = 0.12
"""Share of sentences that may be the same in two languages: figures, names of sources, words that look alike."""


@pytest.fixture(scope="module")
def sentences():
    return made.gathered()


def translations(code):
    return [(m, [m.string] if isinstance(m.string, str) else list(m.string)) for m in made.kept(code) if m.id]


def english(message):
    return (message.id,) if isinstance(message.id, str) else message.id


@pytest.mark.parametrize("code", TRANSLATED)
def test_the_catalogues_are_what_the_command_makes(code, sentences):
    po, mo = made.updated(code, sentences)
    path = made.po_file(code)
    assert path.read_bytes().decode() == po.decode(), "run: python -m plaitbook.cards.make_catalogues"
    assert path.with_suffix(".mo").read_bytes() == mo


@pytest.mark.parametrize("code", TRANSLATED)
def test_every_sentence_is_translated_with_the_same_places(code):
    for message, strings in translations(code):
        assert all(strings), message.id
        for string in strings:
            wanted = set(PLACES.findall(english(message)[-1]))
            assert set(PLACES.findall(string)) == wanted, (message.id, string)
        if message.pluralizable:
            assert len(strings) == 2


@pytest.mark.parametrize("code", TRANSLATED)
def test_few_sentences_are_left_as_they_were(code):
    same = [m.id for m, strings in translations(code) if strings[0] == english(m)[0] and len(english(m)[0]) > 12 and not PLACES.sub("", strings[0]).strip(" :;·,.(") == ""]
    assert len(same) < ALIKE * len(translations(code)), same


def _glossary():
    rows = [[cell.strip() for cell in line.strip("|\n").split("|")] for line in GLOSSARY.read_text("utf-8").splitlines() if line.startswith("| ")]
    return [row for row in rows if row[0] not in ("English", "---")]


def _holds(cell, text):
    words = [w.strip() for w in cell.split(" / ")]
    found = text.casefold().replace(NBSP, " ")
    return any(re.search(r"(?<!\w)" + re.escape(w).replace(r"\*", r"\w*"), found) for w in words)


@pytest.mark.parametrize(("at", "code"), [(1, "fr"), (2, "es"), (3, "pt")])
def test_trade_terms_follow_the_glossary(at, code):
    wrong = []
    for row in _glossary():
        word = re.compile(rf"\b{re.escape(row[0])}(?:s|es)?\b", re.IGNORECASE)
        for message, strings in translations(code):
            plain = PLACES.sub("", english(message)[0])
            if word.search(plain) and "," not in plain[:0] and not message.locations[0][0].startswith("source"):
                if plain in SOURCES or message.context in OTHER_SENSE.get(row[0], ()) or plain in OTHER_SENSE.get(row[0], ()):
                    continue
                if not all(_holds(row[at], string) for string in strings):
                    wrong.append((row[0], message.id, strings))
    assert not wrong, "\n".join(map(str, wrong[:40]))


SOURCES = {rule.source for rule in RULES}
"""Sources name other people's words."""
OTHER_SENSE: dict[str, tuple[str, ...]] = {
    "edges": ("Head, front to back, between two straight edges?", "Head, side to side, between two straight edges?"),
    "curl": ("curl rods",),
    "wearer": (
        "Every gram hangs on the wearer's own hair. No published limit was found; this only says that it is unusual.",
        "Is the wearer a child, and how old?", " added:  times the weight of the wearer's own hair",
        "Nothing near this weight has been reported to us; a number in the look is wrong, or far too much is asked of the wearer's own hair."),
}
"""Term -> sentences or headings in which the English word means something else, or goes without saying."""


def test_english_needs_no_catalogue_and_finds_nothing_to_change():
    assert language("en").catalogue is None
    assert speech("en", "inch") is speech("en", "inch")


@pytest.mark.parametrize("look", shipped_looks())
def test_a_finding_said_anew_in_english_is_the_plans_own(look):
    """The sentence that is filled in anew for a translation is the very one that the plan holds."""
    for wearer in ("Ilse", "Pim"):
        done = compile_in_book(shipped_text(look), look, wearer=wearer)
        assert done.plan and done.house
        say = Speech("en", _Untranslated(), done.house.units)
        for finding in done.plan.findings:
            if finding.template:
                assert said(say, done.house.currency, finding).message == finding.message
                assert said(say, done.house.currency, finding).fix == finding.fix


class _Untranslated:
    """A catalogue that changes nothing, so that English goes the way of the other languages."""

    def gettext(self, text):
        return text

    def pgettext(self, context, text):
        return text

    def ngettext(self, one, many, n):
        return one if n == 1 else many


@pytest.mark.parametrize("code", TRANSLATED)
def test_no_sentence_of_a_plan_is_left_in_english(code):
    """What the passes wrote into the shipped book's plans is known to the card."""
    for look in shipped_looks():
        for wearer in shipped_wearers()[:3]:
            plan = compile_in_book(shipped_text(look), look, wearer=wearer).plan
            if plan is None:
                continue
            written = [c for cut in plan.material.cuts for clause in cut.text.split("; ") for c in _clauses(clause)]
            written += [u for kind in plan.strand_kinds for u in kind.unmet] + [r.note for r in plan.sections.rows if r.note]
            written += [s.note for s in plan.timing.stages if s.note]
            for sentence in written:
                assert template_of(sentence), sentence
            for stage in plan.timing.stages:
                assert stage.name in TERMS["stage"]


def _clauses(clause):
    return [clause] if template_of(clause) else clause.split(", ")


def test_templates_find_themselves():
    for template in TEMPLATES:
        values = {"length": "14.2 in", "width": "7 mm", "piece": "3.5 mm", "more": "1.5 mm", "number": "3", "other": "4", "count": "three",
                  "zones": "nape and back", "rows": "straight back", "code": "H01", "share": "20 %", "money": "5 USD", "currency": "EUR",
                  "other_currency": "USD", "range": "6 to 8", "value": "3.2 packs", "name": "Pip", "said": "x", "what": "y"}
        filled = template.format(**values)
        assert template_of(filled) is not None, template
        assert told(language("en"), filled) == filled


@pytest.mark.parametrize("code", TRANSLATED)
def test_figures_follow_the_language(code):
    say = speech(code, "metric")
    assert say.length(432.9) == f"43,5{NBSP}cm" and say.width(3.5) == f"3,5{NBSP}mm" and "," in say.lengths([45.0, 432.0])
    assert say.listed(["a", "b", "c"]) == {"fr": "a, b et c", "es": "a, b y c", "pt": "a, b e c"}[code]
    assert say.packs(1.33) == {"fr": f"1⅓{NBSP}paquet", "es": f"1⅓{NBSP}paquetes", "pt": f"1⅓{NBSP}pacote"}[code]
    assert say.pencil(3.5, 7) == {"fr": f"½{NBSP}crayon", "es": f"½{NBSP}lápiz", "pt": f"½{NBSP}lápis"}[code]


@pytest.mark.parametrize("code", TRANSLATED)
def test_the_card_says_its_language_everywhere(code):
    card = write_card(*sample(techniques=True, ornaments=True), language=code)
    assert card.lang == code and f'<html lang="{code}" dir="ltr">' in render_html(card)
    assert f'<html lang="{code}" dir="ltr">' in render_station(card, sample().plan)
    with pikepdf.open(BytesIO(render_pdf(card, "a4"))) as pdf:
        assert str(pdf.Root.Lang) == code
    for line in render_text(card, 80).splitlines():
        assert columns(line) <= 80


@pytest.mark.parametrize("code", TRANSLATED)
def test_nothing_of_ours_stays_english(code):
    """Whole English sentences of ours that still stand in a translated card or paper."""
    known = {text for message, _ in translations(code) for text in english(message) if len(text) > 24 and not PLACES.search(text)}
    cards = [write_card(*sample(techniques=True, ornaments=True, found=0), language=code, with_look=True)]
    cards += [write_document(kind, *sample(techniques=True, found=0), language=code) for kind in DOCUMENTS]
    for card in cards:
        page = render_html(card)
        assert not [text for text in known if f">{text}<" in page]


def test_a_house_says_its_language_and_the_command_wins():
    plan, recipe, wearer, house = sample()
    house = house.model_copy(update={"language": "french"})
    assert write_card(plan, recipe, wearer, house).lang == "fr"
    assert write_card(plan, recipe, wearer, house, language="es").lang == "es"


# --- right to left ------------------------------------------------------------------

ARABIC, HEBREW = "نورة", "שלומית"


def test_names_from_the_right_stand_apart():
    assert clean(ARABIC) == f"{FIRST_STRONG}{ARABIC}{POP}" and clean(clean(HEBREW)) == clean(HEBREW)
    assert clean(f"\u202e{HEBREW}\u2066") == f"{FIRST_STRONG}{HEBREW}{POP}"
    assert columns(clean(HEBREW)) == len(HEBREW)


@pytest.mark.parametrize("code", ("en", *TRANSLATED))
@pytest.mark.parametrize("name", (ARABIC, HEBREW))
def test_right_to_left_never_breaks_the_layout(code, name):
    card = write_card(*sample(name=name, ornaments=True, techniques=True), language=code)
    page, text = render_html(card), render_text(card)
    assert page.count(name) > 5 and name in text
    for found in (page, text):
        opened = re.findall(f"[{FIRST_STRONG}{POP}]", found)
        assert opened.count(FIRST_STRONG) == opened.count(POP) > 0
        # No name of somebody's stands bare among our own words.
        assert not re.search(f"(?<!{FIRST_STRONG}){name}", found)
    for line in text.splitlines():
        assert columns(line) <= 80
    assert render_pdf(card, "letter").startswith(b"%PDF")
