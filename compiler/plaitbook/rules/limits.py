"""The numbers the rules judge by, each with its source."""

from __future__ import annotations

BURNS_ABOVE_C = 204.4
"""400 °F: synthetic knots tapped with a flat iron burn above it (common practice, no source)."""

CLEAR_OF_SEAL_MM = 25.4
"""Braid the added hair at least an inch past the natural ends, so that sealing never touches
own hair (a cosmetic how-to page, "Minimum hair length for cornrows"; trade, grade D)."""

CHEMICAL_WAIT_WEEKS = 2.0
"""Two weeks after a relaxer (a salon's published aftercare policy, trade grade B, and a how-to
page, "wait 2 weeks", grade D). Applied to bleach, colour and perms by our own judgement."""

WEAR_WEEKS = (4, 6, 8)
"""Usual from, usual to, absolute longest: Baylor College of Medicine, dermatology
questions and answers, September 2024."""

CHILD_WEAR_WEEKS = 8
"""A girl's rows: under two months, at most two or three times a year (a hair-restoration
surgeon's advice in a magazine reprint; secondary)."""

REST_WEEKS = 1.0
"""At least a week between sets (trade web guide, grade D)."""

CHILD_ADDED_YEARS = 5.0
"""Youngest client for added hair (a salon's published policy, trade grade B)."""

CHILD_YEARS = 13.0
"""Whom these rules call a child. Our own estimate: in the burn series of Meizoso et al. 2016
85 % of the scalded were children, median age 8."""

SMALL_PARTS_YEARS = 3.0
"""US 16 CFR 1501: articles for children under three may not hold small parts."""

ORNAMENT_LOAD_YEARS = 6.0
"""Under this age the beads' weight is pointed out too. Our own estimate."""

SKIN_NEAR_MM = 150.0
"""A strand shorter than this ends by the face, ear or neck: tools come near skin. Our own estimate."""

DIP_NEAR_MM = 200.0
"""A strand shorter than this can't reach a cup without the cup at the neck. Our own estimate."""

FEW_HAIRS = 25
"""Fewer own hairs than this hold a strand badly. Our own estimate: at 150 hairs a square
centimetre it is a section of 4 mm by 4 mm."""

SHORT_OWN_MM = 50.8
"""Own hair under 2 in is too short to hold added hair (a cosmetic how-to page, "Minimum hair
length for cornrows", grade D; salons' own policies ask for 4 in)."""

PACKS_RULE_OF_FOUR = 4.0
""""Rule of four": at most four packs, four weeks, four times a year (professional advice on a
French hairdressing site, "Box braids: comment les entretenir", trade grade B)."""

LONG_SERVICE_MINUTES = 480.0
"""Past eight hours some salons spread a set over two or three days (web guides on micro
braids, grade D; where the line lies is our own estimate)."""

CHILD_LONG_MINUTES = 240.0
"""Past four hours a child's set is better split (two logged children's sets were spread over
two and three days, grade C; where the line lies is our own estimate)."""

BRAIDER_SIT_S = 7200.0
"""Two hours' braiding without a break. Our own estimate; over 75 % of braiders report
discomfort in fingers, wrists and back (Sy & Phillips 2016)."""

HAIRLINE_SHARE = 1.1
"""Hairline strands should not carry more a hair than the whole head: the American Academy of
Dermatology says to loosen there. The comparison, and its tenth of grace, are our own."""

MUCH_ADDED = 2.0
"""Added hair over own hair from which it is called several times. Our own estimate."""
