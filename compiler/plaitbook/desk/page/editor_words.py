"""The words that the page's editor colours, from the compiler's own vocabulary.

``python -m plaitbook.desk.page.editor_words > web/src/vocabulary.json``; a test holds the two together.
"""

from __future__ import annotations

import json

from ...meaning.model import ZONES
from ...meaning.unit_table import UNITS
from ...syntax import vocabulary


def editor_words() -> str:
    """The JSON file that the build takes in."""
    data = {
        "declarations": list(vocabulary.DECLARATIONS), "blocks": sorted(vocabulary.RECIPE_BLOCKS),
        "statements": sorted({*vocabulary.RECIPE_STATEMENTS, *vocabulary.SECTION_WORDS, *vocabulary.RULE_STATEMENTS}),
        "facts": sorted({fact for facts in vocabulary.FACTS.values() for fact in facts}),
        "zones": [*ZONES, "edges"], "units": sorted({*UNITS, "stitch", "stitches", "sections", "packs", "turns", "pieces", "piece"}),
    }
    return json.dumps(data, ensure_ascii=False, indent=1) + "\n"


if __name__ == "__main__":
    import sys

    sys.stdout.reconfigure(encoding="utf-8")  # type: ignore[union-attr]
    print(editor_words(), end="")
