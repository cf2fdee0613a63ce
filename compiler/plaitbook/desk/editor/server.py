"""The language server: each question of the protocol, passed to the session and its answer passed back."""

from __future__ import annotations

import gc
import logging
from pathlib import Path
from typing import Any

from lsprotocol import types as lsp
from pygls.exceptions import JsonRpcException
from pygls.lsp.server import LanguageServer

from ...compile import VERSION
from ...syntax import vocabulary
from ...syntax.expected import expected_after
from ..editing.completing import complete
from ..editing.finding import definition, references
from ..editing.fixes import fixes
from ..editing.hints import hints
from ..editing.hovering import hover
from ..editing.outline import folding, symbols, tidied
from ..editing.renaming import renamable, rename
from . import saying
from .desk import SETTINGS, Desk, Open
from .places import column_from, lines_of, path_of
from .publishing import Publisher

REQUEST_FAILED = -32803
"""The protocol's code for a request that was understood and can't be met."""
TRIGGERS = ['"', " ", ":", ","]


class PlaitServer(LanguageServer):
    """pygls's server with what is open in it."""

    def __init__(self) -> None:
        # Whole texts: a recipe is small, and a text pasted from a word processor may hold signs that
        # count as ends of lines for some and not for others.
        super().__init__("plaitbook", VERSION, text_document_sync_kind=lsp.TextDocumentSyncKind.Full)
        self.desk = Desk()
        self.publisher = Publisher(self, self.desk)

    def place(self, uri: str, position: lsp.Position) -> tuple[Open, int, int]:
        """(what is open, our line, our column)."""
        at = self.desk.at(uri)
        lines = lines_of(at.session.text(at.name))
        line = min(position.line, len(lines) - 1)
        return at, line + 1, column_from(lines[line], position.character, self.publisher.units)


def make_server() -> PlaitServer:
    """A server with every feature, ready to be started."""
    logging.getLogger("pygls").setLevel(logging.ERROR)  # a client that goes away is no news
    server = PlaitServer()
    _lifecycle(server)
    _texts(server)
    _questions(server)
    _navigation(server)
    return server


def _lifecycle(server: PlaitServer) -> None:
    @server.feature(lsp.INITIALIZE)
    def initialize(ls: PlaitServer, params: lsp.InitializeParams) -> None:
        folders = params.workspace_folders or []
        root = path_of(folders[0].uri if folders else params.root_uri or "")
        ls.desk.folder = root if root is not None else Path.cwd()
        ls.desk.settle(params.initialization_options)

    @server.feature(lsp.INITIALIZED)
    async def initialized(ls: PlaitServer, params: lsp.InitializedParams) -> None:
        _warm_up()
        await _ask_settings(ls)

    @server.feature(lsp.WORKSPACE_DID_CHANGE_CONFIGURATION)
    async def configured(ls: PlaitServer, params: lsp.DidChangeConfigurationParams) -> None:
        sent = params.settings if isinstance(params.settings, dict) else {}
        if isinstance(sent.get(SETTINGS), dict):
            if ls.desk.settle(sent[SETTINGS]):
                ls.publisher.everything()
        else:
            await _ask_settings(ls)

    @server.feature(lsp.WORKSPACE_DID_CHANGE_WATCHED_FILES)
    def files_changed(ls: PlaitServer, params: lsp.DidChangeWatchedFilesParams) -> None:
        ls.publisher.everything()

    @server.feature("plaitbook/people")
    def people(ls: PlaitServer, params: Any) -> dict[str, list[str]]:
        """Names that the settings ``wearer`` and ``house`` may hold, for the file with this ``uri``."""
        at = ls.desk.at(str(getattr(params, "uri", "") or ""))
        wearers, houses = at.session.people(at.name)
        return {"wearers": list(wearers), "houses": list(houses)}


async def _ask_settings(ls: PlaitServer) -> None:
    workspace = ls.client_capabilities.workspace
    if workspace is None or not workspace.configuration:
        return
    try:
        answers = await ls.workspace_configuration_async(
            lsp.ConfigurationParams([lsp.ConfigurationItem(section=SETTINGS)]))
    except JsonRpcException:
        return
    if answers and isinstance(answers[0], dict) and ls.desk.settle(answers[0]):
        ls.publisher.everything()


def _warm_up() -> None:
    """Load the grammar and ask every start rule once, so that the first keystroke doesn't pay for it."""
    for rule, example in vocabulary.EXAMPLES.items():
        expected_after(rule, "")
        expected_after(rule, example.split(" ", 1)[-1])
    gc.collect()
    gc.set_threshold(100_000, 50, 50)  # as on the command line: much is made and little dropped
    gc.freeze()  # what is loaded stays: looking through it again at every collection would cost a keystroke


def _texts(server: PlaitServer) -> None:
    @server.feature(lsp.TEXT_DOCUMENT_DID_OPEN)
    def opened(ls: PlaitServer, params: lsp.DidOpenTextDocumentParams) -> None:
        ls.publisher.changed(ls.desk.open(params.text_document.uri, params.text_document.text))

    @server.feature(lsp.TEXT_DOCUMENT_DID_CHANGE)
    def changed(ls: PlaitServer, params: lsp.DidChangeTextDocumentParams) -> None:
        text = ls.workspace.get_text_document(params.text_document.uri).source
        ls.publisher.changed(ls.desk.open(params.text_document.uri, text))

    @server.feature(lsp.TEXT_DOCUMENT_DID_SAVE)
    def saved(ls: PlaitServer, params: lsp.DidSaveTextDocumentParams) -> None:
        ls.publisher.everything()

    @server.feature(lsp.TEXT_DOCUMENT_DID_CLOSE)
    def closed(ls: PlaitServer, params: lsp.DidCloseTextDocumentParams) -> None:
        ls.desk.close(params.text_document.uri)
        ls.publisher.closed(params.text_document.uri)


def _questions(server: PlaitServer) -> None:
    @server.feature(lsp.TEXT_DOCUMENT_COMPLETION, lsp.CompletionOptions(trigger_characters=TRIGGERS))
    def completion(ls: PlaitServer, params: lsp.CompletionParams) -> list[lsp.CompletionItem]:
        at, line, column = ls.place(params.text_document.uri, params.position)
        offers = complete(at.session, at.name, line, column, ls.desk.request_for(at))
        lines = lines_of(at.session.text(at.name))
        return [saying.completion_item(offer, place, lines, ls.publisher.units) for place, offer in enumerate(offers)]

    @server.feature(lsp.TEXT_DOCUMENT_HOVER)
    def hovered(ls: PlaitServer, params: lsp.HoverParams) -> lsp.Hover | None:
        at, line, column = ls.place(params.text_document.uri, params.position)
        found = hover(at.session, at.name, line, column, ls.desk.request_for(at))
        if found is None:
            return None
        return lsp.Hover(lsp.MarkupContent(lsp.MarkupKind.Markdown, found.text),
                         saying.in_range(at.session, found.span, ls.publisher.units))

    @server.feature(lsp.TEXT_DOCUMENT_INLAY_HINT)
    def inlay(ls: PlaitServer, params: lsp.InlayHintParams) -> list[lsp.InlayHint]:
        at = ls.desk.at(params.text_document.uri)
        lines = lines_of(at.session.text(at.name))
        wanted = range(params.range.start.line + 1, params.range.end.line + 2)
        return [saying.hint(each, lines, ls.publisher.units)
                for each in hints(at.session, at.name, ls.desk.request_for(at)) if each.line in wanted]

    @server.feature(lsp.TEXT_DOCUMENT_CODE_ACTION, lsp.CodeActionOptions([lsp.CodeActionKind.QuickFix]))
    def actions(ls: PlaitServer, params: lsp.CodeActionParams) -> list[lsp.CodeAction]:
        at = ls.desk.at(params.text_document.uri)
        text, units = at.session.text(at.name), ls.publisher.units
        found = []
        for problem in at.session.problems(at.name):
            here = saying.in_range(at.session, problem.span, units)
            if here.start.line > params.range.end.line or here.end.line < params.range.start.line:
                continue
            diagnostic = saying.problem_diagnostic(ls.desk, at.session, problem, units)
            offered = fixes(problem, text)
            for fix in offered:
                found.append(lsp.CodeAction(
                    fix.title, lsp.CodeActionKind.QuickFix, diagnostics=[diagnostic], is_preferred=len(offered) == 1,
                    edit=saying.workspace_edit(ls.desk, at.session, fix.edits, units)))
        return found

    @server.feature(lsp.TEXT_DOCUMENT_FORMATTING)
    def formatting(ls: PlaitServer, params: lsp.DocumentFormattingParams) -> list[lsp.TextEdit]:
        at = ls.desk.at(params.text_document.uri)
        text = at.session.text(at.name)
        after = tidied(text)
        return [] if after is None else saying.rewritten(text, after, ls.publisher.units)


def _navigation(server: PlaitServer) -> None:
    @server.feature(lsp.TEXT_DOCUMENT_DEFINITION)
    def defined(ls: PlaitServer, params: lsp.DefinitionParams) -> list[lsp.Location]:
        at, line, column = ls.place(params.text_document.uri, params.position)
        return [saying.location(ls.desk, at.session, span, ls.publisher.units)
                for span in definition(at.session, at.name, line, column)]

    @server.feature(lsp.TEXT_DOCUMENT_REFERENCES)
    def referred(ls: PlaitServer, params: lsp.ReferenceParams) -> list[lsp.Location]:
        at, line, column = ls.place(params.text_document.uri, params.position)
        found = references(at.session, at.name, line, column)
        if not params.context.include_declaration:
            declared = definition(at.session, at.name, line, column)
            found = tuple(span for span in found if span not in declared)
        return [saying.location(ls.desk, at.session, span, ls.publisher.units) for span in found]

    @server.feature(lsp.TEXT_DOCUMENT_PREPARE_RENAME)
    def prepared(ls: PlaitServer, params: lsp.PrepareRenameParams) -> lsp.PrepareRenamePlaceholder | None:
        at, line, column = ls.place(params.text_document.uri, params.position)
        found = renamable(at.session, at.name, line, column)
        if found is None:
            return None
        return lsp.PrepareRenamePlaceholder(saying.in_range(at.session, found[1], ls.publisher.units), found[0])

    @server.feature(lsp.TEXT_DOCUMENT_RENAME, lsp.RenameOptions(prepare_provider=True))
    def renamed(ls: PlaitServer, params: lsp.RenameParams) -> lsp.WorkspaceEdit:
        at, line, column = ls.place(params.text_document.uri, params.position)
        edits = rename(at.session, at.name, line, column, params.new_name)
        if isinstance(edits, str):
            raise JsonRpcException(edits, REQUEST_FAILED)
        return saying.workspace_edit(ls.desk, at.session, edits, ls.publisher.units)

    @server.feature(lsp.TEXT_DOCUMENT_DOCUMENT_SYMBOL)
    def outline(ls: PlaitServer, params: lsp.DocumentSymbolParams) -> list[lsp.DocumentSymbol]:
        at = ls.desk.at(params.text_document.uri)
        text = at.session.text(at.name)
        return [saying.symbol(each, lines_of(text), ls.publisher.units) for each in symbols(text, at.name)]

    @server.feature(lsp.TEXT_DOCUMENT_FOLDING_RANGE)
    def folds(ls: PlaitServer, params: lsp.FoldingRangeParams) -> list[lsp.FoldingRange]:
        at = ls.desk.at(params.text_document.uri)
        return [saying.fold(each) for each in folding(at.session.text(at.name))]
