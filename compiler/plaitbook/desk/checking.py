"""``plait check``: read files, settle and plan every look in them, say what is wrong.

The language and the models are imported only where a file must be compiled.
"""

from __future__ import annotations

import json
import sys
from types import SimpleNamespace

from .command import BAD_TEXT, GOOD, report_findings, report_problems, shown_path
from .job import Job, open_job
from .kept import Found, Recorder, keep, recall
from .messages import problem_data
from .shelf import CantRead


def check_files(files: list[str], as_json: bool) -> int:
    """Check each file; 0 when nothing is wrong in any. One JSON document for all with ``as_json``."""
    worst = GOOD
    data = []
    for name in files:
        try:
            job = open_job(name)
        except CantRead as error:
            print(f"plait: {error.message}\n  try: {error.help}", file=sys.stderr)
            data.append({"file": name, "problems": [{"code": "E901", "message": error.message, "help": error.help}],
                         "findings": []})
            worst = BAD_TEXT
            continue
        found = recall(job) or _try(job)
        data.append({"file": shown_path(job.shelf.root / job.name),
                     "problems": [problem_data(problem) for problem in found.problems], "findings": found.findings})
        stops = sum(finding["severity"] == "stop" for finding in found.findings)
        if found.problems or stops:
            worst = BAD_TEXT
        if as_json:
            continue
        if found.problems:
            report_problems(found.problems, job, as_json=False)
        else:
            print(f"{name}: {found.said}, {stops} stop{'s' if stops != 1 else ''}" if stops else f"{name}: good, {found.said}")
        report_findings(tuple(SimpleNamespace(**finding) for finding in found.findings), job)
    if as_json:
        print(json.dumps(data, ensure_ascii=False, indent=2))
    return worst


def _try(job: Job) -> Found:
    from .trying import try_file

    fetch = Recorder(job)
    found = try_file(job, fetch)
    keep(job, fetch.asked, found)
    return found
