"""``python -m plaitbook.desk.editor``: the language server, where the command ``plait`` isn't on the path."""

from __future__ import annotations

import argparse
import sys

from . import run

if __name__ == "__main__":
    sys.exit(run(argparse.Namespace()))
