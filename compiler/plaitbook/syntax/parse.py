"""Text to tree: one statement at a time, every mistake in one run.

A mistake costs its own line and nothing else. Where a heading or a
declaration's first line is broken, the lines below it are read as what they
look like, so that one slip does not turn into a message for each of them;
what can't be read is noted as ``lost``, so that nobody misses it aloud.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from itertools import islice

from . import vocabulary
from .grammar import Fault, explained, read_statement
from .line_shapes import HEAD_LIKE, after_word, clip, fact_words, like_heading, of_sections
from .lines import LogicalLine, declaration_kind, logical_lines
from .normalise import plain_line
from .problem import Problem, Span
from .quotes import quotes_mended
from .suggest import did_you_mean, likeness, nearest, spoken_list
from .tree import Declaration, Node, Segment, Statement, Tree, locate

_SKIP = "(skip)"
MANY_QUOTES = 6
"""So many lines with an open quote are looked at for where the other should be."""


def parse(text: str, file: str) -> tuple[Tree, tuple[Problem, ...]]:
    """The tree of a file and all that is wrong with its form. Never raises for bad text."""
    lines, comments, problems = logical_lines(text, file)
    reader = _Reader(file, list(problems))
    for line in lines:
        reader.take(line)
    reader.close_declaration()
    tree = Tree(
        file, reader.edition, tuple(reader.uses), tuple(reader.declarations), tuple(comments),
        tuple(reader.lost_heads),
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
    heading_broken: bool = False
    """The line before looked like a heading and couldn't be read: the next line may open its block by itself."""
    opened: tuple[str, Span] | None = None
    """The heading just opened, until a line stands under it."""
    lost: list[str] = field(default_factory=list)
    empty: list[tuple[str, Span]] = field(default_factory=list)
    lost_heads: list[str] = field(default_factory=list)

    def take(self, line: LogicalLine) -> None:
        word = line.first_word()
        if line.broken:
            self.take_broken(line, word)
            return
        kind = declaration_kind(line.text)
        if kind is not None:
            self.open_declaration(kind, line)
        elif word == "edition":
            self.take_edition(line)
        elif word == "use":
            statement = self.read(line, "use", "use_statement", len("use"))
            if statement:
                self.uses.append(statement)
            else:
                self.lost_heads.append("use")
        elif self.kind == "":
            self.problem_outside(line, word)
        elif self.misspelt_head(line):
            return
        elif self.kind == "recipe":
            self.take_in_recipe(line, word)
        elif self.kind == "rule":
            self.take_keyed(line, word, vocabulary.RULE_STATEMENTS)
        elif self.kind != _SKIP:
            self.take_fact(line)

    def take_broken(self, line: LogicalLine, word: str) -> None:
        """A line that can't be read and has its message: only where it stands matters."""
        self.tell_quote(line)
        after = line.text[len(word) :].lstrip()
        kinds = vocabulary.DECLARATIONS
        if word == "use":
            self.lost_heads.append("use")
        elif word in kinds and not after.startswith(":") and (word not in self.leading_words() or after.startswith('"')):
            self.open_lost(word)
        elif self.kind == "":
            near = nearest(word, kinds, 1)
            self.open_lost(near[0] if near else _SKIP)
        elif self.kind == "recipe":
            heading = word in vocabulary.RECIPE_BLOCKS and after.startswith(":")
            known = heading or word in vocabulary.RECIPE_STATEMENTS
            self.note_lost(word if known else self.block or "?")
            if known:
                self.block = None
        else:
            self.note_lost(self.fact_of(line) or "?")

    def tell_quote(self, line: LogicalLine) -> None:
        """Say where a quote is missing or one too many, if the line can be read with one put there or taken out."""
        last = line.segments[-1]
        told = [at for at, problem in enumerate(self.problems) if problem.code == "E102"]
        here = [at for at in told if self.problems[at].span.line == last.line]
        if not here or len(told) > MANY_QUOTES or len(line.own) != len(line.text):
            return
        mended = next((each for each in quotes_mended(line.own[last.offset :]) if self.reads(line, each.text)), None)
        if mended is None:
            return
        end = last.offset + max(mended.end, mended.at + 1)
        name = clip(mended.name)
        if mended.how == "opened":
            message, help = f"there is no quote before '{name}'", f'put a " before {name.split()[0]}'
        elif mended.how == "closed":
            message, help = self.problems[here[0]].message, f'end the name with a second " on the same line, after {name.split()[-1]}'
        else:
            message, help = "a quote stands here that opens nothing", "take this quote out"
        self.problems[here[0]] = Problem("E102", message, help, locate(self.file, line.segments, last.offset + mended.at, end))

    def reads(self, line: LogicalLine, own: str) -> bool:
        """Whether the line can be read here with another text on its last physical line."""
        plain = plain_line(own)
        if plain.unclosed is not None or not plain.text:
            return False
        before = line.segments[-1].offset
        text = line.text[:before] + plain.text
        trial = _Reader(
            self.file, [], self.edition, list(self.uses), list(self.declarations), self.head, self.kind, list(self.statements),
            self.block, self.heading_broken, self.opened, list(self.lost), list(self.empty), list(self.lost_heads))
        trial.take(LogicalLine(text, line.segments, False, line.own[:before] + (plain.own or plain.text)))
        return not trial.problems

    # --- declarations

    def open_declaration(self, kind: str, line: LogicalLine) -> None:
        self.close_declaration()
        head = self.read(line, kind, "declaration_statement", len(kind))
        if head is None:
            self.open_lost(kind)
            return
        self.kind, self.head = kind, head

    def open_lost(self, kind: str) -> None:
        """Begin a declaration whose first line can't be read: its lines are read, but it is nobody's."""
        self.close_declaration()
        self.kind = kind
        self.lost_heads.append("?" if kind == _SKIP else kind)

    def close_declaration(self) -> None:
        self.close_block()
        if self.head is not None:
            name = self.head.node.parts[0].text[1:-1].strip()
            self.declarations.append(Declaration(
                self.kind, name, self.head, tuple(self.statements), tuple(self.lost), tuple(self.empty)))
        self.head, self.kind, self.statements, self.block = None, "", [], None
        self.lost, self.empty, self.heading_broken = [], [], False

    def misspelt_head(self, line: LogicalLine) -> bool:
        """Whether this is a declaration's first line with a slip in its word; if so, says so and begins it."""
        word = line.first_word()
        known = self.leading_words()
        if word in vocabulary.DECLARATIONS and word not in known and self.kind != _SKIP:
            self.say_unnamed(line, word)
            return True
        found = HEAD_LIKE.match(line.text)
        if found is None or word in known or nearest(word, known):
            return False
        near = nearest(word, vocabulary.DECLARATIONS, 1)
        if near:
            self.say_word(line, word, "E110", did_you_mean(word, vocabulary.DECLARATIONS))
            self.open_lost(near[0])
        return bool(near)

    def leading_words(self) -> tuple[str, ...]:
        """First words of the lines that may stand here."""
        if self.kind == "recipe":
            return (*vocabulary.RECIPE_BLOCKS, *vocabulary.RECIPE_STATEMENTS, *vocabulary.SECTION_WORDS)
        if self.kind == "rule":
            return tuple(vocabulary.RULE_STATEMENTS)
        return tuple(fact.split()[0] for fact in vocabulary.FACTS.get(self.kind, ()))

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
            return
        begins = ("edition", "use", *vocabulary.DECLARATIONS)
        near = nearest(word, begins, 1)
        if near:
            self.say_word(line, word, "E110", did_you_mean(word, begins))
            if near[0] in ("edition", "use"):
                self.lost_heads.append(near[0])
                return
        else:
            self.say(line, "E110", f"'{clip(line.text)}' stands outside any declaration",
                     'begin with recipe "Name", hair "Name", wearer "Name" or house "Name"')
        self.open_lost(near[0] if near else _SKIP)

    def say_unnamed(self, line: LogicalLine, word: str) -> None:
        """A declaration whose name is missing, or stands without its quotes."""
        own = line.own if len(line.own) == len(line.text) else line.text
        name = own[len(word) :].strip(" :\"") or "Saltmarsh"
        self.say(line, "E110", f"'{word}' has no name in quotes",
                 f'write the name in quotes: {word} "{clip(name)}"')
        self.open_lost(word)

    # --- recipes

    def take_in_recipe(self, line: LogicalLine, word: str) -> None:
        after = line.text[len(word) :].lstrip()
        if word in vocabulary.RECIPE_BLOCKS and after.startswith(":"):
            self.open_block(line, word, after[1:].strip())
        elif word in vocabulary.RECIPE_STATEMENTS:
            self.close_block()
            self.keep(self.read(
                line, word, vocabulary.RECIPE_STATEMENTS[word], after_word(line.text, word)
            ), word)
        elif word in vocabulary.RECIPE_BLOCKS or (word and after == ":"):
            self.unknown_in_recipe(line, word, after)
        elif self.block == _SKIP:
            self.note_lost("?")
        elif of_sections(word, after):
            self.block = "sections" if self.block is not None else None
            self.keep(self.read(line, "sections", "sections_line", 0), "sections")
        elif self.block is not None:
            self.take_in_block(line, self.block)
        elif self.adopted(line):
            return
        else:
            self.unknown_in_recipe(line, word, after)

    def open_block(self, line: LogicalLine, word: str, rest: str) -> None:
        self.close_block()
        if not rest:
            self.block = word
            self.opened = (word, locate(self.file, line.segments, 0, len(line.text)))
            return
        offset = len(line.text) - len(rest)
        self.keep(self.read(line, word, vocabulary.RECIPE_BLOCKS[word], offset), word)

    def close_block(self) -> None:
        if self.opened is not None:
            self.empty.append(self.opened)
        self.opened, self.block, self.heading_broken = None, None, False

    def take_in_block(self, line: LogicalLine, block: str) -> None:
        fault = isinstance(read_statement(vocabulary.RECIPE_BLOCKS[block], line.text), Fault)
        if fault and self.adopted(line):
            return
        word = line.first_word()
        if fault and line.text[len(word) :].lstrip().startswith(":") and nearest(word, vocabulary.RECIPE_BLOCKS):
            self.unknown_in_recipe(line, word, line.text[len(word) :].lstrip())
            return
        self.keep(self.read(line, block, vocabulary.RECIPE_BLOCKS[block], 0), block)
        if fault and like_heading(line.text, word):
            self.heading_broken = True
            self.lost.append("?")

    def adopted(self, line: LogicalLine) -> bool:
        """Whether this line, which can't be read here, is plainly of another block; it opens that block by itself."""
        fitting = [block for block, rule in vocabulary.RECIPE_BLOCKS.items()
                   if block not in (self.block, "adapt") and not isinstance(read_statement(rule, line.text), Fault)]
        if not fitting:
            return False
        if not self.heading_broken:
            headings = spoken_list(f"{block}:" for block in fitting)
            lone = tuple((f"nothing stands under this {word}:", span) for word, span in self.empty if word in fitting)
            self.problems.append(Problem(
                "E113", f"'{clip(line.text)}' stands under no {headings}", f"put {headings} on a line above it",
                locate(self.file, line.segments, 0, len(line.text)), lone))
        block = fitting[0]
        self.close_block()
        self.block = block
        self.keep(self.read(line, block, vocabulary.RECIPE_BLOCKS[block], 0) if len(fitting) == 1 else None, block)
        return True

    def unknown_in_recipe(self, line: LogicalLine, word: str, after: str) -> None:
        heads = (*vocabulary.RECIPE_BLOCKS, *vocabulary.RECIPE_STATEMENTS)
        self.close_block()
        self.heading_broken = like_heading(line.text, word)
        if word in vocabulary.RECIPE_BLOCKS:
            self.note_lost(word)
            self.say_word(line, word, "E111", f"put a colon after it: {word}:",
                          f"'{word}' opens a block but has no colon")
            self.block = word if not after else None
            return
        self.note_lost((nearest(word, heads, 1) or ["?"])[0])
        if word == "if":
            self.say_word(line, word, "E111", "write when: " + vocabulary.EXAMPLES["when_statement"])
            return
        close = nearest(word, (*heads, *vocabulary.SECTION_WORDS))
        self.say_word(line, word, "E111", did_you_mean(word, (*heads, *vocabulary.SECTION_WORDS)) if close else
                      "a line begins with one of " + ", ".join(heads))
        if after == ":":
            blocks = sorted(vocabulary.RECIPE_BLOCKS, key=lambda b: -likeness(word, b))
            self.block = blocks[0] if likeness(word, blocks[0]) >= 0.6 else None

    # --- flat declarations

    def take_keyed(self, line: LogicalLine, word: str, rules: dict[str, str]) -> None:
        if word in rules:
            self.keep(self.read(line, word, rules[word], after_word(line.text, word)), word)
        else:
            self.note_lost("?")
            self.say_word(line, word or clip(line.text), "E112", did_you_mean(word, rules))

    def take_fact(self, line: LogicalLine) -> None:
        known = vocabulary.FACTS[self.kind]
        for key, pattern in fact_words(self.kind):
            match = pattern.match(line.text)
            if match:
                if self.longer_fact(line, key):
                    return
                start = after_word(line.text, match.group())
                if not line.text[start:].strip():
                    node = Node("fact_value", start, start)
                    self.keep(Statement(key, node, line.text, self.file, line.segments, line.own), key)
                else:
                    rule = vocabulary.FACT_RULES.get(key, "fact_value")
                    self.keep(self.read(line, key, rule, start), key)
                return
        tried = [line.text[: words.end()].rstrip(":") for words in reversed(list(islice(re.finditer(r"\S+", line.text), 4)))]
        close = [(t, fact) for t in tried for fact in nearest(" ".join(t.split()), known)]
        word, fact = max(close, key=lambda pair: likeness(*pair)) if close else (tried[-1], "?")
        self.note_lost(fact)
        self.say_word(line, word, "E112", did_you_mean(" ".join(word.split()), known),
                      f"a {self.kind} has no '{clip(self.as_written(line, word))}'")

    def longer_fact(self, line: LogicalLine, key: str) -> bool:
        """Whether a line begins with a misspelt fact of several words, of which ``key`` is the first; says so."""
        for fact in (each for each in vocabulary.FACTS[self.kind] if each.startswith(f"{key} ")):
            words = re.match(r"\s+".join([r"\S+"] * len(fact.split())), line.text)
            if words is not None and words.group() != fact and likeness(" ".join(words.group().split()), fact) > 0.85:
                self.note_lost(fact)
                self.say_word(line, words.group(), "E112", f"did you mean {fact!r}?",
                              f"a {self.kind} has no '{clip(self.as_written(line, words.group()))}'")
                return True
        return False

    def fact_of(self, line: LogicalLine) -> str:
        """The fact a line begins with, or nothing."""
        if self.kind not in vocabulary.FACTS:
            return line.first_word() if line.first_word() in vocabulary.RULE_STATEMENTS else ""
        return next((key for key, pattern in fact_words(self.kind) if pattern.match(line.text)), "")

    # --- reading and saying

    def read(self, line: LogicalLine, word: str, rule: str, offset: int) -> Statement | None:
        """Read what follows ``offset`` with one start rule; a fault becomes a problem."""
        raw = line.text[offset:]
        body = raw.strip()
        start = offset + len(raw) - len(raw.lstrip())
        result = read_statement(rule, body)
        own = line.own[start : start + len(body)] if len(line.own) == len(line.text) else body
        if isinstance(result, Fault):
            result = explained(rule, body, own, vocabulary.example_for(rule, self.kind, *self.beginning(line, word, offset)))
            at = start + result.start
            mark = {",": "comma", ";": "semicolon"}.get(line.text[at : result.end + start])
            ends_line = any(segment.offset == at + 2 for segment in line.segments[1:])
            if mark and ends_line and not isinstance(read_statement(rule, body[: result.start].rstrip()), Fault):
                result = result._replace(help=f"take this {mark} out")  # it made one line of two
            span = locate(self.file, line.segments, at, start + result.end)
            self.problems.append(Problem(result.code, result.message, result.help, span))
            return None
        segments = tuple(
            Segment(s.offset - start, s.line, s.column) for s in line.segments
        )
        return Statement(word, result, body, self.file, segments, own if own != body else "")

    def beginning(self, line: LogicalLine, word: str, offset: int) -> tuple[str, bool]:
        """(the word a line begins with, whether that is a block's heading standing on the line itself)."""
        first = line.first_word()
        if word == "sections" and offset == 0:
            return first, False
        return word, word == first and line.text[:offset].rstrip().endswith(":") and word in vocabulary.RECIPE_BLOCKS

    def keep(self, statement: Statement | None, word: str) -> None:
        """Add a statement to what is open; where it couldn't be read, what it was about is lost."""
        self.opened = None
        if statement is not None:
            self.statements.append(statement)
            self.heading_broken = False
        else:
            self.lost.append(word)

    def note_lost(self, word: str) -> None:
        self.opened = None
        self.lost.append(word)

    def say(self, line: LogicalLine, code: str, message: str, help: str) -> None:
        span = locate(self.file, line.segments, 0, len(line.text))
        self.problems.append(Problem(code, message, help, span))

    def as_written(self, line: LogicalLine, words: str) -> str:
        """The words that a line begins with, with the author's capitals."""
        return line.own[: len(words)] if len(line.own) == len(line.text) else words

    def say_word(
        self, line: LogicalLine, word: str, code: str, help: str, message: str = ""
    ) -> None:
        span = locate(self.file, line.segments, 0, max(1, len(word)))
        message = message or f"'{clip(self.as_written(line, word or line.text))}' is not a word a line begins with here"
        self.problems.append(Problem(code, message, help, span))
