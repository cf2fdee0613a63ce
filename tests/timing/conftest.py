"""The hand-built scenes live with the rules' tests; both areas use them."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent / "rules"))
