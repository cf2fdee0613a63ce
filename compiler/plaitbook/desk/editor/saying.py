"""Our answers in the protocol's words."""

from __future__ import annotations

import difflib

from lsprotocol import types as lsp

from ...syntax.problem import Problem, Span
from ..editing.completing import Offer
from ..editing.edits import Edit
from ..editing.findings import Found
from ..editing.hints import Hint
from ..editing.outline import Fold, Symbol
from ..editing.session import Session
from .desk import Desk
from .places import Units, lines_of, lines_range, range_of

SOURCE = "plait"
_SEVERITY = {"stop": lsp.DiagnosticSeverity.Error, "warn": lsp.DiagnosticSeverity.Warning,
             "ask": lsp.DiagnosticSeverity.Information, "note": lsp.DiagnosticSeverity.Hint}
_ITEM = {
    "heading": lsp.CompletionItemKind.Module, "statement": lsp.CompletionItemKind.Keyword,
    "declaration": lsp.CompletionItemKind.Class, "word": lsp.CompletionItemKind.Keyword,
    "zone": lsp.CompletionItemKind.EnumMember, "unit": lsp.CompletionItemKind.Unit,
    "value": lsp.CompletionItemKind.EnumMember, "example": lsp.CompletionItemKind.Snippet,
    "fact": lsp.CompletionItemKind.Property, "figure": lsp.CompletionItemKind.Function,
    "choice": lsp.CompletionItemKind.Enum, "option": lsp.CompletionItemKind.EnumMember,
    "role": lsp.CompletionItemKind.Variable, "hair": lsp.CompletionItemKind.Reference,
    "ornament": lsp.CompletionItemKind.Reference, "colour": lsp.CompletionItemKind.Color,
    "file": lsp.CompletionItemKind.File, "look": lsp.CompletionItemKind.Class, "code": lsp.CompletionItemKind.Constant,
}
_SYMBOL = {
    "recipe": lsp.SymbolKind.Class, "hair": lsp.SymbolKind.Struct, "ornament": lsp.SymbolKind.Struct,
    "wearer": lsp.SymbolKind.Object, "house": lsp.SymbolKind.Object, "rule": lsp.SymbolKind.Event,
    "choices": lsp.SymbolKind.Enum, "when": lsp.SymbolKind.Event, "adapt": lsp.SymbolKind.Event,
    "expect": lsp.SymbolKind.Boolean,
}


def in_range(session: Session, span: Span, units: Units) -> lsp.Range:
    return range_of(span, lines_of(session.text(span.file)), units)


def location(desk: Desk, session: Session, span: Span, units: Units) -> lsp.Location:
    return lsp.Location(desk.uri(session, span.file), in_range(session, span, units))


def problem_diagnostic(desk: Desk, session: Session, problem: Problem, units: Units) -> lsp.Diagnostic:
    """A mistake: what is wrong, then what to write, and every other line that is party to it."""
    related = [lsp.DiagnosticRelatedInformation(location(desk, session, span, units), label)
               for label, span in problem.others]
    message = f"{problem.message}\ntry: {problem.help}" if problem.help else problem.message
    return lsp.Diagnostic(in_range(session, problem.span, units), message, lsp.DiagnosticSeverity.Error, problem.code,
                          source=SOURCE, related_information=related or None)


def finding_diagnostic(desk: Desk, session: Session, found: Found, units: Units) -> lsp.Diagnostic:
    """A finding: its sentence, why, and what to do; allowed ones are only noted."""
    finding = found.finding
    said = [finding.message, f"why: {finding.reason}"]
    if finding.allowed_because:
        said.append(f"allowed because: {finding.allowed_because}")
    elif finding.fix:
        said.append(f"try: {finding.fix}")
    severity = lsp.DiagnosticSeverity.Hint if finding.allowed_because else _SEVERITY[finding.severity]
    related = [] if found.elsewhere is None else [
        lsp.DiagnosticRelatedInformation(location(desk, session, found.elsewhere, units), "it speaks of this line")]
    return lsp.Diagnostic(in_range(session, found.span, units), "\n".join(said), severity, finding.code, source=SOURCE,
                          related_information=related or None)


def completion_item(offer: Offer, place: int, lines: list[str], units: Units) -> lsp.CompletionItem:
    return lsp.CompletionItem(
        offer.label, kind=_ITEM.get(offer.what, lsp.CompletionItemKind.Text), detail=offer.detail or offer.what,
        sort_text=f"{place:04}", filter_text=offer.label,
        text_edit=lsp.TextEdit(range_of(offer.span, lines, units), offer.insert))


def symbol(each: Symbol, lines: list[str], units: Units) -> lsp.DocumentSymbol:
    whole = lines_range(each.lines[0], each.lines[1], lines, units)
    name = range_of(each.span, lines, units)
    return lsp.DocumentSymbol(each.name or each.kind, _SYMBOL.get(each.kind, lsp.SymbolKind.Property), whole, name,
                              each.detail or each.kind, children=[symbol(child, lines, units) for child in each.children])


def fold(each: Fold) -> lsp.FoldingRange:
    kind = lsp.FoldingRangeKind.Comment if each.comment else lsp.FoldingRangeKind.Region
    return lsp.FoldingRange(each.first - 1, each.last - 1, kind=kind)


def hint(each: Hint, lines: list[str], units: Units) -> lsp.InlayHint:
    at = range_of(Span("", each.line, each.column, each.column), lines, units).start
    return lsp.InlayHint(at, each.text, tooltip=each.tip, padding_left=True)


def text_edit(edit: Edit, lines: list[str], units: Units) -> lsp.TextEdit:
    return lsp.TextEdit(range_of(edit.span, lines, units), edit.text)


def workspace_edit(desk: Desk, session: Session, edits: "tuple[Edit, ...]", units: Units) -> lsp.WorkspaceEdit:
    changes: dict[str, list[lsp.TextEdit]] = {}
    for edit in edits:
        lines = lines_of(session.text(edit.span.file))
        changes.setdefault(desk.uri(session, edit.span.file), []).append(text_edit(edit, lines, units))
    return lsp.WorkspaceEdit(changes)


def rewritten(before: str, after: str, units: Units) -> list[lsp.TextEdit]:
    """The edits that make one text of another, line by line: what didn't change is left alone."""
    old, new = lines_of(before), lines_of(after)
    end = lsp.Position(len(old) - 1, units(old[-1]))
    found = []
    for tag, a, b, c, d in difflib.SequenceMatcher(None, old, new, autojunk=False).get_opcodes():
        if tag == "equal":
            continue
        text = "\n".join(new[c:d])
        if b < len(old):
            span = lsp.Range(lsp.Position(a, 0), lsp.Position(b, 0))
            found.append(lsp.TextEdit(span, text + ("\n" if c < d else "")))
        elif a > 0:  # the last line has no end of its own: begin behind the line before
            behind = lsp.Position(a - 1, units(old[a - 1]))
            found.append(lsp.TextEdit(lsp.Range(behind, end), ("\n" if c < d else "") + text))
        else:
            found.append(lsp.TextEdit(lsp.Range(lsp.Position(0, 0), end), text))
    return found
