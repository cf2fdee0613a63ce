"""Text to tree: one statement at a time, every mistake in one run.

A mistake costs its own line and nothing else. Under a heading that isn't
known, the nearest known heading is tried, so that one slip in a heading does
not turn into a message for each line below it.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from functools import lru_cache

from . import vocabulary
from .grammar import Fault, read_statement
from .lines import LogicalLine, declaration_kind, logical_lines
from .problem import Problem
from .suggest import did_you_mean, likeness, nearest
from .tree import Declaration, Node, Segment, Statement, Tree, locate

_SKIP = "(skip)"


def parse(text: str, file: str) -> tuple[Tree, tuple[Problem, ...]]:
    """The tree of a file and all that is wrong with its form. Never raises for bad text."""
    lines, comments, problems = logical_lines(text, file)
    reader = _Reader(file, list(problems))
    for line in lines:
        reader.take(line)
    reader.close_declaration()
    tree = Tree(
        file, reader.edition, tuple(reader.uses), tuple(reader.declarations), tuple(comments)
    )
    return tree, tuple(sorted(reader.problems, key=lambda p: (p.span.line, p.span.column)))


@dataclass
class _Reader:
    """What is open while the lines go by."""

    file: str
    problems: list[Problem]
    edition: int | None = None
    uses: list[Statement] = field(default_factory=list)
    declarations: list[Declaration] = field(default_factory=list)
    head: Statement | None = None
    kind: str = ""
    statements: list[Statement] = field(default_factory=list)
    block: str | None = None

    def take(self, line: LogicalLine) -> None:
        kind = declaration_kind(line.text)
        if kind is not None:
            self.open_declaration(kind, line)
            return
        word = line.first_word()
        if word == "edition":
            self.take_edition(line)
        elif word == "use":
            statement = self.read(line, "use", "use_statement", len("use"))
            if statement:
                self.uses.append(statement)
        elif self.kind == "":
            self.problem_outside(line, word)
        elif self.kind == "recipe":
            self.take_in_recipe(line, word)
        elif self.kind == "rule":
            self.take_keyed(line, word, vocabulary.RULE_STATEMENTS)
        elif self.kind != _SKIP:
            self.take_fact(line)

    # --- declarations

    def open_declaration(self, kind: str, line: LogicalLine) -> None:
        self.close_declaration()
        head = self.read(line, kind, "declaration_statement", len(kind))
        if head is None:
            self.kind = _SKIP
            return
        self.kind, self.head = kind, head

    def close_declaration(self) -> None:
        if self.head is not None:
            name = self.head.node.parts[0].text[1:-1].strip()
            self.declarations.append(
                Declaration(self.kind, name, self.head, tuple(self.statements))
            )
        self.head, self.kind, self.statements, self.block = None, "", [], None

    def take_edition(self, line: LogicalLine) -> None:
        statement = self.read(line, "edition", "edition_statement", len("edition"))
        if statement is None:
            return
        if self.edition is not None or self.declarations or self.head:
            self.say(line, "E108", "the edition stands at the top of a file, once",
                     "move this line to the top and keep one of them")
            return
        written = statement.node.parts[0].parts[0].text
        if written not in {str(n) for n in vocabulary.EDITIONS}:
            self.say(line, "E109", f"edition {written} is not one this compiler knows",
                     f"write edition {vocabulary.EDITIONS[-1]}, or install a newer plaitbook")
            return
        self.edition = int(written)

    def problem_outside(self, line: LogicalLine, word: str) -> None:
        if word in vocabulary.DECLARATIONS:
            self.say_unnamed(line, word)
        elif nearest(word, vocabulary.DECLARATIONS):
            self.say_word(line, word, "E110", did_you_mean(word, vocabulary.DECLARATIONS))
            self.kind = _SKIP
        else:
            self.say(line, "E110", f"'{_clip(line.text)}' stands outside any declaration",
                     'begin with recipe "Name", hair "Name", wearer "Name" or house "Name"')
            self.kind = _SKIP

    def say_unnamed(self, line: LogicalLine, word: str) -> None:
        """A declaration whose name is missing, or stands without its quotes."""
        name = line.text[len(word) :].strip(" :\"") or "Saltmarsh"
        self.say(line, "E110", f"'{word}' has no name in quotes",
                 f'write the name in quotes: {word} "{_clip(name.capitalize())}"')
        self.close_declaration()
        self.kind = _SKIP

    # --- recipes

    def take_in_recipe(self, line: LogicalLine, word: str) -> None:
        after = line.text[len(word) :].lstrip()
        if word in vocabulary.RECIPE_BLOCKS and after.startswith(":"):
            self.open_block(line, word, after[1:].strip())
        elif word in vocabulary.RECIPE_STATEMENTS:
            self.block = None
            self.keep(self.read(
                line, word, vocabulary.RECIPE_STATEMENTS[word], _after_word(line.text, word)
            ))
        elif word in vocabulary.RECIPE_BLOCKS or (word and after == ":"):
            self.unknown_in_recipe(line, word, after)
        elif self.block == _SKIP:
            return
        elif self.block is not None:
            self.keep(self.read(line, self.block, vocabulary.RECIPE_BLOCKS[self.block], 0))
        elif word in vocabulary.SECTION_WORDS:
            self.keep(self.read(line, "sections", "sections_line", 0))
        else:
            self.unknown_in_recipe(line, word, after)

    def open_block(self, line: LogicalLine, word: str, rest: str) -> None:
        if not rest:
            self.block = word
            return
        self.block = None
        offset = len(line.text) - len(rest)
        self.keep(self.read(line, word, vocabulary.RECIPE_BLOCKS[word], offset))

    def unknown_in_recipe(self, line: LogicalLine, word: str, after: str) -> None:
        heads = (*vocabulary.RECIPE_BLOCKS, *vocabulary.RECIPE_STATEMENTS)
        if word in vocabulary.DECLARATIONS and word not in heads:
            self.say_unnamed(line, word)
            return
        if word in vocabulary.RECIPE_BLOCKS:
            self.say_word(line, word, "E111", f"put a colon after it: {word}:",
                          f"'{word}' opens a block but has no colon")
            self.block = word if not after else None
            return
        if word == "if":
            self.say_word(line, word, "E111", "write when: " + vocabulary.EXAMPLES["when_statement"])
            return
        close = nearest(word, (*heads, *vocabulary.SECTION_WORDS))
        self.say_word(line, word, "E111", did_you_mean(word, (*heads, *vocabulary.SECTION_WORDS)) if close else
                      "a line begins with one of " + ", ".join(heads))
        if after == ":":
            blocks = sorted(vocabulary.RECIPE_BLOCKS, key=lambda b: -likeness(word, b))
            self.block = blocks[0] if likeness(word, blocks[0]) >= 0.6 else _SKIP

    # --- flat declarations

    def take_keyed(self, line: LogicalLine, word: str, rules: dict[str, str]) -> None:
        if word in rules:
            self.keep(self.read(line, word, rules[word], _after_word(line.text, word)))
        else:
            self.say_word(line, word or _clip(line.text), "E112", did_you_mean(word, rules))

    def take_fact(self, line: LogicalLine) -> None:
        known = vocabulary.FACTS[self.kind]
        for key, pattern in _fact_words(self.kind):
            match = pattern.match(line.text)
            if match:
                start = _after_word(line.text, match.group())
                if not line.text[start:].strip():
                    node = Node("fact_value", start, start)
                    self.keep(Statement(key, node, line.text, self.file, line.segments))
                else:
                    rule = vocabulary.FACT_RULES.get(key, "fact_value")
                    self.keep(self.read(line, key, rule, start))
                return
        words = line.text.split()
        tried = [" ".join(words[:n]) for n in (3, 2, 1) if len(words) >= n]
        close = [k for t in tried for k in nearest(t.rstrip(":"), known)]
        word = words[0].rstrip(":")
        self.say_word(line, word, "E112",
                      did_you_mean(close[0], known) if close else did_you_mean(word, known),
                      f"a {self.kind} has no '{_clip(word)}'")

    # --- reading and saying

    def read(self, line: LogicalLine, word: str, rule: str, offset: int) -> Statement | None:
        """Read what follows ``offset`` with one start rule; a fault becomes a problem."""
        raw = line.text[offset:]
        body = raw.strip()
        start = offset + len(raw) - len(raw.lstrip())
        result = read_statement(rule, body)
        if isinstance(result, Fault):
            span = locate(self.file, line.segments, start + result.start, start + result.end)
            self.problems.append(Problem(result.code, result.message, result.help, span))
            return None
        segments = tuple(
            Segment(s.offset - start, s.line, s.column) for s in line.segments
        )
        return Statement(word, result, body, self.file, segments)

    def keep(self, statement: Statement | None) -> None:
        if statement is not None:
            self.statements.append(statement)

    def say(self, line: LogicalLine, code: str, message: str, help: str) -> None:
        span = locate(self.file, line.segments, 0, len(line.text))
        self.problems.append(Problem(code, message, help, span))

    def say_word(
        self, line: LogicalLine, word: str, code: str, help: str, message: str = ""
    ) -> None:
        span = locate(self.file, line.segments, 0, max(1, len(word)))
        message = message or f"'{_clip(word or line.text)}' is not a word a line begins with here"
        self.problems.append(Problem(code, message, help, span))


@lru_cache(maxsize=None)
def _fact_words(kind: str) -> tuple[tuple[str, re.Pattern[str]], ...]:
    """(fact, pattern of its leading words), longest first; however they are spaced or spelled."""
    facts = vocabulary.FACTS[kind]
    spelled = {**{fact: fact for fact in facts},
               **{other: fact for other, fact in vocabulary.OTHER_SPELLINGS.items() if fact in facts}}
    return tuple(
        (fact, re.compile(r"\s+".join(map(re.escape, words.split())) + r"(?=[\s:]|$)"))
        for words, fact in sorted(spelled.items(), key=lambda row: -len(row[0]))
    )


def _after_word(text: str, word: str) -> int:
    """Offset after a leading word and its colon, if it has one."""
    rest = text[len(word) :]
    colon = len(rest) - len(rest.lstrip())
    if rest.lstrip().startswith(":"):
        return len(word) + colon + 1
    return len(word)


def _clip(words: str) -> str:
    return words if len(words) <= 40 else f"{words[:37]}…"
