"""What each leading word means, in a line: shown beside an offer and under the pointer.

The longer story is docs/language.md. A test holds these to the vocabulary.
"""

from __future__ import annotations

_RECIPE = {
    "choices": "a menu of this look: options with what each sets, and the one taken if nobody picks",
    "hair": "the hair of this look: a name of your own for each, the hair it is, how long it is cut, how it is folded",
    "sections": "how the head is parted: grid, hairline, parting, order",
    "start": "how a strand begins: an extension at the root, own hair first, or knotted",
    "feed": "pieces laid in after the start, at stitches you name or wherever a width needs them",
    "accents": "curls, beads or cuffs along the strand, every so many stitches",
    "end": "how an end is finished, step by step",
    "adapt": "what changes to suit the wearer: conditions and settings, without the word 'when'",
    "based": "takes over everything another look says; lines of this look replace the same lines of the other",
    "summary": "one sentence under the name on the card",
    "note": "a word to whoever works from the card",
    "demo": "marks what is invented",
    "technique": "plait, two-strand twist or scalp rows, and how tight",
    "wearing": "the finished length, or the landmark where all strands end",
    "finish": "products for the whole head, with the weight one head takes",
    "when": "what changes when something is so of the wearer, or a choice is taken",
    "expect": "what you count on; when a plan misses it, the card says so",
    "allow": "a written reason to go on in spite of a finding that says stop; it prints on the card",
    "grid": "the shape and size of the sections, or how many there are",
    "hairline": "sections of their own size in the front band",
    "parting": "where the hair is divided in front of the crown",
    "mirrored": "both sides alike, as if unsaid",
    "not": "'not mirrored': the two sides may differ",
    "order": "in which order the head is worked; as if unsaid, from the nape up",
    "leave": "'leave out': zones that are not braided",
}
_RULE = {
    "code": "a code of its own, which no other rule has",
    "severity": "stop, warn or note",
    "if": "when the rule speaks",
    "message": "what prints",
    "reason": "why",
    "source": "who says so",
    "fix": "what to do instead",
    "demo": "marks what is invented",
}
_HAIR = {
    "kind": "plain or curly", "fibre": "what it is made of", "colours": "its colours, by your own names",
    "pack": "weight of hair in one pack", "flat": "length laid flat, unfolded, as it comes out of the pack",
    "label": "length printed on the pack", "worn": "length at which curls hang",
    "ends": "blunt or tapered as sold", "styling ceiling": "the hottest tool along its length",
    "sealing": "heat that fuses a tip in a moment's touch, both ends of the range",
    "hot water": "whether its ends may be dipped", "price": "money for one pack", "coated": "whether it is coated",
    "substitute": "hairs that may stand in when it is out", "demo": "marks what is invented",
}
_ORNAMENT = {
    "kind": "bead, cuff, ring, shell or cord", "bore": "width of its hole", "length": "its length",
    "weight": "weight of one", "price": "money for one", "demo": "marks what is invented",
}
_WEARER = {
    "age": "in years, or months for the smallest", "sex": "used only to guess a head that wasn't measured",
    "strand": "how thick one own hair is", "density": "how dense own hair grows", "texture": "own hair's texture",
    "own hair": "length of own hair, stretched straight; zones may follow", "growth": "grown since it was measured",
    "layers": "how much shorter the shortest layer is", "brings": "hair she brings along, in packs",
    "circumference": "round the head", "ear to ear": "over the crown", "hairline to nape": "over the top",
    "head length": "straight through, front to back", "head breadth": "straight through, side to side",
    "hairline": "how the hairline lies", "edges": "the hair along the hairline", "scalp": "the state of the scalp",
    "allergies": "none, or their names", "reacts to added hair": "whether added hair has made trouble before",
    "patch test": "the patch test with this hair", "chemical service": "the last one, and how long ago",
    "shedding": "how much hair is shed", "tender head": "whether the head is tender",
    "past breakage": "breakage from an earlier set", "last set down": "how long ago the last set came down",
    "arrives": "how the hair comes to the chair", "sits": "longest sit without a break",
    "old set": "what is to be taken down: how many braids, and how wide",
    "note": "a word to whoever works from the card", "demo": "marks what is invented",
    "allow": "a written reason to go on in spite of a finding that says stop",
}
_HOUSE = {
    "currency": "three letters: USD, EUR", "units": "inch or metric on the card", "paper": "what cards print on",
    "hand": "which hand leads", "language": "the language cards print in", "labour": "price of an hour",
    "overhead": "on top of labour and hair", "tax": "added, or included in the price",
    "round to": "the price is rounded to this", "deposit": "a share of the price, or an amount",
    "discount": "off everything, before tax", "consumables": "charged for each head",
    "hair by": "whether hair is charged by the pack or the gram", "spare": "bought on top",
    "pencil": "how wide your pencil is; a second line says what one weighs",
    "length ratio": "hair over braid, as you measured it", "braiders": "how many work at one head",
    "braider": "one braider's name, speed, and when she comes", "rack": "pegs, and pieces a peg",
    "break": "how long, and how often", "opens": "when the service begins",
    "load limit": "your own limit of pull on one hair; nobody has published one",
    "added limit": "your own limit of added weight; nobody has published one",
    "rate": "how long one piece of work takes here, and who may do it", "stock": "packs on the shelf",
    "price": "what this house pays for a hair or an ornament", "note": "a word that prints on every card",
    "pack": "what your packs weigh, where the catalogue says otherwise", "logo": "a picture for the head of your cards",
    "template": "a card of your own, laid out as you like",
    "demo": "marks what is invented",
}
_ANYWHERE = {
    "edition": "the edition of the language, once at the top; a later one never changes what an earlier one means",
    "use": "brings in another file of the book",
    "recipe": "a look", "hair": "a hair of the catalogue", "ornament": "a bead, cuff, ring, shell or cord",
    "wearer": "the person in the chair", "house": "a salon and its habits", "rule": "a caution of your own",
}
MEANINGS = {"recipe": _RECIPE, "rule": _RULE, "hair": _HAIR, "ornament": _ORNAMENT, "wearer": _WEARER,
            "house": _HOUSE, "": _ANYWHERE}
"""Declaration -> leading word -> what it means; the empty declaration is for words that stand anywhere."""


def meaning_of(kind: str, word: str) -> str:
    """What a leading word means in a declaration of this kind; nothing for a word that has no line here."""
    return MEANINGS.get(kind, {}).get(word, "") or _ANYWHERE.get(word, "")
