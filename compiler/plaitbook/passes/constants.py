"""Physical constants of hair, added fibre and plaits, each with its source.

Fitted to nothing: a value is here because a source or a stated estimate says
so. A figure that leans on one of these quotes the source beside it.
"""

from __future__ import annotations

from math import pi

# --- fibre ------------------------------------------------------------------

HAIR_DENSITY_G_CM3 = 1.32
"""Human hair; Robbins, Chemical and Physical Behavior of Human Hair (from memory)."""
HAIR_DENSITY_SOURCE = "Robbins, Chemical and Physical Behavior of Human Hair (from memory)"

GRAVITY_M_S2 = 9.80665
"""Standard gravity, 3rd CGPM 1901."""

WET_REGAIN = 0.30
"""Water that saturated hair takes up, as a share of its dry mass;
J Soc Cosmet Chem 17(13), p 773."""

HELD_WATER = 0.7
"""Grams of water held between the fibres of a gram of hair: the voids of a bundle packed
to 0.5 are as large as its fibres, 1/1.32 = 0.76 cm³ a gram, less a little that drains
(our own estimate)."""
WET_SOURCE = "regain: J Soc Cosmet Chem 17(13), p 773; held water: our own estimate"

# --- packing ----------------------------------------------------------------

PACKING_HELD = 0.3
"""Share of fibre in a piece held loosely between two fingers (our own estimate;
real yarns are 0.4 to 0.6, and a loose tress well under that, from memory)."""

PACKING_PLAITED = 0.5
"""Share of fibre in a plaited or twisted strand: middle of the 0.4 to 0.6 of real
yarns (from memory; textile texts)."""

PACKING_SQUEEZED = pi / 4
"""Square packing of round fibres: as small as a strand is squeezed through a bead."""

PACKING_SOURCE = "packing of yarns 0.4 to 0.6 (textile texts, from memory); held 0.3: our own estimate"

# --- the plait and the twist ------------------------------------------------

PLAIT_PITCH = {"firm": 7.0, "ordinary": 7.5, "relaxed": 8.0}
"""Period of a plait over the diameter of one of its three strands. Round strands that
only touch jam at 6 (our own computation); hair flattens. Our own estimate, not measured."""

TWIST_PITCH = {"firm": 4.0, "ordinary": 5.0, "relaxed": 6.0}
"""Pitch of a two-strand twist over the diameter of one strand. The tightest a two-strand
rope can be laid is 2.57 (zero-twist geometry of Bohr & Olsen, EPL 93:60004, 2011);
hair is laid slacker. Our own estimate, not measured."""

PITCH_SOURCE = "pitch over strand diameter: our own estimate; see the language reference on length ratio"

# --- working habits ---------------------------------------------------------

WIDTH_TOLERANCE = 0.10
"""A held width may stray this share to either side (our own estimate: under 0.7 mm on 7 mm)."""

BUILD_EVERY = 2
"""While a strand is built up to its width, at most one lot of pieces every so many
stitches: small pieces, little by little (common practice, no source)."""

MOST_TOGETHER = 3
"""Once the width is there, so many lots may be taken together at one stitch to hold it
(common practice, no source)."""

END_TAPER_MM = 50.0
"""Over this last stretch a held width may fall to half: strands end in a taper
(our own estimate: two inches)."""

END_WIDTH = 0.5
"""Width at the very end that still counts as held, as a share of the width held
(our own estimate)."""

THINNEST_SHARE = 0.05
"""A strand ends where less than this share of its thickest cross-section is left
(our own estimate)."""

THINNEST_WORKED_MM = 1.0
"""However little hair there is, a stitch is no finer than that of a strand so wide
(our own estimate)."""

MOST_STITCHES = 2000
"""No strand is planned in more stitches: a braid of two metres at a millimetre (our own
estimate of what no hand will work)."""

TRIM_TAIL_MM = 25.0
"""Hair left below the last stitch when straight ends are trimmed (common practice,
no source: about an inch)."""

OWN_FIRST_MM = 38.0
"""Own hair plaited before the first piece where the recipe gives no length: 1½ in
(The rise of knotless braids, syndicated newspaper feature)."""

FEWEST_PLACES = 3
"""Neighbours share out at least this many starting places: six neighbours in a brick grid
need three (geometry of the hexagonal tiling)."""

MOST_PLACES = 6
"""No more starting places than this: four do for any map (Appel and Haken, Illinois Journal
of Mathematics 21, 1977), and sections that touch at a corner may want one or two more."""

SHED_SHARE = 0.03
"""Hair lost to the brush and the comb when a pack is stretched and brushed (our own
estimate)."""

HAIR_CLASS_RATIO = 1.2
"""Sections whose hair counts lie within this ratio are worked alike (our own estimate:
4.7 % in width to either side, were a strand all own hair)."""

LEVEL_CLASS_MM = 38.1
"""Where strands end at one level, lengths within an inch and a half are worked alike (our own
estimate: three quarters of an inch to either side is about three stitches)."""

RUN_CLASS_MM = 25.4
"""Scalp rows whose lengths on the scalp lie within an inch are worked alike (our own
estimate: half an inch to either side is about two stitches)."""

LEAST_OWN_MM = 10.0
"""Own hair shorter than this gives nothing to plait on to (our own estimate; published
least lengths for added hair start at 2 in, and one outlier at ¾ in)."""

SHORTEST_STRAND_MM = 25.0
"""No strand is planned shorter than an inch (our own estimate)."""

LANDMARK_DROP_MM = {
    "chin": 95.0,
    "shoulder": 170.0,
    "armpit": 290.0,
    "mid back": 400.0,
    "waist": 520.0,
    "hip": 660.0,
}
"""How far each landmark lies below the ear notch on an adult of mean head size:
differences of mean standing heights of women in ANSUR II (tragion, acromion, axilla,
navel, trochanter; from memory, to the nearest centimetre); ``chin`` and ``mid back``
are our own estimate."""

MEAN_HEAD_MM = 561.0
"""Mean head circumference the drops belong to (ANSUR II, women)."""
