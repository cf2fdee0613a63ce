"""``plait completion SHELL``: a script that completes commands, options, choices and files.

Made by shtab from the command line's own parsers, so that it can't fall behind them.
"""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from importlib import import_module
from typing import Any

from .commands import COMMANDS, HELP

SHELLS = ("bash", "zsh", "fish", "powershell")
FILES = ("RECIPE", "FILE", "OUT", "W", "H", "PLAN", "CSV", "JSON", "PARCEL")
"""What a file may be named for, as the help calls it; anything else is not completed."""
FOLDERS = ("BOOK", "FOLDER")
_INSTALL = {
    "bash": "plait completion bash > ~/.local/share/bash-completion/completions/plait",
    "zsh": "plait completion zsh > a folder of your $fpath, as _plait",
    "fish": "plait completion fish > ~/.config/fish/completions/plait.fish",
    "powershell": "plait completion powershell >> $PROFILE",
}


def register(commands: Any) -> None:
    """Put the command on the command line."""
    completion = commands.add_parser(
        "completion", help=HELP["completion"], formatter_class=argparse.RawDescriptionHelpFormatter,
        epilog="where it goes:\n" + "\n".join(f"  {line}" for line in _INSTALL.values()))
    completion.add_argument("shell", choices=SHELLS)
    completion.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Print the script."""
    print(script(arguments.shell))
    return 0


def script(shell: str) -> str:
    """The completion script for one shell, with every command and option."""
    import shtab

    parser = whole_parser()
    for each in _all_parsers(parser):
        for action in each._actions:
            if action.metavar in FILES:
                action.complete = shtab.FILE  # type: ignore[attr-defined]
            elif action.metavar in FOLDERS:
                action.complete = shtab.DIRECTORY  # type: ignore[attr-defined]
    return str(shtab.complete(parser, shell)).rstrip()


def whole_parser() -> argparse.ArgumentParser:
    """The command line with the arguments of all commands: slow to make, so only made here."""
    parser = argparse.ArgumentParser(prog="plait")
    commands = parser.add_subparsers(dest="command")
    for name, module, _ in COMMANDS:
        if name not in commands.choices:  # one module may run several commands
            import_module(f".{module}", __package__).register(commands)
    return parser


def _all_parsers(parser: argparse.ArgumentParser) -> Iterator[argparse.ArgumentParser]:
    yield parser
    for action in parser._actions:
        if isinstance(action, argparse._SubParsersAction):
            for each in action.choices.values():
                yield from _all_parsers(each)
