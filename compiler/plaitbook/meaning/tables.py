"""What words stand for: tables with their sources.

Changing a number here changes plans; it is a change for users.
"""

from __future__ import annotations

STRAND_UM = {"fine": 55.0, "medium": 70.0, "coarse": 90.0}
"""Shaft diameter, micrometres. Our own split of the 40 to 120 µm seen on scalps
(Robbins, Chemical and Physical Behavior of Human Hair, via BioNumbers 116402);
means by group of 55 to 100 µm are popular restatements."""

DENSITY_CM2 = {"sparse": 140.0, "medium": 180.0, "dense": 225.0}
"""Hairs per cm². Our own split of published means of 148 to 230 (Birnbaum et al. 2018,
Skin Appendage Disord 4:304; Loussouarn 2001, Br J Dermatol, 190 ± 40 and 227 ± 55)."""

OTHER_WORDS = {
    "strand": {"thin": "fine", "thick": "coarse"},
    "density": {"thin": "sparse", "thick": "dense"},
    "chemical service": {"color": "colour"},
}
"""Fact of a wearer -> words that are taken for one of its own, in a wearer, a recipe and a rule. Common practice, no source."""

OWN_HAIR_MM = 200.0
"""Own hair where nobody said: 20 cm. Our own estimate."""

LAYERS_SHARE = 0.25
"""Layering where nobody said, as a share of the own length. Our own estimate."""

FIBRE_DENSITY_G_CM3 = {
    "modacrylic": (1.32, "Morton & Hearle, Physical Properties of Textile Fibres, Table 5.1 (1.29 and 1.34)"),
    "pvc": (1.40, "Morton & Hearle, Table 5.1"),
    "polyester": (1.39, "Morton & Hearle, Table 5.1"),
    "pbt": (1.31, "from memory"),
    "nylon": (1.14, "Morton & Hearle, Table 5.1"),
    "polypropylene": (0.91, "Morton & Hearle, Table 5.1"),
    "acrylic": (1.19, "Morton & Hearle, Table 5.1"),
    "human": (1.32, "from memory; wool keratin 1.31, Morton & Hearle, Table 5.1"),
    "plant": (1.35, "from memory, cellulose stem fibres"),
}
"""Fibre -> (g/cm³, source)."""

PENCIL_MM = 7.0
"""A pencil is 7 mm across. Common practice, no source."""

TAPER_PULL_MM = 100.0
"""How far blunt hair's ends are pulled apart when it is stretched before use: 4 in.
A general web guide gives 4 to 5 in gained (grade D)."""

BREAK_S = 15 * 60.0
BREAK_EVERY_S = 2 * 3600.0
"""Fifteen minutes every two hours. Common practice, no source."""

ADULT_YEARS = 16.0
"""Age taken when nobody said: an adult."""
