"""Make the catalogues anew: ``python -m plaitbook.cards.make_catalogues``.

Babel gathers every sentence of the cards (the modules, the templates, the station's script, the built-in rules, the
plan's own words), puts what is new into each language's ``.po`` with an empty translation, drops what is gone, and
compiles the ``.mo`` that cards read. A test holds both to the sources; it changes nothing itself.
"""

from __future__ import annotations

import io
import re
from datetime import datetime
from pathlib import Path

from babel.messages.catalog import Catalog
from babel.messages.extract import extract
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po, write_po

from ..rules import CAUTION, REASON_RULES, RULES
from ..rules.judging import ASK
from ..rules.work import UNMET
from .environment import TEMPLATES
from .language import DOMAIN, LOCALES, TRANSLATED, Code
from .terms import TERMS
from .told import TEMPLATES as TOLD

HERE = Path(__file__).parent
KEYWORDS: dict[str, tuple[int, ...] | None] = {"say": None, "mark": None, "many": (1, 2), "counted": (1, 2), "self": None, "t": None, "tn": (1, 2)}
PLURALS = {"fr": "nplurals=2; plural=(n > 1);", "pt": "nplurals=2; plural=(n > 1);", "es": "nplurals=2; plural=(n != 1);"}
"""How each language counts (Unicode CLDR, without its forms for whole millions)."""
ENGLISH_ONLY = frozenset(("comparison_sheet.py", "words.py", "make_catalogues.py"))
"""Papers of the desk that are printed in English, and what only says their words."""
DESK = ("between_braiders.py", "day/paper.py", "site_making.py")
"""Where the desk puts the words of its other papers together."""
_JS = re.compile(r"""\b(t|tn)\("((?:[^"\\]|\\.)*)"(?:, "((?:[^"\\]|\\.)*)")?""")


def gathered() -> Catalog:
    """Every sentence there is to translate, with where it stands."""
    found = Catalog(domain=DOMAIN, project="plaitbook", charset="utf-8")
    for path in sorted(HERE.rglob("*.py")):
        if path.name not in ENGLISH_ONLY:
            _from_code(found, path, "python")
    for name in DESK:
        _from_code(found, HERE.parent / "desk" / name, "python", f"desk/{name}")
    for path in sorted(TEMPLATES.glob("*.j2")):
        _from_code(found, path, "jinja2.ext:babel_extract")
    script = TEMPLATES / "station.js"
    for call, one, many in _JS.findall(script.read_text("utf-8")):
        found.add((one, many) if call == "tn" else one, locations=[(f"templates/{script.name}", 1)], flags=["python-brace-format"])
    for text in TOLD:
        found.add(text, locations=[("told.py", 1)])
    for heading, words in TERMS.items():
        for word in words:
            found.add(word, context=heading, locations=[("terms.py", 1)])
    found.add(CAUTION, locations=[("rules/catalogue.py", 1)])
    found.add(ASK, locations=[("rules/judging.py", 1)])
    found.add(UNMET, locations=[("rules/work.py", 1)])
    for rule in (*RULES, *REASON_RULES):
        for text in (rule.message, rule.why, rule.fix, rule.source):
            if text:
                found.add(text, locations=[(f"rules {rule.code}", 1)])
    return found


def _from_code(found: Catalog, path: Path, method: str, place: str = "") -> None:
    with path.open("rb") as file:
        for line, text, comments, context in extract(method, file, KEYWORDS, (), {"encoding": "utf-8"}):
            found.add(text, locations=[(place or path.relative_to(HERE).as_posix(), line)], context=context)


def kept(code: Code) -> Catalog:
    """A language's catalogue as its ``.po`` has it; an empty one where there is none."""
    path = po_file(code)
    if not path.exists():
        return Catalog(locale=code, domain=DOMAIN)
    with path.open("rb") as file:
        return read_po(file, locale=code, domain=DOMAIN)


def po_file(code: Code) -> Path:
    """Where a language's translations stand."""
    return LOCALES / code / "LC_MESSAGES" / f"{DOMAIN}.po"


def updated(code: Code, sentences: Catalog) -> tuple[bytes, bytes]:
    """A language's ``.po`` and ``.mo`` for these sentences: known translations kept, nothing guessed."""
    old = kept(code)
    new = Catalog(locale=code, domain=DOMAIN, project="plaitbook", charset="utf-8", fuzzy=False)
    for message in sentences:
        if message.id:
            known = old.get(message.id, context=message.context)
            string = known.string if known is not None else ""
            # Without line numbers, so that the file changes only when the words do.
            files = sorted({name for name, _ in message.locations})
            new.add(message.id, string, locations=[(name, 0) for name in files], context=message.context)
    po, mo = io.BytesIO(), io.BytesIO()
    write_po(po, new, width=120, sort_output=True, omit_header=True, include_lineno=False)
    header = (f'msgid ""\nmsgstr ""\n"Language: {code}\\n"\n"Content-Type: text/plain; charset=utf-8\\n"\n'
              f'"Plural-Forms: {PLURALS[code]}\\n"\n\n')
    text = f"# Trade terms follow docs/glossary.md.\n{header}".encode() + po.getvalue()
    compiled = read_po(io.BytesIO(text), locale=code, domain=DOMAIN)
    # No date of making: the same sentences give the same file.
    compiled.creation_date = compiled.revision_date = datetime(1970, 1, 1)
    write_mo(mo, compiled)
    return text, mo.getvalue()


def main() -> None:
    """Write every language's files; say how many sentences lack a translation."""
    sentences = gathered()
    for code in TRANSLATED:
        po, mo = updated(code, sentences)
        path = po_file(code)
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(po)
        path.with_suffix(".mo").write_bytes(mo)
        missing = [m for m in kept(code) if m.id and not (all(m.string) if m.pluralizable else m.string)]
        print(f"{code}: {len(sentences)} sentences, {len(missing)} without a translation")


if __name__ == "__main__":
    main()
