"""The intake and consent sheet: what nobody has asked yet, what is on file to confirm, and where to sign."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from ..meaning.model import Wearer
from ..meaning.values import Measure
from ..rules import CAUTION
from ..rules.catalogue import rule_of
from . import words as say
from .card import Ask, Block, Column, Form, Para, Part, Table
from .context import PAUSE_ITEMS, Context
from .prepare import FINDING_LIMIT, alert

BLANK = "_" * 12
CONSENT = (
    "I have read the cautions above and my questions about them have been answered. My answers are true as far as I know. "
    "I agree to this look being put in. I may ask to stop, or to have any part loosened or taken out, at any time."
)
DEFERS = (
    "This sheet is a record of what was asked and is neither medical nor legal advice. Local codes and licensing rules, the "
    "judgement of a licensed practitioner and, where the scalp or hair isn't well, of a clinician come before anything written "
    "here. It holds facts about health: keep it private, and only as long as local rules ask."
)
"""Our own words. No code or form of any place was copied: they differ, and the sheet says that they come first."""
PATCH_HOURS = "48 h"
"""As in rule Q03: common practice, no source."""
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
    why: str = ""


def _word(field: str) -> Known:
    def known(c: Context) -> str:
        value = getattr(c.wearer, field)
        return "" if value is None else {True: "yes", False: "no"}.get(value, str(value))
    return known


def _length(field: str) -> Known:
    def known(c: Context) -> str:
        value: Measure | None = getattr(c.wearer, field)
        return "" if value is None or value.origin.kind == "default" else say.clean(value.text, 40)
    return known


_measured = _length
"""A time, an age or a share is printed as it was written, too."""


def _allergies(c: Context) -> str:
    found = c.wearer.allergies
    return "" if found is None else say.clean(say.listed(map(say.name, found))) or "none"


def _patch(c: Context) -> str:
    return "" if c.wearer.patch_test in (None, "not done") else str(c.wearer.patch_test)


def _weeks(c: Context) -> str | None:
    return None if c.wearer.chemical in (None, "none") else _measured("chemical_weeks")(c)


def _old_set(c: Context) -> str | None:
    """Asked of one who comes in an old set, or may."""
    if c.wearer.arrives not in (None, "in an old set"):
        return None
    told = c.wearer.old_set
    if told is None:
        return ""
    return say.clean(say.listed([f"{told.strands} braids", *([told.width_mm.text] if told.width_mm else [])]))


def _zones(c: Context) -> str:
    return say.clean("; ".join(f"{zone} {measure.text}" for zone, measure in c.wearer.own_by_zone))


def _brings(c: Context) -> str:
    return say.clean("; ".join(f"{say.name(hair)}, {say.packs(packs)}" for hair, packs in c.wearer.brings))


YES_NO = ("yes", "no")
ASKED: tuple[tuple[str, tuple[Question, ...]], ...] = (
    ("Health and safety", (
        Question("Scalp", "", _word("scalp"), ("healthy", "dry", "flaking", "sore", "broken", "infected"), rule="Q01"),
        Question("Allergies", "", _allergies, ("none",), True, rule="Q02"),
        Question("Earlier reactions", "", _word("reacts_to_added_hair"), YES_NO, True, rule="Q08"),
        Question("Patch test", "", _patch, ("clear", "reacted", "not done"), rule="Q03"),
        Question("Chemical service", "", _word("chemical"), ("none", "relaxer", "bleach", "colour", "perm"), True, rule="Q04"),
        Question("Weeks since then", "How many weeks ago was the chemical service?", _weeks, (), True, rule="S04"),
        Question("Shedding", "", _word("shedding"), ("no more than usual", "more than usual"), rule="Q05"),
        Question("Tender head", "", _word("tender"), YES_NO, rule="Q06"),
        Question("Edges", "", _word("edges"), ("healthy", "thin", "fragile"), rule="Q07"),
        Question("Earlier breakage", "", _word("past_breakage"), YES_NO, True, rule="Q10"),
        Question("Age", "How old is the wearer?", _measured("age_years"), (), True, rule="Q09"),
    )),
    ("The day", (
        Question("Arrives", "", _word("arrives"), ("washed and dried", "washed", "unwashed", "in an old set"), rule="Q11"),
        Question("Old set", "How many braids is the set you come in, and how wide?", _old_set, (), True),
        Question("Last set", "How many weeks ago did the last set come down?", _measured("rest_weeks"), ("never had one",), True, rule="S12"),
        Question("Sits", "How long can you sit without a break?", _measured("sits_s"), (), True, rule="T02"),
        Question("Brings hair", "Do you bring hair of your own? Which, and how many packs?", _brings, ("no",), True),
    )),
    ("Looked at and measured", (
        Question("Strand", "How thick is one hair?", _word("strand"), ("fine", "medium", "coarse")),
        Question("Density", "How densely does it grow?", _word("density"), ("sparse", "medium", "dense")),
        Question("Texture", "How does it fall?", _word("texture"), ("straight", "wavy", "curly", "coily")),
        Question("Own hair", "How long is own hair, stretched straight?", _length("own_mm"), (), True),
        Question("Shorter parts", "Where is it shorter, and how long there?", _zones, ("nowhere",), True),
        Question("Layers", "How much shorter is the shortest layer?", _length("layers_mm"), ("one length",), True),
        Question("Hairline", "Where does the front hairline lie?", _word("hairline"), ("ordinary", "low", "high", "receding")),
        Question("Round the head", "Round the head, over brow and back?", _length("circumference_mm"), (), True, rule="G04"),
        Question("Ear to ear", "From the notch above one ear's flap over the crown to the other?", _length("ear_to_ear_mm"), (), True),
        Question("Hairline to nape", "From the front hairline over the crown to the nape?", _length("hairline_to_nape_mm"), (), True),
        Question("Head length", "Head, front to back, between two straight edges?", _length("head_length_mm"), (), True),
        Question("Head breadth", "Head, side to side, between two straight edges?", _length("head_breadth_mm"), (), True),
    )),
)
"""Every fact of a wearer but two: growth since a measurement, which a new measurement settles, and the sex,
which only picks a table for a head that wasn't measured. The wording is ours where no rule asks."""


def intake(c: Context) -> tuple[Part, ...]:
    """The parts of the sheet, in the order in which it is gone through."""
    parts = [Part(key="never", title="Please read first", blocks=(Para(text=CAUTION, tone="caution"), *_warnings(c)))]
    rows: list[tuple[str, str, str]] = []
    for number, (title, questions) in enumerate(ASKED):
        answers = [(q, q.known(c)) for q in questions]
        rows += [(q.heading, answer, BLANK) for q, answer in answers if answer]
        asks = [Ask(text=_text(q), note=_why(q), options=q.options, blank=q.blank) for q, answer in answers if answer == ""]
        if number == 0:
            asks += [Ask(text=say.sentence(say.clean(f.message, FINDING_LIMIT)), note=say.sentence(say.clean(f.reason, FINDING_LIMIT)), blank=True)
                     for f in c.plan.findings if f.severity == "ask" and f.code not in _CODES and UNDECIDED not in f.message]
        if asks:
            parts.append(Part(key=f"ask-{number + 1}", title=title, blocks=_forms(asks)))
    if c.wearer.note:
        rows.append(("Note", say.clean(c.wearer.note), BLANK))
    if rows:
        parts.append(Part(key="known", title="What we have on file", blocks=_on_file(rows)))
    parts += [_patch_record(c), _consent()]
    return tuple(parts)


def _warnings(c: Context) -> list[Block]:
    return [alert(f) for severity in ("stop", "warn") for f in c.plan.findings
            if f.severity == severity and f.code[:1] not in WORK]


_CODES = frozenset(q.rule for _, questions in ASKED for q in questions if q.rule)


def _text(question: Question) -> str:
    rule = rule_of(question.rule)
    return question.text or (rule.message if rule else question.heading)


def _why(question: Question) -> str:
    rule = rule_of(question.rule)
    return question.why or (rule.why if rule else "")


def _on_file(rows: list[tuple[str, str, str]]) -> tuple[Block, ...]:
    """What is known, to be ticked or corrected; fewer than ten lines between two pauses."""
    columns = (Column(heading="Fact"), Column(heading="On file"), Column(heading="If not, what now"))
    tables = -(-len(rows) // PAUSE_ITEMS)
    size = -(-len(rows) // tables)
    return tuple(Table(caption="Tick what is still so" + (f" ({i + 1} of {tables})" if tables > 1 else ""), ticks=True, roomy=True,
                       columns=columns, rows=tuple(rows[i * size:(i + 1) * size])) for i in range(tables))


def _forms(asks: list[Ask]) -> tuple[Block, ...]:
    """Fewer than ten questions between two pauses."""
    forms = -(-len(asks) // PAUSE_ITEMS)
    size = -(-len(asks) // forms)
    return tuple(Form(title=f"{i + 1} of {forms}" if forms > 1 else "", items=tuple(asks[i * size:(i + 1) * size])) for i in range(forms))


def _patch_record(c: Context) -> Part:
    """A line for each thing that touches the skin: where, when, read when, what was seen."""
    things = [say.name(h.name) for h in c.recipe.catalogue] + [say.name(p.name) for p in c.recipe.products]
    rows = [(thing, BLANK[:9], BLANK[:9], BLANK[:9], "□ clear □ reacted") for thing in [*things, *[BLANK] * SPARE_ROWS]]
    columns = tuple(Column(heading=h) for h in ("Hair or product", "Put on, where", "When", f"Read after {PATCH_HOURS}", "Result"))
    how = rule_of("Q03")
    blocks: list[Block] = [Para(text=f"{say.sentence(how.fix if how else '')} Redness, itching or swelling: don't use it, and advise seeing a clinician.")]
    blocks.append(Table(caption="Patch test record", plain=True, wide=True, roomy=True, columns=columns, rows=tuple(rows)))
    return Part(key="patch", title="Patch test record", blocks=tuple(blocks))


def _consent() -> Part:
    signs = Form(wide=True, items=(
        Ask(text="Wearer, or for a child a parent or guardian: name in full", blank=True),
        Ask(text="Signature, and date", blank=True),
        Ask(text="Braider: signature, and date", blank=True),
    ))
    return Part(key="consent", title="Consent", blocks=(Para(text=CONSENT), Para(text=DEFERS), signs))


def asked_fields() -> frozenset[str]:
    """The wearer's facts that the sheet asks or confirms; a test holds them to the model."""
    asked = {"name", "note", "allergies", "patch_test", "chemical_weeks", "own_by_zone", "brings", "old_set"}
    for _, questions in ASKED:
        for question in questions:
            for cell in question.known.__closure__ or ():
                asked.add(cell.cell_contents)
    return frozenset(asked) & frozenset(Wearer.model_fields)
