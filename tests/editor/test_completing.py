"""Completion offers what the grammar, the readers and the book would take, and nothing they wouldn't."""

from __future__ import annotations

import pytest

from plaitbook.compile import Request
from plaitbook.desk.editing.completing import OF_STRING, Offer, complete
from plaitbook.desk.editing.edits import Edit, apply
from plaitbook.desk.editing.fact_values import GOODS
from plaitbook.desk.editing.oracle import examples, fact_words
from plaitbook.desk.editing.session import Session
from plaitbook.syntax import vocabulary
from plaitbook.syntax.expected import expected_after
from plaitbook.syntax.parse import parse

LOOK = "looks/saltmarsh.plait"


def offers(session: Session, typed: str, head: str | None = None, name: str = LOOK) -> list[Offer]:
    """What is offered at the end of a text."""
    session.put(name, (session.text(name) if head is None else head) + typed)
    lines = session.text(name).split("\n")
    try:
        return list(complete(session, name, len(lines), len(lines[-1]) + 1))
    finally:
        session.drop(name)


def labels(session: Session, typed: str, head: str | None = None) -> list[str]:
    return [offer.label for offer in offers(session, typed, head)]


@pytest.mark.parametrize("typed,wanted,unwanted", [
    ("", {"feed", "technique", "grid", "wearer"}, {"severity", "circumference"}),
    ("technique ", {"plait", "two-strand twist", "scalp rows"}, {"braid", "relaxed"}),
    ("technique plait, ", {"relaxed", "ordinary", "firm"}, {"plait"}),
    ("wearing 18 ", {"in", "cm", "mm"}, {"g", "min", "°C", "strand"}),
    ("wearing ", {"level at waist", "by"}, {"level at the waist"}),
    ("end: heat seal 180 ", {"°C", "°F"}, {"in", "g"}),
    ("end: dip 80 °c for 10 ", {"s", "min"}, {"g", "°C"}),
    ("finish \"light oil\" 4 ", {"g", "oz"}, {"in"}),
    ("feed: pieces of base ½ ", {"pencil", "mm"}, {"pencils", "g"}),
    ("feed: pieces of base ½ pencil, ", {"hold width", "until width"}, {"in nape"}),
    ("feed: pieces of base ½ pencil, hold width by ", {"size", "length", "strand"}, {"small"}),
    ("hair:\n  base: ", {"Dune", "Kelp", "blend of"}, {"Pebble bead", "base"}),
    ("hair:\n  base: \"Dune\" colour \"", {"ember", "wet sand"}, {"copper wire"}),
    ("hair:\n  base: \"Dune\",\n    fol", {"folded in the middle", "folded at"}, {"folded in middle", "form"}),
    ("start: extension at root, 1 piece of ", {"base", "curls", "Dune"}, {"size"}),
    ("end: 3 beads of \"", {"Pebble bead"}, {"Dune"}),
    ("end: band in ", {"nape", "hairline"}, {"knot"}),
    ("when ", {"strand", "own hair", "size", "not"}, {"any section", "time", "fine"}),
    ("when strand is ", {"fine", "coarse", "unknown"}, {"size", "dense"}),
    ("when strand is fine or ", {"medium", "density"}, set()),
    ("when size is ", {"small", "large"}, {"bob"}),
    ("when age over 3 ", {"years", "months"}, {"in", "strand", "times"}),
    ("when strand is fine: cut ", {"base", "curls"}, {"size"}),
    ("choices:\n  bulk: thin is width 5 mm; very full is width 9 mm; default ", {"thin", "very full"}, {"small"}),
    ("choices:\n  bulk: thin is width 5 mm; very full is width 9 mm; default very f", {"very full"}, {"thin"}),
    ("expect packs of b", {"packs of base"}, {"packs of curls"}),
    ("expect time at most 3 ", {"h", "min"}, {"g", "sections"}),
    ("expect packs at most 2 for wearer \"", {"Ilse", "Wren"}, {"Harbour Chair"}),
    ("expect price at most 2 USD in house \"", {"Zimmer Sieben"}, {"Ilse"}),
    ("recipe \"New\" based on \"", {"Lantern", "Quayside"}, {"Dune"}),
    ("use \"", {"lantern.plait", "../hairs.plait"}, {"saltmarsh.plait"}),
    ("finish \"", {"setting foam", "edge gel"}, {"Dune"}),
    ("allow ", {"H02", "S01", "X02"}, {"stop"}),
    ("# a comment ", set(), {"feed"}),
    ("note \"feed ", set(), {"feed"}),
])
def test_in_a_look(session: Session, typed: str, wanted: set[str], unwanted: set[str]) -> None:
    found = set(labels(session, typed))
    assert wanted <= found and not unwanted & found, found


@pytest.mark.parametrize("head,typed,wanted,unwanted", [
    ("", "", {"recipe", "hair", "use", "edition"}, {"feed"}),
    ('wearer "A"\n', "own h", {"own hair"}, {"hairline"}),
    ('wearer "A"\n', "arrives ", {"in an old set", "washed", "unknown"}, {"fine"}),
    ('wearer "A"\n', "tender head ", {"yes", "no", "unknown"}, set()),
    ('wearer "A"\n', "allergies ", {"none", "unknown"}, set()),
    ('wearer "A"\n', "chemical service relaxer 3 ", {"weeks"}, {"in"}),
    ('wearer "A"\n', "chemical service relaxer 3 weeks ", {"ago"}, set()),
    ('wearer "A"\n', "own hair 3 in in ", {"nape"}, {"cm"}),
    ('wearer "A"\n', "brings \"", {"Dune"}, {"Pebble bead"}),
    ('hair "A"\n', "fibre ", {"modacrylic", "human"}, {"plain"}),
    ('hair "A"\n', "sealing 175 to 200 ", {"°C", "°F"}, {"in"}),
    ('hair "A"\nkind plain\n', "", {"fibre", "recipe"}, set()),
    ('house "A"\n', "labour 34 ", {"USD", "EUR"}, {"in"}),
    ('house "A"\n', "labour 34 usd ", {"per hour"}, set()),
    ('house "A"\n', "tax 8 ", {"%"}, {"in"}),
    ('house "A"\n', "rack 24 ", {"pegs"}, set()),
    ('house "A"\n', "price \"", {"Dune", "Pebble bead"}, set()),
    ('house "A"\n', "rate \"fee", {"feed in"}, {"knot"}),
    ('rule "A"\n', "severity ", {"stop", "warn", "note"}, {"fine"}),
    ('rule "A"\n', "if ", {"added weight", "strand", "any section"}, {"small"}),
    ('rule "A"\n', "if any section where hai", {"hairs"}, {"time"}),
    ('rule "A"\n', "if strand is ", {"fine"}, {"time"}),
    ('rule "A"\n', "if time over 7 ", {"h", "min"}, {"g"}),
])
def test_in_other_declarations(session: Session, head: str, typed: str, wanted: set[str], unwanted: set[str]) -> None:
    found = set(labels(session, typed, f"edition 1\n{head}"))
    assert wanted <= found and not unwanted & found, found


def test_a_fact_is_offered_with_the_wearers_own_word(session: Session) -> None:
    session.put(LOOK, 'edition 1\nrecipe "A"\nwhen ')
    found = {offer.label: offer.detail for offer in complete(session, LOOK, 3, 6, Request(wearer="Ilse"))}
    assert found["strand"].endswith("Ilse: fine") and found["density"].endswith("Ilse: medium")


def test_what_is_typed_is_replaced(session: Session) -> None:
    head = "edition 1\nrecipe \"A\"\n"
    for typed, label, after in (("end: hea", "heat seal", "end: heat seal"), ('hair: x: "Me', "Meadow Curl", 'hair: x: "Meadow Curl"'),
                                ("hair: x: Me", "Meadow", 'hair: x: "Meadow"'), ("tec", "technique", "technique ")):
        (offer,) = [each for each in offers(session, typed, head) if each.label == label]
        assert apply(head + typed, [Edit(offer.span, offer.insert)]) == head + after


def test_a_closed_quote_is_not_closed_again(session: Session) -> None:
    session.put(LOOK, 'edition 1\nrecipe "A"\nhair: x: "Me", cut 40 in\n')
    (offer,) = [each for each in complete(session, LOOK, 3, 13) if each.label == "Meadow"]
    assert offer.insert == "Meadow"


def test_every_phrase_offered_is_taken_by_the_grammar() -> None:
    """After each prefix of each example, each phrase that is offered leaves a line that can go on."""
    tried = 0
    for rule, example in vocabulary.EXAMPLES.items():
        body = example.partition(": ")[2] if rule in vocabulary.RECIPE_BLOCKS.values() and ": " in example else example
        word = next((w for w, r in {**vocabulary.RECIPE_STATEMENTS, **vocabulary.RULE_STATEMENTS}.items() if r == rule), "")
        body = body.removeprefix(f"{word} ").lower()
        words = body.split(" ")
        for n in range(len(words)):
            before = " ".join(words[:n])
            expected = expected_after(rule, before)
            for phrase in expected.phrases if expected is not None else ():
                assert expected_after(rule, f"{before} {phrase}") is not None, (rule, before, phrase)
                tried += 1
    assert tried > 150


def test_every_name_in_quotes_of_the_grammar_has_its_kind() -> None:
    """A rule of the grammar that takes a name in quotes must say what is named there."""
    for rule, example in vocabulary.EXAMPLES.items():
        words = example.split(" ")
        for n in range(len(words) + 1):
            expected = expected_after(rule, " ".join(words[:n]).lower())
            for role in expected.strings if expected is not None else ():
                assert role in OF_STRING, role


def test_every_value_offered_for_a_fact_is_right(session: Session) -> None:
    """Each word and example offered for a fact makes a line that its reader takes."""
    for kind, facts in vocabulary.FACTS.items():
        for fact in facts:
            words = () if fact == "chemical service" else fact_words(kind, fact)  # its words want a time behind them
            for value in (*words, *examples(kind, fact)):
                text = f'edition 1\n{kind} "A"\n{fact} {value}\n'
                session.put("a.plait", text)
                wrong = [p for p in session.problems("a.plait") if p.span.line == 3 and p.code not in ("E508", "E307")]
                assert not wrong, (kind, fact, value, wrong)
    assert set(GOODS) <= {fact for facts in vocabulary.FACTS.values() for fact in facts}


def test_a_line_made_only_of_offers_can_be_read(session: Session) -> None:
    """Taking the first offer that says something new, again and again, comes to a right line."""
    head = 'edition 1\nrecipe "A"\nhair: base: "Dune", cut 40 in\n'
    text = head + "start: "
    for wanted in ("extension at root", ",", "then", "1", "piece of", "base", "½", "pencil"):
        found = {offer.label: offer for offer in offers(session, "", text)}
        if wanted in found:
            offer = found[wanted]
            text = apply(text, [Edit(offer.span, offer.insert)]) + " "
        else:
            assert not wanted[0].isalpha(), (wanted, text, sorted(found))
            text = text.rstrip(" ") + wanted + " " if wanted == "," else text + wanted + " "
    assert parse(text, "a.plait")[1] == ()
