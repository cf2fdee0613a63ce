"""The words a line may begin with, and which start rule of the grammar reads the rest.

The vocabulary of facts (``hair``, ``ornament``, ``wearer``, ``house``) is
given meaning, field by field, in :mod:`plaitbook.meaning.facts`; a test holds
the two to each other.
"""

from __future__ import annotations

EDITIONS = (1,)

DECLARATIONS = ("recipe", "hair", "ornament", "wearer", "house", "rule")

RECIPE_BLOCKS = {
    "choices": "choices_line",
    "hair": "hair_line",
    "sections": "sections_line",
    "start": "start_line",
    "feed": "feed_line",
    "accents": "accents_line",
    "end": "end_line",
    "adapt": "when_statement",
}
"""Heading word -> start rule of the lines under it."""

RECIPE_STATEMENTS = {
    "based": "based_statement",
    "summary": "summary_statement",
    "note": "note_statement",
    "demo": "demo_statement",
    "technique": "technique_statement",
    "wearing": "wearing_statement",
    "finish": "finish_statement",
    "when": "when_statement",
    "expect": "expect_statement",
    "allow": "allow_statement",
}
"""Leading word -> start rule of what follows it."""

SECTION_WORDS = ("grid", "hairline", "parting", "mirrored", "not", "order", "leave")
"""Words that begin a line of ``sections:``; they are understood outside the block too."""

RULE_STATEMENTS = {
    "code": "code_statement",
    "severity": "severity_statement",
    "if": "if_statement",
    "message": "message_statement",
    "reason": "reason_statement",
    "source": "source_statement",
    "fix": "fix_statement",
    "demo": "demo_statement",
}

FACTS = {
    "hair": (
        "demo", "kind", "fibre", "colours", "pack", "flat", "label", "worn", "ends",
        "styling ceiling", "sealing", "hot water", "price", "coated", "substitute",
    ),
    "ornament": ("demo", "kind", "bore", "length", "weight", "price"),
    "wearer": (
        "demo", "note", "age", "sex", "strand", "density", "texture", "own hair", "growth", "layers", "brings",
        "circumference", "ear to ear", "hairline to nape", "head length", "head breadth",
        "hairline", "edges", "scalp", "allergies", "reacts to added hair", "patch test",
        "chemical service", "shedding", "tender head", "past breakage", "last set down",
        "arrives", "old set", "sits", "allow",
    ),
    "house": (
        "demo", "note", "currency", "units", "paper", "hand", "language", "labour", "overhead", "tax",
        "round to", "deposit", "discount", "consumables", "hair by", "spare", "pencil",
        "length ratio", "braiders", "rack", "break", "opens", "load limit", "added limit",
        "rate", "stock", "pack", "price", "braider", "logo", "template",
    ),
}
"""Declaration -> the facts it may state, each a leading word or words."""

OTHER_SPELLINGS = {"labor": "labour", "colors": "colours", "colour": "colours", "color": "colours",
                   "fiber": "fibre", "ear-to-ear": "ear to ear", "substitutes": "substitute"}
"""Spellings that are taken for a fact's own word."""

FACT_RULES = {"allow": "allow_statement"}
"""Facts read with a start rule of their own instead of ``fact_value``."""

EXAMPLES = {
    "edition_statement": "edition 1",
    "declaration_statement": 'recipe "Saltmarsh" version 2',
    "use_statement": 'use "hairs.plait"',
    "based_statement": 'based on "Saltmarsh"',
    "summary_statement": 'summary "Knotless plaits with loose curls down their length."',
    "note_statement": 'note "Ask for the long combs."',
    "demo_statement": "demo",
    "technique_statement": "technique plait, ordinary",
    "wearing_statement": "wearing 18 in",
    "choices_line": "length: bob is 10 in; waist is 24 in; default bob",
    "hair_line": 'base: "Dune", cut 48 in, folded in the middle, ends pulled 4 in',
    "sections_line": "grid brick ¾ in",
    "start_line": "start: extension at root, 1 piece of base ½ pencil",
    "feed_line": "feed: pieces of base ½ pencil, hold width 7 mm",
    "accents_line": "every 9 stitches from stitch 3 to end: 1 piece of curls ¼ pencil, alternate sides, stagger",
    "end_line": "end: knot 5 turns, trim straight ends",
    "finish_statement": 'finish "setting foam" 20 g',
    "when_statement": "when strand is fine: width 5 mm, every 6 stitches",
    "expect_statement": 'expect packs of base between 1 and 1½ for wearer "Ilse"',
    "allow_statement": 'allow W01 because "human hair, checked"',
    "code_statement": "code X01",
    "severity_statement": "severity warn",
    "if_statement": "if added weight over 300 g and age under 12 years",
    "message_statement": 'message "Too heavy for a child."',
    "reason_statement": 'reason "We take less on small heads."',
    "source_statement": 'source "our own practice"',
    "fix_statement": 'fix "Fewer or thinner strands."',
    "fact_value": "strand fine",
}
"""One right line for each start rule, shown as the fix when a line can't be read."""

SECTION_EXAMPLES = {
    "grid": "grid brick ¾ in", "hairline": "hairline ½ in", "parting": "parting side left", "mirrored": "mirrored",
    "not": "not mirrored", "order": "order nape up", "leave": "leave out hairline",
}
DECLARATION_EXAMPLES = {
    "recipe": 'recipe "Saltmarsh" version 2', "hair": 'hair "Dune"', "ornament": 'ornament "Pebble bead"',
    "wearer": 'wearer "Ilse"', "house": 'house "Harbour Chair"', "rule": 'rule "Small heads"',
}
FACT_EXAMPLES = {
    "hair": {
        "demo": "demo", "kind": "kind plain", "fibre": "fibre modacrylic", "colours": 'colours "ember", "soft black"',
        "pack": "pack 80 g", "flat": "flat 48 in", "label": "label 24 in", "worn": "worn 18 in", "ends": "ends blunt",
        "styling ceiling": "styling ceiling 160 °C", "sealing": "sealing 175 to 200 °C", "hot water": "hot water allowed",
        "price": "price 4.50 USD", "coated": "coated no", "substitute": 'substitute "Kelp"',
    },
    "ornament": {
        "demo": "demo", "kind": "kind bead", "bore": "bore 6 mm", "length": "length 9 mm", "weight": "weight 0.5 g",
        "price": "price 0.20 USD",
    },
    "wearer": {
        "demo": "demo", "note": 'note "Likes a break."', "age": "age 34 years", "sex": "sex female", "strand": "strand fine",
        "density": "density medium", "texture": "texture curly", "own hair": "own hair 8 in", "growth": "growth 12 mm",
        "layers": "layers 2 in", "brings": 'brings "Dune" 2 packs', "circumference": "circumference 56 cm",
        "ear to ear": "ear to ear 34 cm", "hairline to nape": "hairline to nape 36 cm", "head length": "head length 19 cm",
        "head breadth": "head breadth 15 cm", "hairline": "hairline ordinary", "edges": "edges healthy",
        "scalp": "scalp healthy", "allergies": "allergies none", "reacts to added hair": "reacts to added hair no",
        "patch test": "patch test clear", "chemical service": "chemical service none", "shedding": "shedding ordinary",
        "tender head": "tender head no", "past breakage": "past breakage no", "last set down": "last set down 3 weeks ago",
        "arrives": "arrives washed", "old set": "old set 80 braids", "sits": "sits 3 h",
        "allow": 'allow W01 because "human hair, checked"',
    },
    "house": {
        "demo": "demo", "note": 'note "Ring twice."', "currency": "currency USD", "units": "units inch", "paper": "paper a4",
        "hand": "hand right", "language": "language english", "labour": "labour 45 USD per hour", "overhead": "overhead 10 %",
        "tax": "tax 8.5 % added", "round to": "round to 5 USD", "deposit": "deposit 20 %", "discount": "discount 5 %",
        "consumables": "consumables 4 USD", "hair by": "hair by pack", "spare": "spare 10 %", "pencil": "pencil 7 mm",
        "length ratio": "length ratio 130 %", "braiders": "braiders 2", "rack": "rack 20 pegs, 10 pieces a peg",
        "break": "break 15 min every 2 h", "opens": "opens 09:30", "load limit": "load limit 5 mN",
        "added limit": "added limit 600 g", "rate": 'rate "start" 50 s, spread 25 %', "stock": 'stock "Dune" 3½ packs',
        "pack": 'pack "Dune" 75 g', "price": 'price "Dune" 3.10 USD', "braider": 'braider "Ana" speed 110 %',
        "logo": 'logo "mark.svg"', "template": 'template "card.j2"',
    },
}
"""One right line for each word of a line whose rule reads several."""


def example_for(rule: str, kind: str, word: str, headed: bool) -> str:
    """A right line that begins as the author's does: with ``word``, in a declaration of this kind.

    ``headed``: a block's heading stands on the line itself (``start: extension at root``).
    """
    if rule == "declaration_statement":
        return DECLARATION_EXAMPLES[word]
    if rule in ("fact_value", "demo_statement", "note_statement", "allow_statement") and word in FACT_EXAMPLES.get(kind, {}):
        return FACT_EXAMPLES[kind][word]
    example = SECTION_EXAMPLES.get(word, EXAMPLES.get(rule, "")) if rule == "sections_line" else EXAMPLES.get(rule, "")
    if rule != RECIPE_BLOCKS.get(word) and not headed:
        return example
    plain = example.removeprefix(f"{word}: ").removeprefix("when ")
    return f"{word}: {plain}" if headed else plain
