"""The intake and consent sheet: what nobody has asked yet, what is on file to confirm, and where to sign."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from ..meaning.model import Wearer
from ..meaning.values import Measure
from ..rules import CAUTION
from ..rules.catalogue import rule_of
from . import wording as words
from .card import Ask, Block, Column, Form, Para, Part, Table
from .context import PAUSE_ITEMS, Context, numbered_title
from .findings import alert, said
from .language import mark
from .terms import TERMS

BLANK = "_" * 12
CONSENT = mark(
    "I have read the cautions above and my questions about them have been answered. My answers are true as far as I know. "
    "I agree to this look being put in. I may ask to stop, or to have any part loosened or taken out, at any time."
)
DEFERS = mark(
    "This sheet is a record of what was asked and is neither medical nor legal advice. Local codes and licensing rules, the "
    "judgement of a licensed practitioner and, where the scalp or hair isn't well, of a clinician come before anything written "
    "here. It holds facts about health: keep it private, and only as long as local rules ask."
)
"""Our own words. No code or form of any place was copied: they differ, and the sheet says that they come first."""
SPARE_ROWS = 1

WORK = ("M", "G", "P", "T", "O")
"""First letters of the rules that judge the work, not what the wearer has to know."""
UNDECIDED = "can't be said without"
"""In the message of a rule that waits for a fact: the fact itself is asked here."""

Known = Callable[[Context], "str | None"]


class Question(NamedTuple):
    """One fact about the wearer: how it is asked, what may be ticked, and what is on file (empty: nothing; None: it
    doesn't arise)."""

    heading: str
    text: str
    known: Known
    options: tuple[str, ...] = ()
    blank: bool = False
    rule: str = ""
    """The rule that asks it too; its reason is printed."""
    of: str = ""
    """The heading in :data:`~plaitbook.cards.terms.TERMS` of the words it is answered with."""


def _word(field: str, of: str = "") -> Known:
    def known(c: Context) -> str:
        value = getattr(c.wearer, field)
        return "" if value is None else c.say.term(of, {True: "yes", False: "no"}.get(value, str(value)))
    return known


def _length(field: str) -> Known:
    def known(c: Context) -> str:
        value: Measure | None = getattr(c.wearer, field)
        return "" if value is None or value.origin.kind == "default" else words.clean(value.text, 40)
    return known


_measured = _length
"""A time, an age or a share is printed as it was written, too."""


def _allergies(c: Context) -> str:
    found = c.wearer.allergies
    return "" if found is None else c.say.listed(map(words.name, found)) or c.say("none")


def _patch(c: Context) -> str:
    return "" if c.wearer.patch_test in (None, "not done") else c.say.term("patch test", str(c.wearer.patch_test))


def _weeks(c: Context) -> str | None:
    return None if c.wearer.chemical in (None, "none") else _measured("chemical_weeks")(c)


def _old_set(c: Context) -> str | None:
    """Asked of one who comes in an old set, or may."""
    if c.wearer.arrives not in (None, "in an old set"):
        return None
    told = c.wearer.old_set
    if told is None:
        return ""
    braids = c.say.counted("{n} braid", "{n} braids", told.strands)
    return f"{braids}, {words.clean(told.width_mm.text, 40)}" if told.width_mm else braids


def _zones(c: Context) -> str:
    return c.say.series(f"{c.say.term('zone', zone)} {words.clean(measure.text, 40)}" for zone, measure in c.wearer.own_by_zone)


def _brings(c: Context) -> str:
    return c.say.series(f"{words.name(hair)}, {c.say.packs(packs)}" for hair, packs in c.wearer.brings)


YES_NO = ("yes", "no")
ASKED: tuple[tuple[str, tuple[Question, ...]], ...] = (
    (mark("Health and safety"), (
        Question(mark("Scalp"), "", _word("scalp", "scalp"), ("healthy", "dry", "flaking", "sore", "broken", "infected"), rule="Q01", of="scalp"),
        Question(mark("Allergies"), "", _allergies, (mark("none"),), True, rule="Q02"),
        Question(mark("Earlier reactions"), "", _word("reacts_to_added_hair", "answer"), YES_NO, True, rule="Q08", of="answer"),
        Question(mark("Patch test"), "", _patch, ("clear", "reacted", "not done"), rule="Q03", of="patch test"),
        Question(mark("Chemical service"), "", _word("chemical", "chemical"), ("none", "relaxer", "bleach", "colour", "perm"), True, rule="Q04", of="chemical"),
        Question(mark("Weeks since then"), mark("How many weeks ago was the chemical service?"), _weeks, (), True, rule="S04"),
        Question(mark("Shedding"), "", _word("shedding", "shedding"), (mark("no more than usual"), mark("more than usual")), rule="Q05"),
        Question(mark("Tender head"), "", _word("tender", "answer"), YES_NO, rule="Q06", of="answer"),
        Question(mark("Edges"), "", _word("edges", "edges"), ("healthy", "thin", "fragile"), rule="Q07", of="edges"),
        Question(mark("Earlier breakage"), "", _word("past_breakage", "answer"), YES_NO, True, rule="Q10", of="answer"),
        Question(mark("Age"), mark("How old is the wearer?"), _measured("age_years"), (), True, rule="Q09"),
    )),
    (mark("The day"), (
        Question(mark("Arrives"), "", _word("arrives", "arrives"), ("washed and dried", "washed", "unwashed", "in an old set"), rule="Q11", of="arrives"),
        Question(mark("Old set"), mark("How many braids is the set you come in, and how wide?"), _old_set, (), True),
        Question(mark("Last set"), mark("How many weeks ago did the last set come down?"), _measured("rest_weeks"), (mark("never had one"),), True, rule="S12"),
        Question(mark("Sits"), mark("How long can you sit without a break?"), _measured("sits_s"), (), True, rule="T02"),
        Question(mark("Brings hair"), mark("Do you bring hair of your own? Which, and how many packs?"), _brings, (mark("no"),), True),
    )),
    (mark("Looked at and measured"), (
        Question(mark("Strand"), mark("How thick is one hair?"), _word("strand", "strand"), ("fine", "medium", "coarse"), of="strand"),
        Question(mark("Density"), mark("How densely does it grow?"), _word("density", "density"), ("sparse", "medium", "dense"), of="density"),
        Question(mark("Texture"), mark("How does it fall?"), _word("texture", "texture"), ("straight", "wavy", "curly", "coily"), of="texture"),
        Question(mark("Own hair"), mark("How long is own hair, stretched straight?"), _length("own_mm"), (), True),
        Question(mark("Shorter parts"), mark("Where is it shorter, and how long there?"), _zones, (mark("nowhere"),), True),
        Question(mark("Layers"), mark("How much shorter is the shortest layer?"), _length("layers_mm"), (mark("one length"),), True),
        Question(mark("Hairline"), mark("Where does the front hairline lie?"), _word("hairline", "hairline"), ("ordinary", "low", "high", "receding"), of="hairline"),
        Question(mark("Round the head"), mark("Round the head, over brow and back?"), _length("circumference_mm"), (), True, rule="G04"),
        Question(mark("Ear to ear"), mark("From the notch above one ear's flap over the crown to the other?"), _length("ear_to_ear_mm"), (), True),
        Question(mark("Hairline to nape"), mark("From the front hairline over the crown to the nape?"), _length("hairline_to_nape_mm"), (), True),
        Question(mark("Head length"), mark("Head, front to back, between two straight edges?"), _length("head_length_mm"), (), True),
        Question(mark("Head breadth"), mark("Head, side to side, between two straight edges?"), _length("head_breadth_mm"), (), True),
    )),
)
"""Every fact of a wearer but two: growth since a measurement, which a new measurement settles, and the sex,
which only picks a table for a head that wasn't measured. The wording is ours where no rule asks."""


def intake(c: Context) -> tuple[Part, ...]:
    """The parts of the sheet, in the order in which it is gone through."""
    say = c.say
    parts = [Part(key="never", title=say("Please read first"), blocks=(Para(text=say(CAUTION), tone="caution"), *_warnings(c)))]
    rows: list[tuple[str, str, str]] = []
    for number, (title, questions) in enumerate(ASKED):
        answers = [(q, q.known(c)) for q in questions]
        rows += [(say(q.heading), answer, BLANK) for q, answer in answers if answer]
        asks = [Ask(text=_text(c, q), note=_why(c, q), options=_options(c, q), blank=q.blank) for q, answer in answers if answer == ""]
        if number == 0:
            others = [said(say, c.house.currency, f) for f in c.plan.findings if f.severity == "ask" and f.code not in _CODES and UNDECIDED not in f.message]
            asks += [Ask(text=words.sentence(other.message), note=words.sentence(other.reason), blank=True) for other in others]
        if asks:
            parts.append(Part(key=f"ask-{number + 1}", title=say(title), blocks=_forms(c, asks)))
    if c.wearer.note:
        rows.append((say("Note"), words.clean(c.wearer.note), BLANK))
    if rows:
        parts.append(Part(key="known", title=say("What we have on file"), blocks=_on_file(c, rows)))
    parts += [_patch_record(c), _consent(c)]
    return tuple(parts)


def _warnings(c: Context) -> list[Block]:
    return [alert(c.say, c.house.currency, f) for severity in ("stop", "warn") for f in c.plan.findings
            if f.severity == severity and f.code[:1] not in WORK]


_CODES = frozenset(q.rule for _, questions in ASKED for q in questions if q.rule)


def _text(c: Context, question: Question) -> str:
    rule = rule_of(question.rule)
    return c.say(question.text or (rule.message if rule else question.heading))


def _why(c: Context, question: Question) -> str:
    rule = rule_of(question.rule)
    return c.say(rule.why) if rule else ""


def _options(c: Context, question: Question) -> tuple[str, ...]:
    known = TERMS.get(question.of, ())
    return tuple(c.say.term(question.of, option) if option in known else c.say(option) for option in question.options)


def _on_file(c: Context, rows: list[tuple[str, str, str]]) -> tuple[Block, ...]:
    """What is known, to be ticked or corrected; fewer than ten lines between two pauses."""
    say = c.say
    columns = (Column(heading=say("Fact")), Column(heading=say("On file")), Column(heading=say("If not, what now")))
    tables = -(-len(rows) // PAUSE_ITEMS)
    size = -(-len(rows) // tables)
    title = say("Tick what is still so")
    return tuple(Table(caption=title if tables == 1 else numbered_title(say, title, i, tables), ticks=True, roomy=True,
                       columns=columns, rows=tuple(rows[i * size:(i + 1) * size])) for i in range(tables))


def _forms(c: Context, asks: list[Ask]) -> tuple[Block, ...]:
    """Fewer than ten questions between two pauses."""
    forms = -(-len(asks) // PAUSE_ITEMS)
    size = -(-len(asks) // forms)
    return tuple(Form(title=numbered_title(c.say, "", i, forms) if forms > 1 else "", items=tuple(asks[i * size:(i + 1) * size]))
                 for i in range(forms))


def _patch_record(c: Context) -> Part:
    """A line for each thing that touches the skin: where, when, read when, what was seen. The hours are those of rule Q03:
    common practice, no source."""
    say = c.say
    things = [words.name(h.name) for h in c.recipe.catalogue] + [words.name(p.name) for p in c.recipe.products]
    result = say("□ clear □ reacted")
    rows = [(thing, BLANK[:9], BLANK[:9], BLANK[:9], result) for thing in [*things, *[BLANK] * SPARE_ROWS]]
    columns = tuple(Column(heading=h) for h in (
        say("Hair or product"), say("Put on, where"), say("When"), say("Read after 48 h"), say("Result")))
    how = rule_of("Q03")
    first = words.sentence(say(how.fix)) if how else ""
    stop = say("Redness, itching or swelling: don't use it, and advise seeing a clinician.")
    blocks: list[Block] = [Para(text=f"{first} {stop}".strip())]
    title = say("Patch test record")
    blocks.append(Table(caption=title, plain=True, wide=True, roomy=True, columns=columns, rows=tuple(rows)))
    return Part(key="patch", title=title, blocks=tuple(blocks))


def _consent(c: Context) -> Part:
    say = c.say
    signs = Form(wide=True, items=(
        Ask(text=say("Wearer, or for a child a parent or guardian: name in full"), blank=True),
        Ask(text=say("Signature, and date"), blank=True),
        Ask(text=say("Braider: signature, and date"), blank=True),
    ))
    return Part(key="consent", title=say("Consent"), blocks=(Para(text=say(CONSENT)), Para(text=say(DEFERS)), signs))


def asked_fields() -> frozenset[str]:
    """The wearer's facts that the sheet asks or confirms; a test holds them to the model."""
    asked = {"name", "note", "allergies", "patch_test", "chemical_weeks", "own_by_zone", "brings", "old_set"}
    for _, questions in ASKED:
        for question in questions:
            for cell in question.known.__closure__ or ():
                asked.add(cell.cell_contents)
    return frozenset(asked) & frozenset(Wearer.model_fields)
