"""What a line looks like before it is read: a heading, a fact, a declaration's first line."""

from __future__ import annotations

import re
from functools import lru_cache

from . import vocabulary

HEAD_LIKE = re.compile(r"([^\W\d_][\w'-]*)\s*\"[^\"]*\"(?:\s+(?:version|based)\b.*)?$")
"""A line that has the form of a declaration's first line."""


@lru_cache(maxsize=None)
def fact_words(kind: str) -> tuple[tuple[str, re.Pattern[str]], ...]:
    """(fact, pattern of its leading words), longest first; however they are spaced or spelled."""
    facts = vocabulary.FACTS[kind]
    spelled = {**{fact: fact for fact in facts},
               **{other: fact for other, fact in vocabulary.OTHER_SPELLINGS.items() if fact in facts}}
    return tuple(
        (fact, re.compile(r"\s+".join(map(re.escape, words.split())) + r"(?=[\s:]|$)"))
        for words, fact in sorted(spelled.items(), key=lambda row: -len(row[0]))
    )


def of_sections(word: str, after: str) -> bool:
    """Whether a line is one of ``sections:``, which are understood wherever they stand."""
    needed = {"leave": "out", "not": "mirrored"}.get(word, "")
    return word in vocabulary.SECTION_WORDS and not after.startswith(":") and after.startswith(needed)


def like_heading(text: str, word: str) -> bool:
    """Whether a line that can't be read may have been a heading: one or two words, or a colon at its end or before any word."""
    return text.endswith(":") or len(text.split()) <= 2 or not word


def after_word(text: str, word: str) -> int:
    """Offset after a leading word and its colon, if it has one."""
    rest = text[len(word) :]
    colon = len(rest) - len(rest.lstrip())
    if rest.lstrip().startswith(":"):
        return len(word) + colon + 1
    return len(word)


def clip(words: str) -> str:
    return words if len(words) <= 40 else f"{words[:37]}…"
