"""Write the highlighting files of grammar/editor/ from the grammar and the vocabulary.

    python -m plaitbook.desk.editing.make_highlighting

A test holds the files to what this writes, so that a word added to the
language is coloured everywhere.
"""

from __future__ import annotations

import json
import re
from pathlib import Path

from ...meaning.layers import ADAPTABLE
from ...meaning.model import ZONES
from ...meaning.unit_table import UNITS
from ...shipped import shipped_folder
from ...syntax import vocabulary
from ...syntax.expected import keywords, terminal_pattern
from .oracle import fact_words

QUOTES = '"\u201c\u201d\u201e\u201f\u00ab\u00bb\uff02'
FRACTIONS = "½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞"
MARKS = "\"\u201d\u2033"
"""Inch marks, where they follow a number."""


def leading_words() -> tuple[str, ...]:
    """Every word or words that a line may begin with, headings apart."""
    facts = [fact for known in vocabulary.FACTS.values() for fact in known]
    words = ["edition", "use", *vocabulary.RECIPE_STATEMENTS, *vocabulary.SECTION_WORDS, *vocabulary.RULE_STATEMENTS,
             *facts, *vocabulary.OTHER_SPELLINGS]
    return tuple(sorted(dict.fromkeys(words)))


def value_words() -> tuple[str, ...]:
    """Words that a fact may be: fine, coily, modacrylic."""
    words = [word for kind, facts in vocabulary.FACTS.items() for fact in facts for word in fact_words(kind, fact)]
    words += [word for known in ADAPTABLE.values() for word in known] + ["stop", "warn", "note", "unknown"]
    return tuple(sorted(dict.fromkeys(words)))


def plain_keywords() -> tuple[str, ...]:
    """The grammar's fixed words, zones apart."""
    return tuple(sorted(word for word in keywords() if word not in (*ZONES, "edges")))


def zone_words() -> tuple[str, ...]:
    return (*ZONES, "edges")


def unit_words() -> tuple[str, ...]:
    """Spellings of units made of letters and signs, without the marks."""
    return tuple(sorted(unit for unit in UNITS if unit not in "″′"))


def any_of(words: tuple[str, ...]) -> str:
    """A pattern for one of these words, the longest first, however they are spaced."""
    longest = sorted(words, key=lambda word: (-len(word), word))
    return "|".join(re.escape(word).replace(r"\ ", r"\s+").replace(r"\-", "-") for word in longest)


def textmate() -> str:
    """The TextMate grammar, as JSON."""
    number, quote = terminal_pattern("NUMBER"), f"[{QUOTES}]"
    not_quote = f"[^{QUOTES}]"
    name = {"name": "string.quoted.double.plait"}
    patterns: list[dict[str, object]] = [
        {"name": "comment.line.number-sign.plait", "match": "#.*$"},
        {"match": f"(?i)^\\s*({any_of(vocabulary.DECLARATIONS)})\\s+({quote})({not_quote}*)({quote})",
         "captures": {"1": {"name": "storage.type.declaration.plait"}, "2": name,
                      "3": {"name": "string.quoted.double.plait entity.name.section.plait"}, "4": name}},
        {"match": f"(?i)^\\s*({any_of(tuple(vocabulary.RECIPE_BLOCKS))})\\s*(:|\uff1a)",
         "captures": {"1": {"name": "keyword.control.heading.plait"}, "2": {"name": "punctuation.separator.plait"}}},
        {"match": f"(?i)^\\s*({any_of(leading_words())})(?![\\w'-])",
         "captures": {"1": {"name": "keyword.control.statement.plait"}}},
        {"match": "^\\s*(?![^:]*\\b(?:is|are|over|under|above|below|at)\\b)([^\\W\\d_](?:[^\\W\\d_]|[' -])*?)\\s*(:)",
         "captures": {"1": {"name": "variable.other.plait"}, "2": {"name": "punctuation.separator.plait"}}},
        {"name": "constant.numeric.clock.plait", "match": f"\\b{terminal_pattern('CLOCK')}\\b"},
        {"match": f"(?i)({number})(\\s*)({any_of(unit_words())})(?![\\w²2/])",
         "captures": {"1": {"name": "constant.numeric.plait"}, "3": {"name": "keyword.other.unit.plait"}}},
        {"match": f"({number})([{MARKS}′])",
         "captures": {"1": {"name": "constant.numeric.plait"}, "2": {"name": "keyword.other.unit.plait"}}},
        {"name": "constant.numeric.plait", "match": number},
        {"name": "string.quoted.double.plait", "match": f"{quote}{not_quote}*{quote}"},
        {"name": "invalid.illegal.unclosed-quote.plait", "match": f"{quote}{not_quote}*$"},
        {"name": "constant.language.zone.plait", "match": f"(?i)\\b({any_of(zone_words())})\\b(?![-'])"},
        {"name": "keyword.other.plait", "match": f"(?i)\\b({any_of(plain_keywords())})(?![\\w'-])"},
        {"name": "support.constant.value.plait", "match": f"(?i)\\b({any_of(value_words())})(?![\\w'-])"},
        {"name": "punctuation.separator.plait", "match": "[,;:()]"},
        {"name": "variable.other.plait", "match": "[^\\W\\d_][\\w'\u2019-]*"},
    ]
    return json.dumps({
        "$schema": "https://raw.githubusercontent.com/martinring/tmlanguage/master/tmlanguage.json",
        "name": "Plait", "scopeName": "source.plait", "fileTypes": ["plait"], "patterns": patterns,
    }, indent=2, ensure_ascii=False) + "\n"


def vim() -> str:
    """The Vim syntax file."""
    def alternatives(words: tuple[str, ...]) -> str:
        longest = sorted(words, key=lambda word: (-len(word), word))
        return "|".join(word.replace("/", "\\/").replace(" ", "\\s+").replace("%", "\\%") for word in longest)

    lead, heads, kinds = (alternatives(words) for words in
                          (leading_words(), tuple(vocabulary.RECIPE_BLOCKS), vocabulary.DECLARATIONS))
    number = r"-?%(\d+\s+\d+\/\d+|\d+\/\d+|\d+%(\.\d+)?\s*[" + FRACTIONS + r"]|[" + FRACTIONS + r"]|\d+%(\.\d+)?)"
    return f'''" Vim syntax for Plaitbook recipes. Generated by plaitbook.desk.editing.make_highlighting: do not edit.
if exists("b:current_syntax")
  finish
endif
syntax case ignore
syntax match plaitName /\\v<\\a[[:alnum:]'-]*/
syntax match plaitValue /\\v<%({alternatives(value_words())})>/
syntax match plaitKeyword /\\v<%({alternatives(plain_keywords())})>/
syntax match plaitZone /\\v<%({alternatives(zone_words())})>/
syntax match plaitStatement /\\v^\\s*%({lead})>/
syntax match plaitRole /\\v^\\s*\\a[[:alnum:]' -]*\\ze:/
syntax match plaitHeading /\\v^\\s*%({heads})\\ze\\s*:/
syntax match plaitDeclaration /\\v^\\s*%({kinds})\\ze\\s+["\u201c\u201d\u201e\u00ab]/
syntax match plaitNumber /\\v{number}/
syntax match plaitUnit /\\v%(\\d|[{FRACTIONS}])\\s*\\zs%({alternatives(unit_words())})\\ze%([^[:alnum:]\\/]|$)/
syntax match plaitUnit /\\v%(\\d|[{FRACTIONS}])\\zs["\u201d\u2033\u2032]/
syntax match plaitClock /\\v<[0-2]?\\d:[0-5]\\d>/
syntax match plaitString /\\v%(\\d|[{FRACTIONS}])@<![{QUOTES}][^{QUOTES}]*[{QUOTES}]/
syntax match plaitComment /#.*$/ contains=@Spell

highlight default link plaitComment Comment
highlight default link plaitString String
highlight default link plaitNumber Number
highlight default link plaitClock Number
highlight default link plaitUnit Type
highlight default link plaitZone Constant
highlight default link plaitValue Constant
highlight default link plaitKeyword Keyword
highlight default link plaitHeading Structure
highlight default link plaitStatement Statement
highlight default link plaitDeclaration Define
highlight default link plaitRole Identifier

let b:current_syntax = "plait"
'''


def emacs() -> str:
    """The Emacs mode."""
    def listed(words: tuple[str, ...]) -> str:
        return " ".join(json.dumps(word, ensure_ascii=False) for word in words)

    lead, heads, kinds = leading_words(), tuple(vocabulary.RECIPE_BLOCKS), vocabulary.DECLARATIONS
    number = r"\\(?:[0-9]+\\(?:\\.[0-9]+\\)?\\(?:/[0-9]+\\)?[ ]*[" + FRACTIONS + r"]?\\|[" + FRACTIONS + r"]\\)"
    return f''';;; plait-mode.el --- Plaitbook recipes -*- lexical-binding: t; -*-
;; Generated by plaitbook.desk.editing.make_highlighting: do not edit.
;;; Code:
(defconst plait-mode-font-lock
  (list
   (cons (concat "^\\\\s-*" (regexp-opt '({listed(kinds)}) t) "\\\\s-+[\\"\u201c]") '(1 font-lock-preprocessor-face))
   (cons (concat "^\\\\s-*" (regexp-opt '({listed(heads)}) t) "\\\\s-*:") '(1 font-lock-keyword-face))
   (cons (concat "^\\\\s-*" (regexp-opt '({listed(lead)}) t) "\\\\_>") '(1 font-lock-keyword-face))
   (cons "^\\\\s-*\\\\([[:alpha:]][[:alnum:]' -]*\\\\):" '(1 font-lock-variable-name-face))
   (cons (concat "{number}[ ]*" (regexp-opt '({listed(unit_words())}) t) "\\\\_>") '(1 font-lock-type-face))
   (cons "{number}" 'font-lock-constant-face)
   (cons (concat "\\\\_<" (regexp-opt '({listed(zone_words())}) t) "\\\\_>") 'font-lock-constant-face)
   (cons (concat "\\\\_<" (regexp-opt '({listed(plain_keywords())}) t) "\\\\_>") 'font-lock-builtin-face)
   (cons (concat "\\\\_<" (regexp-opt '({listed(value_words())}) t) "\\\\_>") 'font-lock-constant-face))
  "What is coloured in a recipe.")

;;;###autoload
(define-derived-mode plait-mode prog-mode "Plait"
  "Major mode for Plaitbook recipes."
  (setq-local font-lock-defaults '(plait-mode-font-lock nil t))
  (setq-local comment-start "# ")
  (modify-syntax-entry ?# "<") (modify-syntax-entry ?\\n ">")
  (modify-syntax-entry ?\\" "\\"") (modify-syntax-entry ?- "_"))

;;;###autoload
(add-to-list 'auto-mode-alist '("\\\\.plait\\\\'" . plait-mode))

(with-eval-after-load 'eglot
  (add-to-list 'eglot-server-programs '(plait-mode . ("plait" "editor"))))

(provide 'plait-mode)
;;; plait-mode.el ends here
'''


FILES = {
    "plait.tmLanguage.json": textmate, "vscode/plait.tmLanguage.json": textmate, "vim/syntax/plait.vim": vim,
    "emacs/plait-mode.el": emacs,
}
"""Path under grammar/editor/ -> what is written there. The extension carries its own copy: it is packaged alone."""


def main() -> None:
    """Write every file."""
    folder = shipped_folder("grammar") / "editor"
    for path, make in FILES.items():
        target = Path(str(folder / path))
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_text(make(), encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()
