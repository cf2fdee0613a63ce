"""Mistakes and findings, told to the editor as soon as they are known.

Mistakes of a text come with every keystroke. What needs a plan (findings, the
remarks beside the lines) comes when the typing rests, and is made a bit at a
time, so that no keystroke waits for another's plan. Until then what was said
before stays with its line.
"""

from __future__ import annotations

import asyncio
from typing import Callable, Iterator

from lsprotocol import types as lsp
from pygls.lsp.server import LanguageServer

from ...syntax.problem import Problem
from ..editing.findings import findings
from .desk import Desk, Open
from .places import Units, lines_of
from .saying import finding_diagnostic, problem_diagnostic

SOON_S = 0.002
"""Between a keystroke and its mistakes: long enough to take keystrokes that came together as one."""
AT_REST_S = 0.25
"""Typing rests: our own estimate."""
SHOWN = ("stop", "warn")


class Publisher:
    """What was told of which file, and what is still to be told."""

    def __init__(self, server: LanguageServer, desk: Desk) -> None:
        self.server = server
        self.desk = desk
        self.waiting: dict[tuple[str, str], asyncio.TimerHandle] = {}
        self.planned: dict[str, tuple[list[str], list[lsp.Diagnostic]]] = {}
        """Open file -> its lines when it was last planned, and all that was told of it then."""
        self.told: dict[str, set[str]] = {}
        """Open file -> the URIs that were told something on its account."""

    @property
    def units(self) -> Units:
        return self.server.workspace.position_codec.client_num_units

    def changed(self, at: Open) -> None:
        """A text changed: tell what is wrong with it now, and with the texts beside it when typing rests."""
        self._later((at.uri, "mistakes"), SOON_S, lambda: self.mistakes(at.uri))
        for other in self.desk.of_book(at.session):
            if other.uri != at.uri:
                self._later((other.uri, "plans"), AT_REST_S, lambda uri=other.uri: self.plans(uri))  # type: ignore[misc]

    def everything(self) -> None:
        """Something outside the texts changed: tell all again."""
        for uri in self.desk.texts:
            self._later((uri, "plans"), SOON_S, lambda uri=uri: self.plans(uri))  # type: ignore[misc]

    def closed(self, uri: str) -> None:
        for key in [key for key in self.waiting if key[0] == uri]:
            self.waiting.pop(key).cancel()
        self.planned.pop(uri, None)
        for other in self.told.pop(uri, ()):
            self._publish(other, [])

    def mistakes(self, uri: str) -> None:
        """Tell the mistakes of one open text, and what its last plan said of lines that are still there."""
        at = self.desk.texts.get(uri)
        if at is None:
            return
        problems = at.session.all_problems(at.name, planned=False)
        found = self._own(at, problems)
        lines = lines_of(at.session.text(at.name))
        self._publish(uri, found if problems else carried(*self.planned.get(uri, ([], [])), lines), self._version(uri))
        self._tell_others(at, problems)
        self._later((uri, "plans"), AT_REST_S, lambda: self.plans(uri))

    def plans(self, uri: str) -> None:
        """Plan one open text's looks, a bit at a time, then tell all there is to tell of it."""
        at = self.desk.texts.get(uri)
        if at is not None:
            self._step(at, at.session.steps(at.name, self.desk.request_for(at)))

    def _step(self, at: Open, steps: Iterator[None]) -> None:
        """Plan a bit, then let a keystroke or a question pass that came meanwhile."""
        if next(steps, self) is not self:
            self._later((at.uri, "plans"), 0.0, lambda: self._step(at, steps))
        elif at.uri in self.desk.texts:
            self._tell_all(at)

    def _tell_all(self, at: Open) -> None:
        problems = at.session.all_problems(at.name)
        found = self._own(at, problems)
        if not problems:
            found += [finding_diagnostic(self.desk, at.session, each, self.units)
                      for each in findings(at.session, at.name, self.desk.request_for(at))
                      if each.finding.severity in SHOWN]
        self.planned[at.uri] = (lines_of(at.session.text(at.name)), found)
        self._publish(at.uri, found, self._version(at.uri))
        self._tell_others(at, problems)
        self._refresh()

    def _own(self, at: Open, problems: tuple[Problem, ...]) -> list[lsp.Diagnostic]:
        return [problem_diagnostic(self.desk, at.session, problem, self.units)
                for problem in problems if problem.span.file == at.name]

    def _version(self, uri: str) -> int | None:
        return self.server.workspace.get_text_document(uri).version

    def _tell_others(self, at: Open, problems: tuple[Problem, ...]) -> None:
        """Mistakes in the files that are brought in and not open: no card can be made until they are put right."""
        by_uri: dict[str, list[lsp.Diagnostic]] = {}
        for problem in problems:
            other = self.desk.uri(at.session, problem.span.file)
            if problem.span.file != at.name and other not in self.desk.texts:
                by_uri.setdefault(other, []).append(problem_diagnostic(self.desk, at.session, problem, self.units))
        for other in self.told.get(at.uri, set()) - by_uri.keys() - {at.uri}:
            if other not in self.desk.texts:
                self._publish(other, [])
        for other, found in by_uri.items():
            self._publish(other, found)
        self.told[at.uri] = {at.uri, *by_uri}

    def _publish(self, uri: str, found: list[lsp.Diagnostic], version: int | None = None) -> None:
        self.server.text_document_publish_diagnostics(lsp.PublishDiagnosticsParams(uri, found, version))

    def _refresh(self) -> None:
        """Ask for the remarks beside the lines to be fetched again, where the editor can."""
        workspace = self.server.client_capabilities.workspace
        if workspace is not None and workspace.inlay_hint is not None and workspace.inlay_hint.refresh_support:
            self._later(("", "hints"), AT_REST_S, lambda: self.server.workspace_inlay_hint_refresh(None))

    def _later(self, key: tuple[str, str], seconds: float, what: Callable[[], object]) -> None:
        earlier = self.waiting.pop(key, None)
        if earlier is not None:
            earlier.cancel()

        def now() -> None:
            self.waiting.pop(key, None)
            what()

        self.waiting[key] = asyncio.get_running_loop().call_later(seconds, now)


def carried(before: list[str], found: list[lsp.Diagnostic], now: list[str]) -> list[lsp.Diagnostic]:
    """What was told of a text, moved to where its lines stand now; what was told of a line that changed is dropped."""
    places: dict[str, list[int]] = {}
    for number, line in enumerate(now):
        places.setdefault(line, []).append(number)
    kept = []
    for each in found:
        at = each.range.start.line
        moved = places.get(before[at]) if at < len(before) else None
        if moved:
            line = min(moved, key=lambda number: abs(number - at))
            kept.append(lsp.Diagnostic(
                lsp.Range(lsp.Position(line, each.range.start.character), lsp.Position(line, each.range.end.character)),
                each.message, each.severity, each.code, source=each.source, related_information=each.related_information))
    return kept
