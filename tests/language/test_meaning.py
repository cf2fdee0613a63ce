"""What statements mean: inheritance, choices, adaptations, picks, zones, ranges."""

from __future__ import annotations

import pytest
from shipped_book import SMALL, compile_in_book, fetch, shipped_looks, shipped_text
from hypothesis import HealthCheck, given, settings, strategies as st

from plaitbook.meaning.book import file_meaning
from plaitbook.syntax import vocabulary
from plaitbook.meaning.facts import SCHEMAS


def recipe_of(text: str, **request):
    done = compile_in_book(text, **request)
    assert done.recipe is not None, [(p.code, p.message) for p in done.problems]
    return done.recipe


def test_the_vocabulary_of_facts_has_a_reader_for_every_word() -> None:
    for kind, words in vocabulary.FACTS.items():
        assert set(words) - {"demo", "allow"} == set(SCHEMAS[kind])


def test_a_zone_statement_wins_over_the_general_one() -> None:
    recipe = recipe_of(SMALL + "wearing 8 in in nape, sides\n")
    assert recipe.zone("nape").wearing.length_mm.value == pytest.approx(8 * 25.4)
    assert recipe.zone("crown").wearing.length_mm.value == pytest.approx(12 * 25.4)


def test_edges_are_the_hairline() -> None:
    assert recipe_of(SMALL + "leave out edges\n").zone("hairline").left_out


def test_a_range_stands_for_its_middle() -> None:
    assert recipe_of(SMALL.replace("12 in", "16 to 18 in")).zone("top").wearing.length_mm.value == pytest.approx(17 * 25.4)


def test_pencils_become_millimetres_in_the_house() -> None:
    recipe = recipe_of(SMALL)
    assert recipe.zone("top").feeds[0].pieces.held_mm.value == pytest.approx(3.5)


CHOICES = SMALL.replace("grid square 1½ in", "grid square by size").replace("hold width 8 mm", "hold width by size").replace(
    "hair:\n", "choices:\nsize: small is grid 1 in, width 5 mm; big is grid 2 in, width 9 mm; default big\nhair:\n")


def test_a_choice_is_a_bundle_with_a_default() -> None:
    assert recipe_of(CHOICES).zone("top").grid.height_mm.value == pytest.approx(50.8)
    small = recipe_of(CHOICES, picks={"size": "small"})
    assert small.zone("top").grid.height_mm.value == pytest.approx(25.4)
    assert small.zone("top").feeds[0].width_mm.value == pytest.approx(5)
    assert small.choices == (("size", "small"),)


def test_an_adaptation_wins_over_a_choice_and_a_pick_wins_over_both() -> None:
    text = CHOICES + "when strand is fine: width 6 mm\n"
    assert recipe_of(text, wearer="Ilse").zone("top").feeds[0].width_mm.value == pytest.approx(6)
    picked = recipe_of(text, wearer="Ilse", picks={"size": "big"})
    assert picked.zone("top").feeds[0].width_mm.value == pytest.approx(9)
    assert "undoes" in picked.undone[0]
    assert recipe_of(text, wearer="Noor").zone("top").feeds[0].width_mm.value == pytest.approx(9)


def test_inheritance_replaces_statement_by_statement() -> None:
    child = '\nrecipe "Child" based on "Small"\nwearing 20 in\nend: none\n'
    recipe = recipe_of(SMALL + child, look="Child")
    assert recipe.zone("top").wearing.length_mm.value == pytest.approx(20 * 25.4)
    assert recipe.zone("top").end == ()
    assert recipe.zone("top").start.kind == "extension"
    assert recipe.based_on == ("Small",)


def test_a_base_may_hold_choices_that_its_child_has_no_use_for() -> None:
    child = CHOICES + '\nrecipe "Child" based on "Small"\nfeed: none\n'
    assert recipe_of(child, look="Child").zone("top").feeds == ()
    own = child + "when strand is fine: every 6 stitches\n"
    assert [p.code for p in compile_in_book(own, look="Child", wearer="Ilse").problems] == ["E606"]


def test_a_pinned_version_must_be_there() -> None:
    child = '\nrecipe "Child" based on "Small" version 4\n'
    done = compile_in_book(SMALL + child, look="Child")
    assert [p.code for p in done.problems] == ["E431"]


def test_facts_of_several_words_may_be_spaced_anyhow() -> None:
    done = compile_in_book(SMALL + '\nwearer "X"\nreacts  to\u00a0 added hair: no\nown   hair 7 in\n', wearer="X")
    assert done.plan is not None, done.problems
    assert done.wearer.reacts_to_added_hair is False


def test_unknown_facts_stay_unknown() -> None:
    done = compile_in_book(SMALL + '\nwearer "X"\nscalp unknown\n', wearer="X")
    assert done.wearer.scalp is None


def test_a_reason_to_go_on_is_kept() -> None:
    recipe = recipe_of(SMALL + 'allow w01 because "checked with her clinician"\n')
    assert recipe.allows[0].code == "W01"


@pytest.mark.parametrize(("expected", "said"), [
    ("time at most 2 in", "takes a time"), ("wearing at least 12", "takes a length"),
    ("price at most 200 EUR", "250 USD"), ("packs at most 10 g", "a plain number"),
    ("age at least 40 years", "found 34 years"), ("strand thickness at most 50 µm", "found 55"),
    ("time between 1 and 9 h", ""), ("sections in nape at least 1", ""), ("packs at most 9 packs", ""),
])
def test_an_expectation_is_held_in_the_figures_own_unit(expected: str, said: str) -> None:
    done = compile_in_book(SMALL + f"expect {expected}\n", wearer="Ilse")
    missed = [f.message for f in done.plan.findings if f.code == "P02"]
    assert len(missed) == (1 if said else 0)
    assert not said or said in missed[0]


def test_units_with_a_stroke_are_read() -> None:
    done = compile_in_book(SMALL + '\nwearer "X"\ndensity 180 hairs/cm²\nhouse "H"\npencil 12 g/m\n', wearer="X", house="H")
    assert done.wearer.density_cm2.value == 180 and done.house.pencil_g_m.value == 12


def test_two_adaptations_may_say_the_same() -> None:
    recipe = recipe_of(SMALL + "when strand is fine: width 5 mm\nwhen texture is straight: width 5 mm\n", wearer="Ilse")
    assert recipe.zone("top").feeds[0].width_mm.value == pytest.approx(5)


def test_house_rules_are_judged_and_their_mistakes_told() -> None:
    rule = '\nrule "mine"\ncode X77\nseverity warn\nif sections over 5 and any section where area over 1 cm²\nmessage "Many."\n'
    done = compile_in_book(SMALL + rule)
    assert any(f.code == "X77" for f in done.plan.findings), [(p.code, p.message) for p in done.problems]
    typo = compile_in_book(SMALL + rule.replace("sections over", "sectons over"))
    assert [p.code for p in typo.problems] == ["E806"]
    unit = compile_in_book(SMALL + rule.replace("sections over 5", "added weight over 5 cm"))
    assert [p.code for p in unit.problems] == ["E506"]


def _flat(text: str) -> str:
    """As a chat program leaves it: no indentation, curly quotes, vulgar fractions, odd spaces."""
    out = []
    for line in text.split("\n"):
        line = line.strip()
        code, hash_, comment = line.partition("#")
        parts = code.split('"')
        for n in range(1, len(parts), 2):
            parts[n] = "\u201c" + parts[n] + "\u201d"
        for n in range(0, len(parts), 2):
            parts[n] = parts[n].replace("1/2", "½").replace(" in", "\u00a0in")
        code = "".join(parts)
        out.append(code + hash_ + comment)
    return "\r\n".join(out)


def _mean(text: str, name: str):
    done = compile_in_book(text, name, wearer="Noor")
    assert done.plan is not None, [(p.code, p.message) for p in done.problems]
    return done.plan.model_dump()


@pytest.mark.parametrize("name", shipped_looks())
def test_pasted_flat_it_is_the_same_plan(name: str) -> None:
    text = shipped_text(name)
    assert _mean(_flat(text), name) == _mean(text, name)


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.sampled_from(shipped_looks()), st.randoms(use_true_random=False))
def test_any_mangled_whitespace_is_the_same_plan(name: str, random) -> None:
    text = shipped_text(name)
    lines = []
    for line in text.split("\n"):
        line = line.strip()
        if '"' not in line:
            line = "".join(random.choice([" ", "  ", "\u00a0", "\u2009"]) if c == " " and random.random() < 0.5 else c for c in line)
        lines.append(" " * random.randrange(6) + line + " " * random.randrange(3))
    ending = random.choice(["\n", "\r\n", "\r"])
    assert _mean(ending.join(lines), name) == _mean(text, name)


def test_one_file_parses_alone() -> None:
    for name in shipped_looks():
        assert file_meaning(shipped_text(name), name).problems == ()
    assert fetch("looks/a.plait", "saltmarsh.plait").path == "looks/saltmarsh.plait"


def test_shades_run_from_root_to_end() -> None:
    shaded = SMALL.replace('base: "Dune", cut 40 in', 'base: "Dune" colour "driftwood", cut 40 in, then colour "ember" from stitch 12')
    use = recipe_of(shaded).role("base")
    assert [(shade.from_stitch, shade.colour) for shade in use.shades] == [(12, "ember")]
    done = compile_in_book(shaded.replace('"ember" from', '"embr" from'))
    assert [p.code for p in done.problems] == ["E615"]


def test_growth_pack_weights_and_hair_brought_are_ordinary_input() -> None:
    people = '\nwearer "X"\nown hair 6 in\ngrowth 1 in\nbrings "Dune" 1½ packs\nhouse "Y"\npack "Dune" 72 g\npack "Kelp" 150 g\n'
    done = compile_in_book(SMALL + people, wearer="X", house="Y")
    assert done.plan is not None, done.problems
    assert done.wearer.own_hair_mm("top").value == pytest.approx(7 * 25.4)
    assert done.wearer.brings == (("Dune", 1.5),)
    assert done.recipe.hair("Dune").pack_g.value == 72


def test_a_hair_that_is_out_can_be_swapped() -> None:
    recipe = recipe_of(SMALL, swaps={"Dune": "Kelp"})
    assert recipe.role("base").parts[0].hair == "Kelp"
    assert recipe.swapped == (("Dune", "Kelp"),)
    done = compile_in_book(SMALL, swaps={"Dune": "Klep"})
    assert "Kelp" in done.problems[0].help


def test_a_childs_own_line_wins_over_an_inherited_choice() -> None:
    child = '\nrecipe "Child" based on "Small"\ngrid square 3 in\n'
    recipe = recipe_of(CHOICES.replace("grid square by size", "grid square 1 in") + child, look="Child")
    assert recipe.zone("top").grid.height_mm.value == pytest.approx(76.2)
    assert recipe.zone("top").feeds[0].width_mm.value == pytest.approx(9)


def test_a_line_that_names_its_zones_wins_over_a_choice_for_all() -> None:
    recipe = recipe_of(CHOICES + "grid square 1½ in in nape\n")
    assert recipe.zone("nape").grid.height_mm.value == pytest.approx(38.1)
    assert recipe.zone("top").grid.height_mm.value == pytest.approx(50.8)


def test_a_house_may_pay_a_price_of_its_own() -> None:
    done = compile_in_book(SMALL + '\nhouse "Y"\ncurrency EUR\nprice "Dune" 3.10 EUR\nprice "Kelp" 6 EUR\n', house="Y")
    assert done.recipe is not None, done.problems
    hair = done.recipe.hair("Dune")
    assert (str(hair.price), hair.currency) == ("3.1", "EUR")
    wrong = compile_in_book(SMALL + '\nhouse "Y"\ncurrency EUR\nprice "Dune" 3.10 USD\n', house="Y")
    assert [p.code for p in wrong.problems] == ["E307"]


def test_a_when_for_the_whole_head_leaves_a_line_for_one_zone_alone() -> None:
    text = SMALL + "start: extension at root, 1 piece of base ¼ pencil in temples\nwhen strand is fine: first piece ½ pencil\n"
    text = text.replace("1 piece of base ½ pencil\nfeed", "1 piece of base 1 pencil\nfeed")
    recipe = recipe_of(text, wearer="Ilse")
    assert recipe.zone("temples").start.pieces.held_mm.value == pytest.approx(1.75)
    assert recipe.zone("crown").start.pieces.held_mm.value == pytest.approx(3.5)
    firm = recipe_of(SMALL.replace("technique plait", "technique plait\ntechnique plait, firm in temples")
                     + "when edges are thin or fragile: tightness relaxed\n", wearer="Tomasz")
    assert firm.zone("temples").tightness == "relaxed"


def test_a_deposit_may_be_an_amount() -> None:
    done = compile_in_book(SMALL + '\nhouse "Y"\ncurrency GBP\ndeposit 20 GBP\ntax none\n', house="Y")
    assert done.plan is not None, done.problems
    assert str(done.house.deposit_amount) == "20"
    wrong = compile_in_book(SMALL + '\nhouse "Y"\ncurrency GBP\ndeposit 20 USD\n', house="Y")
    assert [p.code for p in wrong.problems] == ["E307"]


def test_capitals_of_a_persons_name_do_not_matter() -> None:
    assert compile_in_book(SMALL, wearer="ilse").wearer.name == "Ilse"
