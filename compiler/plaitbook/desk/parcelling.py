"""``plait parcel LOOK``: one text of a look and all it needs, to be given away."""

from __future__ import annotations

import argparse
import sys
from typing import Any

from .command import BAD_TEXT, _deliver, _slug, cant_read, report_problems
from .commands import HELP
from .shelf import CantRead


def register(commands: Any) -> None:
    """Put the command on the command line."""
    parser = commands.add_parser("parcel", help=HELP["parcel"],
        epilog="a parcel is plain text: it can be sent as a file or pasted into a message; plait unpack takes both")
    parser.add_argument("look", metavar="LOOK", help="a .plait file, or FILE#Look name")
    parser.add_argument("-o", "--out", metavar="FILE", help="default: the look's name with .parcel; - for standard output")
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Pack one look."""
    from .book.opened import open_looks
    from .book.packing import pack
    from .book.parcel import Refused

    try:
        opened = open_looks(arguments.look)
        if opened.problems:
            report_problems(opened.problems, opened.job, as_json=False)
            return BAD_TEXT
        if len(opened.looks) != 1:
            names = [look.name for look in opened.looks]
            raise CantRead(f"'{opened.job.name}' holds {len(names) or 'no'} looks",
                           f"say which: {arguments.look}#{names[0]}" if names else "name a file with a look")
        look = opened.looks[0]
        text = pack(opened, look)
    except CantRead as error:
        return cant_read(error, as_json=False)
    except Refused as refused:
        print(f"plait: nothing was packed: {refused.message}\n  try: {refused.help}", file=sys.stderr)
        return BAD_TEXT
    return _deliver(text.encode(), arguments.out or f"{_slug(look.name)}.parcel")
