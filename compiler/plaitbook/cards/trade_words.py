"""The trade's words as this book uses them, for whoever is new to it. Common practice, no source."""

from __future__ import annotations

from .language import mark

TRADE_WORDS: tuple[tuple[str, str], ...] = (
    ("accent", mark("A loose curly piece, bead or cuff worked in every so many stitches.")),
    ("blend", mark("One piece made of two colours or more, in parts by weight.")),
    ("bore", mark("The hole of a bead; the strand must go through it.")),
    ("brick", mark("A grid whose rows are set off by half a section, so that partings don't line up.")),
    ("crown", mark("The top of the head towards the back, where the hair turns.")),
    ("cut length", mark("The length of a piece before it is folded.")),
    ("dip", mark("Setting the ends in hot water. Never with curls that hot water undoes.")),
    ("edges", mark("The finest hair along the front of the hairline. Leave it out when in doubt.")),
    ("feed in", mark("To add a piece while plaiting, laid under the rotation.")),
    ("feed-in plait", mark("See knotless.")),
    ("flat length", mark("How long the hair in a pack is, stretched out and unfolded.")),
    ("hairline", mark("The border of the hair round the face, the ears and the nape.")),
    ("hank", mark("The hair of a pack, or a lock drawn from it, before it is cut.")),
    ("heat seal", mark("A moment's touch with a flat iron that fuses the tip of a synthetic end.")),
    ("hold width", mark("To feed in just enough, and just where it is needed, to keep one width.")),
    ("knotless", mark("Begun without a knot: the added hair comes in gradually, or lies along the root.")),
    ("knotted", mark("Begun with the folded piece tied round the root, as box braids are.")),
    ("length ratio", mark("How much hair goes into so much finished strand; more than 1.")),
    ("level at", mark("Each section gets its own length, so that all tips hang at one height.")),
    ("nape", mark("The lowest hair at the back of the head.")),
    ("own hair", mark("What grows on the wearer's head.")),
    ("pack", mark("Hair as it is sold. Its weight and flat length stand in the catalogue.")),
    ("parting", mark("The line that tells two sections apart; the parting is the one that shows at the front.")),
    ("pencil", mark("A width: a piece as thick as a pencil, 7 mm, held loosely. Half a pencil holds a quarter of its hair.")),
    ("piece", mark("Hair measured off to be fed in, folded or not.")),
    ("rack", mark("A board with pegs on which pieces wait in the order of the work.")),
    ("scalp row", mark("A plait worked along the scalp, picking up hair as it goes.")),
    ("section", mark("The patch of scalp whose hair goes into one strand.")),
    ("spare", mark("What is bought beyond what should be used.")),
    ("stitch", mark("One rotation: in a plait each outside strand brought to the middle once; in a twist one full turn of the pair; "
               "in a scalp row one rotation with its pick-up.")),
    ("stretch", mark("To pull a blunt cut end apart until it thins out.")),
    ("take-down", mark("Taking a set out again.")),
    ("tightness", mark("Relaxed, ordinary or firm. Pain means too tight.")),
    ("tuck in", mark("To lay the ends of own hair into the strand where they run out.")),
    ("wearer", mark("Whose head it is.")),
    ("zone", mark("A part of the head: hairline, temples, nape, back, crown, top, sides.")),
)
"""(word, what it means), in the order of the alphabet."""
