"""Texts that are nearly recipes: shipped files with a few random edits. All randomness is the caller's."""

from __future__ import annotations

import re
from functools import lru_cache
from random import Random

from shipped_book import BOOK_FILES, SMALL, shipped_looks, shipped_text

from plaitbook.shipped import shipped_folder
from plaitbook.syntax import vocabulary

ODD = ('"', "“", "”", "″", "'", "#", ":", ",", ";", "(", ")", "½", "⅞", "×", "–", "-", "−", "°", "º", " ", "\t", "\n", "\r",
       "\r\n", "\0", "\x0b", "\x0c", "\x1c", "\x85", "\u2028", "\u00a0", "\u200b", "\ufeff", "\u202e", "\u0301", "é", "İ", "ß", "ﬁ",
       "𝟙", "٣", "🪮", "\ud800", "\U0010ffff", "%", "/", "\\", "$", "{", "}", "[", "]", "<", "&", "*", "•", "1.", "~", "=")
NUMBERS = ("0", "-1", "1", "½", "1/0", "0/0", "1/3", "7 1/2", "1½", "0.0001", "1e999", "9" * 18, "9" * 19, "1" + "0" * 400, "17,5",
           "1.2.3", "00", "3000", "3001", "2000", "100000", ".5", "5.", "−3", "1 1/0", "12:30", "25:99", "٣")


@lru_cache(maxsize=1)
def words() -> tuple[str, ...]:
    """Every fixed word of the language, its units, zones and facts."""
    grammar = (shipped_folder("grammar") / "plaitbook.lark").read_text("utf-8")
    fixed = re.findall(r'"([^"\s]+)"', grammar)
    facts = [word for words in vocabulary.FACTS.values() for word in words]
    return tuple(sorted({*fixed, *facts, *vocabulary.RECIPE_BLOCKS, *vocabulary.RECIPE_STATEMENTS, *vocabulary.RULE_STATEMENTS,
                         *vocabulary.DECLARATIONS, "nape", "back", "crown", "sides", "temples", "top", "hairline", "edges",
                         "in", "cm", "mm", "g", "h", "min", "years", "packs", "pencil", "usd", "base", "curls", "size"}))


@lru_cache(maxsize=1)
def corpus() -> tuple[str, ...]:
    """The shipped files, and the language's example lines as files."""
    shipped = [shipped_text(name) for name in (*shipped_looks(), *BOOK_FILES)]
    examples = "\n".join(vocabulary.EXAMPLES.values())
    return (*shipped, SMALL, 'recipe "X"\n' + examples, examples)


@lru_cache(maxsize=1)
def lines() -> tuple[str, ...]:
    """Every line of the corpus."""
    return tuple(line for text in corpus() for line in text.split("\n"))


def window(text: str, random: Random) -> str:
    """Mostly a line or two of the text under a declaration's first line, now and then many, seldom all."""
    rows, dice = text.split("\n"), random.random()
    if dice < 0.01:
        return text
    heads = [at for at, row in enumerate(rows) if row.startswith(("recipe ", "wearer ", 'house "', 'hair "', "ornament ", "rule "))]
    first = random.choice(heads or [0])
    body = rows[first + 1 : first + 40]
    if dice < 0.08:
        return "\n".join([rows[first], *body[: random.randint(3, 16)]])
    at = random.randrange(max(1, len(body)))
    return "\n".join([rows[first], *body[at : at + random.randint(1, 2)]])


def mutated(text: str, random: Random, edits: int) -> str:
    """The text after some edits of characters, words, numbers and lines."""
    for _ in range(edits):
        text = random.choice(_EDITS)(text, random)
        if len(text) > 40_000:
            text = text[:20_000]
    return text


def _insert_odd(text: str, random: Random) -> str:
    at = random.randint(0, len(text))
    return text[:at] + random.choice(ODD) * random.choice((1, 1, 1, 2, 30)) + text[at:]


def _delete_some(text: str, random: Random) -> str:
    at = random.randint(0, len(text))
    return text[:at] + text[at + random.choice((1, 1, 2, 5, 40)) :]


def _replace_odd(text: str, random: Random) -> str:
    at = random.randint(0, len(text))
    return text[:at] + random.choice(ODD) + text[at + 1 :]


def _replace_word(text: str, random: Random) -> str:
    found = list(re.finditer(r"[^\W\d_]+", text))
    if not found:
        return text
    one = random.choice(found)
    return text[: one.start()] + random.choice(words()) + text[one.end() :]


def _insert_word(text: str, random: Random) -> str:
    at = random.randint(0, len(text))
    return f"{text[:at]} {random.choice(words())} {text[at:]}"


def replace_number(text: str, random: Random) -> str:
    """One number of the text made an unlikely one."""
    found = list(re.finditer(r"[\d½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞][\d./½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞]*", text))
    if not found:
        return text
    one = random.choice(found)
    new = random.choice(NUMBERS) if random.random() < 0.4 else str(random.choice((random.randint(1, 40), random.randint(1, 3000))))
    return text[: one.start()] + new + text[one.end() :]


def _delete_line(text: str, random: Random) -> str:
    rows = text.split("\n")
    del rows[random.randrange(len(rows))]
    return "\n".join(rows)


def _add_line(text: str, random: Random) -> str:
    rows = text.split("\n")
    rows.insert(random.randint(0, len(rows)), random.choice(lines()))
    return "\n".join(rows)


def _repeat_line(text: str, random: Random) -> str:
    rows = text.split("\n")
    at = random.randrange(len(rows))
    rows[at:at] = [rows[at]] * random.choice((1, 2, 50))
    return "\n".join(rows)


def _move_line(text: str, random: Random) -> str:
    rows = text.split("\n")
    row = rows.pop(random.randrange(len(rows)))
    rows.insert(random.randint(0, len(rows)), row)
    return "\n".join(rows)


def _join_lines(text: str, random: Random) -> str:
    breaks = [at for at, char in enumerate(text) if char == "\n"]
    if not breaks:
        return text
    at = random.choice(breaks)
    return text[:at] + random.choice(("", " ", ", ", "; ", ": ")) + text[at + 1 :]


def _nest(text: str, random: Random) -> str:
    depth = random.choice((1, 3, 12, 13, 200))
    inside = random.choice(("strand is fine", "age under 12 years", "added weight over 300 g", "not density is dense"))
    line = f"when {'(' * depth}{inside}{')' * random.choice((depth, depth - 1))}: width 5 mm"
    return f"{text}\n{line}"


def _chain(text: str, random: Random) -> str:
    count = random.choice((3, 20, 60))
    join = random.choice((" and ", " or ", ", ", "; "))
    return f"{text}\n{random.choice(lines())}{join}{join.join([random.choice(lines()) or 'x'] * count)[:1900]}"


def _splice(text: str, random: Random) -> str:
    other = random.choice(corpus())
    return text[: random.randint(0, len(text))] + other[random.randint(0, len(other)) :]


_EDITS = (_insert_odd, _insert_odd, _delete_some, _delete_some, _replace_odd, _replace_word, _replace_word, _insert_word,
          replace_number, replace_number, _delete_line, _add_line, _repeat_line, _move_line, _join_lines, _nest, _chain, _splice)


def nudged(text: str, random: Random, edits: int) -> str:
    """The text with some numbers, words and lines changed so that it often still compiles."""
    for _ in range(edits):
        text = random.choice((replace_number, replace_number, replace_number, _replace_word, _delete_line, _move_line, _add_line))(text, random)
    return text
