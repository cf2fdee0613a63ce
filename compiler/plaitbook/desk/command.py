"""The command line: ``plait``.

Exit codes: 0 good; 1 errors in the text, or findings of severity stop; 2 wrong use.
Heavy things (the PDF engine, the templates) are imported by the command that needs them.
"""

from __future__ import annotations

import argparse
import gc
import json
import os
import re
import sys
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

from .commands import COMMANDS, HELP

if TYPE_CHECKING:
    from ..compile import Compiled
    from ..plan.model import Finding
    from ..syntax.problem import Problem
    from .service import Job

GOOD, BAD_TEXT, WRONG_USE = 0, 1, 2


class _Parser(argparse.ArgumentParser):
    """argparse with a guess at what was meant."""

    def error(self, message: str) -> NoReturn:
        choice = re.search(r"invalid choice: '([^']*)' \(choose from (.*)\)", message)
        if choice:
            from ..syntax.suggest import did_you_mean

            allowed = [word.strip("' ") for word in choice.group(2).split(",")]
            message = f"'{choice.group(1)}' is not one of the words here; {did_you_mean(choice.group(1), allowed)}"
        self.print_usage(sys.stderr)
        self.exit(WRONG_USE, f"{self.prog}: {message}\n  try: {self.prog} --help\n")

    def parse_args(self, args=None, namespace=None):  # type: ignore[no-untyped-def, override]
        """As argparse; what is left over is told by the command it was given to, and not by all of them."""
        found, left = self.parse_known_args(args, namespace)
        if left:
            command = next((action.choices[found.command] for action in self._actions if isinstance(action, argparse._SubParsersAction)), self)
            command._refuse(left[0])
        return found

    def _refuse(self, word: str) -> NoReturn:
        from ..syntax.suggest import did_you_mean

        hint = did_you_mean(word.partition("=")[0], [option for action in self._actions for option in action.option_strings]) if word.startswith("-") else ""
        self.error(f"'{word}' means nothing here" + (f"; {hint}" if hint.startswith("did") else ""))


def main(argv: list[str] | None = None) -> int:
    """Run one command; returns the exit code."""
    for stream in (sys.stdout, sys.stderr):
        if stream is not None and hasattr(stream, "reconfigure"):
            stream.reconfigure(encoding="utf-8", errors="replace")
    gc.set_threshold(100_000, 50, 50)  # a command makes much and drops little: collecting costs a tenth of it
    argv = sys.argv[1:] if argv is None else argv
    if any("json" in word for word in argv):
        from .as_data import asked_for_json, with_data

        if asked_for_json(argv):
            return with_data(lambda: _run(argv))
    return _run(argv)


def _run(argv: list[str]) -> int:
    arguments = _parser(argv).parse_args(argv)
    try:
        code = int(arguments.run(arguments))
        if sys.stdout is not None:
            sys.stdout.flush()
        return code
    except BrokenPipeError:
        _hush()
        return GOOD
    except OSError as error:
        # What a command can say about its own files it has said; this is the machine's own trouble.
        print(f"plait: {error.strerror or error}{f' ({error.filename})' if error.filename else ''}\n"
              "  try: a shorter name, another folder, or more room on the disk", file=sys.stderr)
        _hush()
        return BAD_TEXT
    except KeyboardInterrupt:
        print("stopped", file=sys.stderr)
        return 130


def _hush() -> None:
    """Let the last flush at exit go nowhere: standard output is closed or full."""
    try:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    except (OSError, ValueError, AttributeError):
        pass


def _parser(argv: list[str]) -> argparse.ArgumentParser:
    """The parser, with the arguments of the command in ``argv`` and the names of all others."""
    parser = _Parser(
        prog="plait", description="Compile braiding recipes into prep cards.",
        epilog="examples:\n  plait new mybook\n  plait card mybook/looks/saltmarsh.plait --wearer Ilse\n"
               "  plait check mybook/looks/*.plait",
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    commands = parser.add_subparsers(dest="command", required=True, metavar="COMMAND", parser_class=_Parser)
    wanted = next((module for name, module, _ in COMMANDS if name in argv[:1]), None)
    for name, module, help in COMMANDS:
        if module != wanted:
            commands.add_parser(name, help=help)
        elif name not in commands.choices:  # one module may run several commands
            register_in = register if module == "command" else import_module(f".{module}", __package__).register
            register_in(commands)
    return parser


def register(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the commands that this module runs."""
    card = commands.add_parser("card", help=HELP["card"])
    recipe_arguments(card)
    card.add_argument("--format", choices=("pdf", "html", "text", "json"),
                      help="default: from OUT's ending, else pdf")
    card.add_argument("--paper", choices=("letter", "a4", "half"), help="default: the house's paper")
    language_argument(card)
    card.add_argument("-o", "--out", metavar="OUT", help="the file to write; - for standard output")
    card.set_defaults(run=_card)

    plan = commands.add_parser("plan", help=HELP["plan"])
    recipe_arguments(plan)
    plan.add_argument("--format", choices=("json",), default="json")
    plan.add_argument("-o", "--out", metavar="OUT", help="the file to write")
    plan.set_defaults(run=_plan)

    check = commands.add_parser("check", help=HELP["check"])
    check.add_argument("files", nargs="+", metavar="FILE")
    check.add_argument("--format", choices=("text", "json"), default="text")
    check.add_argument("--sealed", action="store_true",
                       help="hold looks, and cards made of them, to the book's seals; see plait seal")
    check.set_defaults(run=_check)

    new = commands.add_parser("new", help=HELP["new"])
    new.add_argument("book", metavar="BOOK")
    new.set_defaults(run=_new)

    schema = commands.add_parser("schema", help=HELP["schema"])
    schema.set_defaults(run=_schema)


def recipe_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("recipe", metavar="RECIPE", help="a .plait file, or FILE#Look name")
    parser.add_argument("--wearer", metavar="W", help="a name in the book, or a .plait file")
    parser.add_argument("--house", metavar="H", help="a name in the book, or a .plait file")
    parser.add_argument("--choose", metavar="CHOICE=OPTION", action="append", default=[],
                        help="pick an option, such as size=small")
    parser.add_argument("--instead", metavar="HAIR=HAIR", action="append", default=[],
                        help="a hair that is out, and what stands in for it")


def language_argument(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--language", choices=("en", "fr", "es", "pt"), help="default: the house's language")


# --- commands -----------------------------------------------------------------


def _card(arguments: argparse.Namespace) -> int:
    form = arguments.format or _format_of(arguments.out)
    done = compiled_job(arguments, as_json=form == "json")
    if isinstance(done, int):
        return done
    job, compiled = done
    assert compiled.plan is not None
    from .service import document
    from .shelf import CantRead

    try:
        data = document(compiled, form, arguments.paper, job.shelf, arguments.language)
    except CantRead as error:
        return cant_read(error, as_json=form == "json")
    out = arguments.out
    if out is None and form in ("pdf", "html"):
        out = f"{_slug(compiled.plan.head.recipe)}-{_slug(compiled.plan.head.wearer)}.{form}"
    code = _deliver(data, out)
    return code or _stops(compiled, job)


def _plan(arguments: argparse.Namespace) -> int:
    done = compiled_job(arguments, as_json=True)
    if isinstance(done, int):
        return done
    from .service import document

    return _deliver(document(done[1], "json", None, done[0].shelf), arguments.out) or _stops(done[1], done[0])


def _check(arguments: argparse.Namespace) -> int:
    if arguments.sealed:
        from .book.verifying import check_sealed

        return check_sealed(arguments.files, arguments.format == "json")
    from .checking import check_files

    return check_files(arguments.files, arguments.format == "json")


def _new(arguments: argparse.Namespace) -> int:
    from .starter import start_book

    return start_book(Path(arguments.book))


def _schema(arguments: argparse.Namespace) -> int:
    from ..plan.schema import plan_schema

    print(json.dumps(plan_schema(), indent=2, ensure_ascii=False))
    return GOOD


# --- shared steps -------------------------------------------------------------


def compiled_job(arguments: argparse.Namespace, as_json: bool) -> "tuple[Job, Compiled] | int":
    """The compiled job, or the exit code after saying what is wrong."""
    from .service import compile_job, hinted, open_job
    from .shelf import CantRead

    picks = _pairs(arguments.choose, "a choice", "--choose size=small")
    swaps = _pairs(arguments.instead, "a hair and its stand-in", '--instead "Dune=Kelp"')
    if picks is None or swaps is None:
        return WRONG_USE
    picks = {name.lower(): option.lower() for name, option in picks.items()}
    try:
        job = open_job(arguments.recipe)
        done = compile_job(job, arguments.wearer, arguments.house, picks, swaps)
    except CantRead as error:
        return cant_read(error, as_json)
    if done.problems:
        report_problems(hinted(done.problems, job), job, as_json)
        return BAD_TEXT
    return job, done


def _pairs(written: list[str], what: str, example: str) -> dict[str, str] | None:
    """``name=value`` arguments as a dictionary; None after saying which one is wrong."""
    pairs = {}
    for each in written:
        name, sign, value = each.partition("=")
        several = re.split(r"[,;]\s*(?=[^=,;]+=)", each)
        if len(several) > 1 and what == "a choice":
            print(f"plait: '{each}' is {len(several)} choices in one\n  try: write --choose before each: "
                  f"{' '.join(_argument('--choose', one.strip()) for one in several)}", file=sys.stderr)
            return None
        if not sign or not name.strip() or not value.strip():
            print(f"plait: '{each}' is not {what}\n  try: {example}", file=sys.stderr)
            return None
        pairs[name.strip()] = value.strip()
    return pairs


def _argument(option: str, value: str) -> str:
    return f'{option} "{value}"' if " " in value else f"{option} {value}"


def cant_read(error: "Exception", as_json: bool) -> int:
    message, help_text = error.message, error.help  # type: ignore[attr-defined]
    if as_json:
        print(json.dumps({"problems": [{"code": "E901", "message": message, "help": help_text}]}, ensure_ascii=False))
    print(f"plait: {message}\n  try: {help_text}", file=sys.stderr)
    return BAD_TEXT


def report_problems(problems: "tuple[Problem, ...]", job: "Job", as_json: bool) -> None:
    """All problems to standard error; as data on standard output too where JSON was asked for."""
    if as_json:
        from .messages import problem_data

        print(json.dumps({"problems": [problem_data(p) for p in problems]}, ensure_ascii=False, indent=2))
    tell_problems(problems, job.shelf.root)


def tell_problems(problems: "tuple[Problem, ...]", root: Path) -> None:
    """All problems of a book's folder to standard error, and how many there are."""
    from .messages import Lines, problem_text

    lines = Lines(root)
    for problem in problems:
        print(problem_text(problem, lines, lambda name: shown_path(root / name)), file=sys.stderr)
    count = len(problems)
    print(f"\n{count} mistake{'s' if count != 1 else ''}; nothing was written.", file=sys.stderr)


def shown_path(path: Path) -> str:
    """A path as a person would write it from here."""
    try:
        return os.path.relpath(path)
    except ValueError:
        return str(path)


def _deliver(data: bytes, out: str | None) -> int:
    if out is None or out == "-":
        if sys.stdout is None:
            raise OSError(9, "standard output is closed")
        sys.stdout.buffer.write(data)
        sys.stdout.flush()
        return GOOD
    from .shelf import write_whole

    path = Path(out)
    if path.suffix.lower() == ".plait" and path.is_file():
        print(f"plait: '{out}' is a recipe, and would be lost\n  try: another name: -o {path.stem}.pdf", file=sys.stderr)
        return WRONG_USE
    try:
        write_whole(path, data)
    except OSError as error:
        print(f"plait: '{out}' can't be written: {error.strerror or error}\n"
              f"  try: name a folder that exists and may be written: -o card.pdf", file=sys.stderr)
        return BAD_TEXT
    print(f"wrote {shown_path(path)}", file=sys.stderr)
    return GOOD


def _stops(compiled: "Compiled", job: "Job") -> int:
    """Stops and warnings to standard error; the exit code."""
    assert compiled.plan is not None
    report_findings(compiled.plan.findings, job)
    return BAD_TEXT if any(finding.severity == "stop" for finding in compiled.plan.findings) else GOOD


def report_findings(findings: "tuple[Finding, ...]", job: "Job") -> None:
    """What stops the work or should make one think, to standard error, each with its line."""
    from .messages import Lines, finding_text

    lines = Lines(job.shelf.root)
    for finding in findings:
        if finding.severity in ("stop", "warn"):
            print(finding_text(finding, lines, lambda name: shown_path(job.shelf.root / name)), file=sys.stderr)


def _format_of(out: str | None) -> str:
    ending = Path(out).suffix.lower() if out else ""
    return {".html": "html", ".htm": "html", ".txt": "text", ".json": "json"}.get(ending, "pdf")


def _slug(name: str) -> str:
    return re.sub(r"[^\w]+", "-", name.lower()).strip("-")[:60] or "card"
