"""Why each step is done: what the trainee's handout adds to the card.

Where a rule judges the same thing, the reason is the rule's own, so that the two can't differ. The rest
is common practice, no source.
"""

from __future__ import annotations

from functools import lru_cache

from ..rules.catalogue import rule_of
from .language import Language, mark

RULE_REASONS = {
    "heat seal": ("H02", "H03", "H07"), "dip": ("W04", "W07"), "ornaments": ("M05",), "leave curls loose": ("W01",),
    "hot water": ("W01",), "ceiling": ("H06",), "pull": ("L06",), "pain": ("L06",), "weeks": ("R01",), "breaks": ("T03",),
    "lay out": ("A02",), "section size": ("G01",),
}
"""What is done -> the rules whose reasons stand for it."""

PRACTICE = {
    "cut": mark("Pieces of one length end together, so that the strand thins where the recipe says and not where a short piece runs out."),
    "stretch": mark("Ends of many lengths taper; blunt ends leave a step in the strand where each piece stops."),
    "portion": mark("Pieces of one size keep the strand even; what is portioned beforehand needn't be judged with a client waiting."),
    "knot": mark("The knot holds the strand while its end is sealed."),
    "curl rods": mark("The fibre takes the rod's shape while it is warm and keeps it when it cools."),
    "band": mark("The end has nothing else that holds it."),
    "tuck": mark("The end is hidden and held by the strand itself."),
    "leave loose": mark("Loose ends move; only what holds by itself may be left so."),
    "trim": mark("Stray ends show most where the strand is thinnest; cut last, when the whole length can be seen."),
    "lay out": mark("Read each label against what the wearer is allergic to."),
    "smooth": mark("Flyaways lie down once, at the end, rather than strand by strand."),
    "count": mark("A section left out is found now, not at home."),
    "wash": mark("Damp hair inside a braid stays damp for hours; an unwashed scalp itches and gets scratched."),
    "night": mark("Rubbing frays the braid, and a tight bun pulls where the day has pulled already."),
    "tell": mark("How it wore is the only check on what this card reckoned."),
    "order": mark("Working from the nape up keeps the loose hair above the hands and out of the way; the edges, which bear least, come when the hand is warm."),
    "parting": mark("All rows are measured from the parting, so a crooked one shows in every row."),
    "brick": mark("Sections set off by half hide the lines of scalp between them."),
    "alike": mark("Zones worked alike share a line: the hands learn one rhythm."),
    "feed": mark("Each piece is laid in before the strand gets visibly thinner, so that no step shows."),
    "own hair ends": mark("Own hair that ends outside the strand works loose and stands off."),
    "checkpoints": mark("Late at the first checkpoint is a word to the client; late at the last is a missed train."),
    "spread": mark("A time is a guess with a spread: four days in five means one day in five is longer."),
}
"""Common practice, no source."""


@lru_cache(maxsize=256)
def why(say: Language, *keys: str) -> str:
    """The reasons for a step. Raises KeyError for a step that has none."""
    said: list[str] = []
    for key in keys:
        if key not in RULE_REASONS and key not in PRACTICE:
            raise KeyError(key)
        if key in PRACTICE:
            said.append(say(PRACTICE[key]))
        said += [say(rule.why) for code in RULE_REASONS.get(key, ()) if (rule := rule_of(code)) is not None]
    return " ".join(dict.fromkeys(said))
