"""The published figures, row by row, each with its source and the recipe it was turned into.

Statements are paraphrased. Grades: A peer-reviewed or trade journal; B a
salon's own page, or a practitioner quoted by the press; C one logged case; D
general web guide, often unsourced. Rows of grade D are shown and never scored.
Sources are named by title and kind, never by the salon or the person.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from published_recipes import LABEL_20, LABEL_25, LONG, ORDINARY, UNKNOWN, Look


@dataclass(frozen=True)
class Row:
    """One published figure: ``low`` to ``high``, in packs or hours."""

    id: str
    says: str
    low: float
    high: float
    grade: str
    source: str
    look: Look
    scored: bool = True
    bought: bool = False
    """The figure is packs bought, not used."""
    sized: bool = False
    """Hours: the source tells how large the strands are, by a name, a part or a count."""
    crew_told: bool = True
    """Hours: the source tells how many braided, or speaks of one."""
    note: str = ""


def _d(id: str, says: str, low: float, high: float, source: str, look: Look, note: str = "") -> Row:
    return Row(id, says, low, high, "D", source, look, scored=False, note=note)


PACKS: tuple[Row, ...] = (
    Row("P27", "child, 80 small braids, 18 in: six packs bought", 6, 6, "C", "blog, 'First box braids'",
        Look("small", 18, LABEL_25, count=80, age=7, own_in=17), bought=True,
        note="own hair ran along 95 % of the extension; age not told, 7 assumed"),
    Row("P28", "child, at most 50 braids, 20 in: eight packs bought", 8, 8, "C", "blog, 'More box braids / April hair update'",
        Look("medium", 20, LABEL_20, count=50, age=7, own_in=17), bought=True, note="the second set of the same child"),
    Row("P29", "large on purpose, waist: four bought, two used", 2, 2, "C",
        "blog, 'Box braids: I did them myself!', 2016", Look("large", "waist", LONG)),
    Row("P30", "thick plaits, tailbone: four bought, not all used", 3, 4, "C", "blog, 'Braids again', 2014",
        Look("large", "tailbone", LONG)),
    Row("N1", "to the hip, very long packs cut in half: 2½ used", 2.5, 2.5, "C", "blog, 'Hair talk: boxed in', 2011",
        Look("medium", "hip", LONG), note="size not told"),
    Row("N2", "over 200 braids, 960 to 1200 g on the head, 'too many packs'", 12, 12, "C", "blog, 'How I got my braids, part 3'",
        Look("small", "mid back", ORDINARY, count=200), note="'could have done thinner braids'; length not told"),
    Row("N3", "small and neat: 13 bought, 10 used", 10, 10, "C", "blog, 'My trial and error with braids', 2012",
        Look("small", "mid back", ORDINARY), note="length not told; a bag at USD 1.99 taken as an ordinary pack"),
    Row("P26", "thick, waist: about ten bags", 10, 10, "B", "salon blog, 'What size box braids should I get?'",
        Look("large", "waist", UNKNOWN), scored=False, note="kind of bag not told"),
    Row("P34", "at most four packs, whatever the style", 0, 4, "B", "French hair magazine, 'Box braids: comment les entretenir'",
        Look("medium", "mid back", LONG), scored=False, note="a ceiling, and the kind of pack not told"),
    Row("P38", "rope twists, very long, uncut: at least five", 5, 9, "C", "blog, 'Senegalese twists from Cameroon', 2014",
        Look("smedium", "tailbone", UNKNOWN, "twist"), scored=False, note="kind of pack and upper end not told"),
    Row("P39", "large twists, 16 in: about 4½", 4.5, 4.5, "C", "blog, 'Tales from the roots: Havana twist', 2015",
        Look("large", 16, UNKNOWN, "twist"), scored=False, note="packs of coarse kinky hair, grams not told"),
    Row("P40", "kinky twists: 6½", 6.5, 6.5, "C", "web magazine, '5 things I learned from wearing Marley twists'",
        Look("medium", "mid back", UNKNOWN, "twist"), scored=False, note="as P39"),
    Row("P41", "kinky twists, shoulder: three", 3, 3, "C", "blog, 'Protective styling: kinky twists', 2013",
        Look("medium", "shoulder", UNKNOWN, "twist"), scored=False, note="as P39"),
    Row("N4", "child, medium: 4 to 5 packs of three bundles", 4, 5, "B", "children's braiding salon, policies page",
        Look("medium", "mid back", UNKNOWN, age=9), scored=False, note="grams not told; counts for the order by size"),
    Row("N5", "child, large: 4 to 6 of the same", 4, 6, "B", "the same page",
        Look("large", "mid back", UNKNOWN, age=9), scored=False, note="as N4"),
    Row("N6", "child, jumbo: 4 to 8 of the same", 4, 8, "B", "the same page",
        Look("jumbo", "mid back", UNKNOWN, age=9), scored=False, note="as N4"),
    Row("N7", "child, cornrows and feed-ins: 1 to 3 of the same", 1, 3, "B", "the same page",
        Look("medium", "mid back", UNKNOWN, "rows", "own first", rows=10, age=9), scored=False, note="as N4"),
    Row("N8", "jumbo, parted so that five packs do: five", 5, 5, "C", "blog, 'PS fest: jumbo box braids', 2018",
        Look("jumbo", "mid back", UNKNOWN), scored=False, note="'long braids', grams not told"),
    _d("P31", "large, long: 8 to 9 jumbo packs", 8, 9, "style guide, 'Poetic justice braids'", Look("large", "long", ORDINARY)),
    _d("P32", "box: 4 to 6 bundles", 4, 6, "lifestyle site, 'How to box braid my hair? A definitive guide'", Look(pack=UNKNOWN)),
    _d("P33", "individual braids: 5 to 10 packs", 5, 10, "web guide, 'How to do braid extensions'", Look("small", pack=UNKNOWN)),
    _d("P35", "bob: 2 to 3 packs", 2, 3, "web guide, 'Best box braids in a bob'", Look(length="bob", pack=UNKNOWN)),
    _d("P37", "rope twists, medium length: 3 to 4 packs", 3, 4, "wiki, 'Do Senegalese twists'", Look("smedium", pack=UNKNOWN, technique="twist")),
)

ROWS = Look(technique="rows", start="own first", rows=12)

SEARCHED: tuple[Row, ...] = (
    Row("N16", "14 rows round the head to a bun: an hour or a little more", 1, 1.25, "C", "blog, 'Got myself a weave', Ethiopia, 2013",
        replace(ROWS, rows=14), sized=True, note="that hair was added to the rows, and not to the bun alone, is not said outright"),
    Row("N17", "twists like kinky ones, 'but just bigger': about 3 h", 3, 3, "C", "blog, 'My thoughts on Havana twists: 2 weeks in'",
        Look("large", technique="twist"), sized=True),
    Row("N18", "box, 'not very big': almost 6 h", 6, 6, "C", "blog, 'Protective style: box braids', 2012", Look()),
    Row("N19", "box, 'a bit larger than in the past': 7 h in the chair", 7, 7, "C", "blog, 'Natural hair // Box braids', 2013", Look()),
    Row("N20", "braids with an extension, ends coiled: 4 h by the clock", 4, 4, "C", "blog, 'Making my hair, round 4', Nigeria, 2012", Look()),
    Row("N21", "fed-in rows: 3 h", 3, 3, "C", "blog, 'Braids', Kenya, 2009", ROWS),
    Row("N22", "braids with extensions, 'a lot longer than we thought': 9 h", 9, 9, "C", "blog, 'Did it really take all day?', Uganda, 2011",
        Look(length="long")),
    Row("N23", "braids with extensions: 4 h", 4, 4, "C", "blog, 'Box'ed up', 2018", Look()),
    Row("N24", "twists with added hair, breaks and a walk included: 10 h", 10, 10, "C", "blog, 'Kleine Veränderung', 2015", Look(technique="twist")),
    Row("N25", "box, some rows on one side: 2 h", 2, 2, "C", "blog, 'Box braids with a twist', Nairobi", Look()),
    Row("N26", "box: 3 h or less", 3, 3, "C", "blog, 'Box braids and fake locs', 2013", Look()),
    Row("N27", "long tresses: 5 h in the chair", 5, 5, "C", "blog, 'Confessions of a braid virgin'", Look(length="long")),
    Row("N28", "long braids: 5½ h by the clock", 5.5, 5.5, "C", "blog, 'More hair than you can shake a stick at', Gambia, 2010",
        Look(length="long")),
    Row("N29", "one middle braid and two tiers of rows, beads: almost 4 h", 4, 4, "C", "travel blog on Dakar, 2017",
        Look(start="own first", front_rows=6)),
    Row("N30", "box, taking the old out and a treatment included: 8 h", 8, 8, "C", "blog, 'Box braids na transição capilar'", Look()),
    Row("N31", "box: 6 to 8 h", 6, 8, "B", "Brazilian local press, 'Box braids: sua história', 2020 (braider quoted)", Look()),
    Row("N32", "box, waist: 8 h", 8, 8, "B", "Brazilian newspaper, 'Box braids: saiba tudo', 2019 (braider quoted)", Look(length="waist")),
    Row("N33", "box, simple: 4 to 5 h", 4, 5, "B", "Brazilian press, 'Então tenta trançar um cabelo por quase 5 horas', 2025", Look()),
    Row("N34", "micro: 15 h", 15, 15, "C", "fashion site, 'I am done with micro braids'", Look("micro"), sized=True, crew_told=False),
    Row("N35", "about 200 braids: 3 h", 3, 3, "C", "Austrian blog, 'Braids: hier sind 8 Dinge'", Look("small", count=200), sized=True, crew_told=False),
    Row("N36", "medium twists, seven packs, a stop when the hair ran out: 5 h", 5, 5, "C", "beauty site, 'Havana twist styles'",
        Look(technique="twist"), sized=True, crew_told=False),
    Row("N37", "large twists by their name: 2 h", 2, 2, "C", "blog, 'Hair challenge week 4 and 5', South Africa, 2014",
        Look("large", technique="twist"), crew_told=False),
    Row("N38", "rope twists, 'super long': 5½ h", 5.5, 5.5, "C", "blog, 'Senegalese twists for the summer', 2016",
        Look("smedium", "tailbone", technique="twist"), crew_told=False),
    Row("N39", "braids with extensions: 6 to 6¼ h", 6, 6.25, "C", "blog, 'And the hair is braided', Ghana, 2012", Look(), crew_told=False),
    Row("N40", "twists, over two days: 16 h", 16, 16, "C", "blog, 'Hair, Kenya style', 2011", Look(technique="twist"), crew_told=False),
    Row("N41", "braids, African style: 5½ h", 5.5, 5.5, "C", "blog from Tanzania, 2012", Look(), crew_told=False),
    Row("N42", "braids: 4 h", 4, 4, "C", "students' travel blog, Dakar, 2012", Look(), crew_told=False),
)
"""Found in one later search of 103 queries in nine languages, by somebody who had seen no prediction: every page of
grades A to C with one braider, or without their number, and a figure that is neither a ceiling nor a title only.
Adults, added hair, by a braider; 18 more pages have several braiders and no size, 16 are of grade D."""

HOURS: tuple[Row, ...] = (
    Row("H36", "box: usually 6 to 8 h, one to four braiders", 6, 8, "C", "blog, 'Box braids on the brain', 2014", Look(), crew_told=False),
    Row("H38", "thick plaits, tailbone, two braiders: 4 h", 4, 4, "C", "blog, 'Braids again', 2014",
        Look("large", "tailbone", LONG, braiders=2), sized=True),
    Row("H41", "two heads by specialists: 6 h, 5 h", 5, 6, "B", "Flemish public broadcaster, 2017", Look()),
    Row("H42", "three or four braiders: about 1 h", 1, 1, "B",
        "The Standard, Nairobi, 'Why Kenyatta market is Nairobi's hair capital'", Look(braiders=4)),
    Row("H47", "Fulani, tiny, long, no knots: 6 to 8 h", 6, 8, "B", "beauty press, 'Golden-blonde Fulani braids' (braider quoted)",
        Look("small", "long", start="own first", front_rows=6), sized=True, note="six rows in front: one centre, one or two a side, one round the hairline"),
    Row("H49", "goddess, no knots, by size and length: 4 to 8 h", 4, 8, "A", "UK trade journal, 'Everything you need to know about goddess braids'",
        Look(start="own first", curls=True)),
    Row("H50", "stitch braids, long, blow-dry included: 3 h", 3, 3, "B", "beauty press, 'Stitch braids' (braider quoted)",
        Look("large", "long", technique="rows", start="own first", rows=8, arrives="washed"), note="eight rows: 'six to ten' (web page on Ghana weaving)"),
    Row("H51", "cornrows: 2 to 4 h", 2, 4, "B", "salon page, 'Cornrows'",
        Look(technique="rows", start="own first", rows=12), note="twelve rows: the upper end of 'eight to twelve' (crochet salon blog)"),
    Row("H57", "large twists, 16 in: a little under 2 h", 2, 2, "C", "blog, 'Tales from the roots: Havana twist', 2015",
        Look("large", 16, technique="twist"), sized=True),
    Row("H58", "kinky twists, shoulder, two braiders: 3 h", 3, 3, "C", "blog, 'Protective styling: kinky twists', 2013",
        Look(length="shoulder", technique="twist", braiders=2)),
    Row("H59", "kinky twists, mostly two braiders: about 4 h", 4, 4, "C", "blog on kinky twists, 2013", Look(technique="twist", braiders=2)),
    Row("H72", "box, by size and length: 8 to 12 h", 8, 12, "C", "social page on protective styles (post 922396)", Look(), crew_told=False),
    Row("H73", "box: 6 to 8 h", 6, 8, "B", "Brazilian magazine, 2021 (braider quoted)", Look()),
    Row("H74", "box, just above the hip, two braiders: 7½ h", 7.5, 7.5, "C", "blog, 'Braids – eine kleine Verwandlung', Rwanda 2016",
        Look(length="hip", braiders=2)),
    Row("H75", "fine braids: 8 to 10 h alone", 8, 10, "B", "Ukrainian press, 2012 (braider quoted)", Look("small"), sized=True),
    Row("H75b", "the same, four-handed: 5 h", 5, 5, "B", "the same", Look("small", braiders=2), sized=True),
    Row("H78", "rope twists: 5 h", 5, 5, "C", "blog of a house call, 2010", Look("smedium", technique="twist"),
        note="part about an index finger ('Senegalese twists 101'): as smedium"),
    Row("N9", "medium, long, breaks included: about 6 h", 6, 6, "C", "blog, 'All about: box braids', 2015", Look(length="long", pack=LONG), sized=True),
    Row("N10", "thick, 1990s film style: 3½ h, 'quicker than most'", 3.5, 3.5, "C", "blog, 'Poetic justice box braids', 2013", Look("large"), sized=True),
    Row("N11", "box, in a salon: about 5 h", 5, 5, "C", "blog, 'My experience with a protective style', 2013", Look()),
    Row("N12", "rope twists, in the same salon: 6¾ h", 6.75, 6.75, "C", "the same", Look("smedium", technique="twist")),
    Row("N13", "rope twists: about 5 h", 5, 5, "C", "blog, 'Senegalese twists for my protective style', 2014", Look("smedium", technique="twist")),
    *SEARCHED,
    Row("H81", "long goddess braids: up to 12 h", 0, 12, "C", "blog, 2010", Look(length="long", start="own first", curls=True),
        scored=False, note="no lower end"),
    _d("H28", "micro: 6 to 10 h or longer", 6, 10, "an untitled web guide, page 14392", Look("micro")),
    _d("H31", "micro: 8 to 10 h and up", 8, 10, "an untitled web guide, page 14390", Look("micro")),
    _d("H45", "micro: 6 to 12 h in a salon, 6 to 20 at home", 6, 12, "web guide, 'How long does it take to braid hair?'", Look("micro")),
    _d("H46", "micro: 5 to 12 h, some over two or three days", 5, 12, "web guide, 'How long do micro braids take'", Look("micro")),
    _d("H70", "micro: 8 to 16 h or more", 8, 16, "web guide, 'The time and process of hair braiding'", Look("micro")),
    _d("N14", "micro, 150 to over 400 braids: 4 to 8 h", 4, 8, "web guide, 'How long does it take to get micro braids?'", Look("micro", count=275)),
    _d("H32", "small: 6 to 12 h, extremes 5 and 14", 6, 12, "web guide, 'Typical installation time for a small box braid'", Look("small")),
    _d("H33", "small: 3 to 8 h", 3, 8, "an untitled web guide, page 14983", Look("small")),
    _d("H29", "medium: 4 to 6 h", 4, 6, "an untitled web guide, page 14392", Look()),
    _d("H30", "jumbo: 2 to 4 h", 2, 4, "an untitled web guide, page 14392", Look("jumbo")),
    _d("H34", "waist: 10 h", 10, 10, "web guide, 'The time it takes for African hair braiding'", Look(length="waist")),
    _d("H35", "box: 4 to 8 h", 4, 8, "web guide, 'How long does braids take to do?'", Look()),
    _d("H37", "box: 3 to 8 h and more", 3, 8, "Brazilian web guide, 'Box braids'", Look()),
    _d("H43", "short to medium: 4 to 6 h", 4, 6, "web guide, 'How long does it take to braid hair?'", Look(length="shoulder")),
    _d("H44", "very long: 6 to 10 h", 6, 10, "the same", Look(length="tailbone")),
    _d("H67", "box: 4 to 8 h or more", 4, 8, "web guide, 'The time and process of hair braiding'", Look()),
    _d("H76", "braids: 5 to 10 h", 5, 10, "salon page citing an encyclopedia", Look()),
    _d("N15", "braids: 4 to 8 h", 4, 8, "web guide, 'How long does it take to braid hair?' (Jamaica)", Look()),
    _d("H48", "Fulani or goddess: 6 to 10 h", 6, 10, "web guide, 'How long does braids take to do?'", Look("small", start="own first", front_rows=6)),
    _d("H52", "cornrows, simple: 1 to 2 h", 1, 2, "an untitled web guide, page 14983", Look(technique="rows", start="own first", rows=8)),
    _d("H54", "cornrows: 2 to 4 h", 2, 4, "web guide, 'How long does braids take to do?'", Look(technique="rows", start="own first", rows=12)),
    _d("H69", "cornrows, simple: 2 to 4 h", 2, 4, "web guide, 'The time and process of hair braiding'", Look(technique="rows", start="own first", rows=8)),
    _d("H71", "feed-in rows: 4 to 8 h", 4, 8, "the same", Look("large", "long", technique="rows", start="own first", rows=8)),
    _d("H55", "rope twists: 5 to 10 h", 5, 10, "web guide, 'Senegalese twists'", Look("smedium", technique="twist")),
    _d("H56", "rope twists: up to 6 h", 0, 6, "wiki, 'Do Senegalese twists'", Look("smedium", technique="twist")),
    _d("H68", "rope twists: 4 to 8 h", 4, 8, "web guide, 'The time and process of hair braiding'", Look("smedium", technique="twist")),
)

LEFT_OUT: tuple[tuple[str, str, str], ...] = (
    ("P36", "a large head: one or two packs more ('Box braids on the brain', blog, 2014)", "a difference, not a count; tested as an order: a larger head takes more"),
    ("P42", "wrapped locs, 9 to 15 packs (web magazine, 'All you need to know about faux locs')", "hair wound round a braid: there is no such technique in the language"),
    ("P46", "crochet, three packs (crochet salon blog, 2016)", "loops hooked into rows: not a technique of the language"),
    ("H39", "box, own first set, 18 h ('My box braids', blog, 2008)", "a learner on her own head: the rates are those of a practised braider"),
    ("H40", "child, 80 braids, over three days ('First box braids', blog)", "no hours"),
    ("H53", "cornrows, elaborate, 4 to 6 h (web guide)", "the pattern is the work, and it isn't told"),
    ("H60, H61, H79", "wrapped and ready-made locs, 2 to 18½ h (three blogs)", "as P42"),
    ("H62", "butterfly locs, 5 to 6 h (blog, 2021)", "as P42"),
    ("H63, H65, H66", "take-down, ½ to 17 h (three blogs)", "H63 is wrapped locs, as P42; H65 and H66 are own hair, by a parent and by the wearer"),
    ("H77", "child, 8 h over two days (blog, 2015)", "a parent at home; size and length not told"),
    ("H80", "tree braids, 3 to 4 h (blog)", "hair is left out of a short braid: not a technique of the language"),
    ("S7", "own-hair twists, fine hair, about 4 h (blog, 2011)", "no size and no length; its count is in the table of counts"),
    ("N8", "jumbo, own set, about 3 h ('PS fest: jumbo box braids', blog, 2018)", "on her own head, as H39; its packs are above"),
    ("N3, N1", "own sets over three days (two blogs)", "no hours; their packs are above"),
)
