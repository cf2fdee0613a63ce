"""The language server end to end: a real client talks to ``plait editor`` over its standard streams."""

from __future__ import annotations

import asyncio
import shutil
import sys
from pathlib import Path

import pytest
import pytest_lsp
from lsprotocol import types as lsp
from pytest_lsp import ClientServerConfig, LanguageClient

from plaitbook.desk.editor.publishing import carried
from plaitbook.shipped import shipped_folder

LOOK = "looks/saltmarsh.plait"


@pytest_lsp.fixture(
    config=ClientServerConfig(server_command=[sys.executable, "-m", "plaitbook.desk.editor"]), scope="module",
    loop_scope="module",
)
async def client(lsp_client: LanguageClient, tmp_path_factory: pytest.TempPathFactory):
    """A client with the shipped book's copy as its folder, for the wearer Ilse."""
    folder = Path(shutil.copytree(shipped_folder("recipes"), tmp_path_factory.mktemp("lsp") / "book"))
    lsp_client.book = folder
    await lsp_client.initialize_session(lsp.InitializeParams(
        capabilities=lsp.ClientCapabilities(workspace=lsp.WorkspaceClientCapabilities(configuration=True), general=lsp.GeneralClientCapabilities(
            position_encodings=[lsp.PositionEncodingKind.Utf16])),
        root_uri=folder.as_uri(), initialization_options={"wearer": "Ilse", "house": "Harbour Chair"}))
    yield
    await lsp_client.shutdown_session()

class Text:
    """One open text, the way an editor keeps it."""

    def __init__(self, client: LanguageClient, name: str, text: str) -> None:
        self.client, self.text, self.version = client, text, 1
        self.uri = (client.book / name).as_uri()
        self.id = lsp.TextDocumentIdentifier(self.uri)
        client.text_document_did_open(lsp.DidOpenTextDocumentParams(
            lsp.TextDocumentItem(self.uri, "plait", 1, text)))

    def change(self, text: str) -> None:
        self.text, self.version = text, self.version + 1
        self.client.text_document_did_change(lsp.DidChangeTextDocumentParams(
            lsp.VersionedTextDocumentIdentifier(self.version, self.uri),
            [lsp.TextDocumentContentChangeWholeDocument(text)]))

    def at(self, words: str, inside: int = 0) -> lsp.Position:
        """The client's position of some words, in UTF-16 units."""
        index = self.text.index(words) + inside
        before = self.text[:index]
        line = before.count("\n")
        start = before.rfind("\n") + 1
        return lsp.Position(line, len(before[start:].encode("utf-16-le")) // 2)

    def cut(self, found: lsp.Range) -> str:
        """The text of a range of the client's, one line long."""
        line = self.text.split("\n")[found.start.line].encode("utf-16-le")
        return line[2 * found.start.character : 2 * found.end.character].decode("utf-16-le")

    async def told(self, wanted, seconds: float = 20.0) -> list[lsp.Diagnostic]:
        """The diagnostics once they are as wanted."""
        for _ in range(int(seconds / 0.02)):
            found = self.client.diagnostics.get(self.uri)
            if found is not None and wanted(found):
                return list(found)
            await asyncio.sleep(0.02)
        raise AssertionError(f"never told as wanted: {self.client.diagnostics.get(self.uri)}")

    def close(self) -> None:
        self.client.text_document_did_close(lsp.DidCloseTextDocumentParams(self.id))


@pytest.fixture
def saltmarsh(client: LanguageClient):
    text = Text(client, LOOK, (client.book / LOOK).read_text("utf-8"))
    yield text
    text.close()


def codes(found: list[lsp.Diagnostic]) -> set[str]:
    return {str(each.code) for each in found}


@pytest.mark.asyncio(loop_scope="module")
async def test_mistakes_come_while_typing_and_go_when_put_right(client: LanguageClient, saltmarsh: Text) -> None:
    right = saltmarsh.text
    saltmarsh.change(right.replace("grid brick by size", "grid brikc by size"))
    (mistake,) = await saltmarsh.told(lambda found: codes(found) == {"E101"})
    assert saltmarsh.cut(mistake.range) == "brikc" and mistake.severity == lsp.DiagnosticSeverity.Error
    actions = await client.text_document_code_action_async(lsp.CodeActionParams(
        saltmarsh.id, mistake.range, lsp.CodeActionContext([mistake])))
    assert actions and actions[0].edit.changes[saltmarsh.uri][0].new_text == "brick"
    saltmarsh.change(right)
    await saltmarsh.told(lambda found: not any(each.severity == lsp.DiagnosticSeverity.Error for each in found))


@pytest.mark.asyncio(loop_scope="module")
async def test_findings_come_with_their_reason(saltmarsh: Text) -> None:
    found = await saltmarsh.told(lambda found: "L05" in codes(found))
    (loaded,) = [each for each in found if each.code == "L05"]
    assert "why:" in loaded.message and "try:" in loaded.message
    assert loaded.severity == lsp.DiagnosticSeverity.Warning and saltmarsh.cut(loaded.range) == "hairline brick ¾ in"


@pytest.mark.asyncio(loop_scope="module")
async def test_every_party_to_a_mistake_is_named(client: LanguageClient, saltmarsh: Text) -> None:
    saltmarsh.change(saltmarsh.text.replace("parting centre", "parting centre\n  parting none"))
    found = await saltmarsh.told(lambda found: "E410" in codes(found))
    (twice,) = [each for each in found if each.code == "E410"]
    (other,) = twice.related_information
    assert other.location.uri == saltmarsh.uri and saltmarsh.cut(other.location.range) == "parting centre"


@pytest.mark.asyncio(loop_scope="module")
async def test_columns_are_the_clients_own(client: LanguageClient) -> None:
    """Emoji count two in UTF-16, and a joiner inside one is passed over by our columns."""
    text = Text(client, "looks/emoji.plait", (
        'edition 1\nrecipe "Tide \U0001f30a" based on "Saltmarshh"\n'
        'note "ask \U0001f469\u200d\U0001f9b0 first" \n'
        'hair:\n  base: "\U0001f30a\U0001f30a", foldde at ½\n'))
    found = await text.told(lambda found: len(found) >= 1)
    cut = {text.cut(each.range) for each in found}
    assert "foldde" in cut
    text.change(text.text.replace("foldde", "folded"))
    found = await text.told(lambda found: "E430" in codes(found))
    assert any(text.cut(each.range) == '"Saltmarshh"' for each in found)
    text.close()


@pytest.mark.asyncio(loop_scope="module")
async def test_a_mistake_in_a_file_that_is_brought_in_is_told_there(client: LanguageClient, saltmarsh: Text) -> None:
    hairs = client.book / "hairs.plait"
    right = hairs.read_text("utf-8")
    hairs.write_text(right.replace("fibre modacrylic", "fibre modacrilic", 1), "utf-8")
    try:
        saltmarsh.change(saltmarsh.text + "\n")
        for _ in range(500):
            if client.diagnostics.get(hairs.as_uri()):
                break
            await asyncio.sleep(0.02)
        assert codes(client.diagnostics[hairs.as_uri()]) == {"E301"}
    finally:
        hairs.write_text(right, "utf-8")
    saltmarsh.change(saltmarsh.text + "\n")
    for _ in range(500):
        if not client.diagnostics.get(hairs.as_uri()):
            return
        await asyncio.sleep(0.02)
    raise AssertionError("the mistake stayed")


@pytest.mark.asyncio(loop_scope="module")
async def test_completion_replaces_what_is_typed(client: LanguageClient, saltmarsh: Text) -> None:
    saltmarsh.change(saltmarsh.text + "\nend: hea")
    items = await client.text_document_completion_async(lsp.CompletionParams(saltmarsh.id, end_of(saltmarsh)))
    (seal,) = [item for item in items if item.label == "heat seal"]
    assert saltmarsh.cut(seal.text_edit.range) == "hea" and seal.text_edit.new_text == "heat seal"


def end_of(text: Text) -> lsp.Position:
    lines = text.text.split("\n")
    return lsp.Position(len(lines) - 1, len(lines[-1].encode("utf-16-le")) // 2)


@pytest.mark.asyncio(loop_scope="module")
async def test_hover_definition_references(client: LanguageClient, saltmarsh: Text) -> None:
    where = lsp.TextDocumentPositionParams(saltmarsh.id, saltmarsh.at('"Dune"', 2))
    hover = await client.text_document_hover_async(lsp.HoverParams(where.text_document, where.position))
    assert "modacrylic" in hover.contents.value and saltmarsh.cut(hover.range) == "Dune"
    (declared,) = await client.text_document_definition_async(lsp.DefinitionParams(saltmarsh.id, where.position))
    assert declared.uri == (client.book / "hairs.plait").as_uri() and declared.range.start.line == 4
    used = await client.text_document_references_async(lsp.ReferenceParams(
        lsp.ReferenceContext(include_declaration=False), saltmarsh.id, where.position))
    assert declared not in used and {Path(each.uri).name for each in used} >= {"saltmarsh.plait", "houses.plait"}


@pytest.mark.asyncio(loop_scope="module")
async def test_rename_reaches_every_file(client: LanguageClient, saltmarsh: Text) -> None:
    position = saltmarsh.at('"Dune"', 2)
    ready = await client.text_document_prepare_rename_async(lsp.PrepareRenameParams(saltmarsh.id, position))
    assert ready.placeholder == "Dune"
    edit = await client.text_document_rename_async(lsp.RenameParams(saltmarsh.id, position, "Heath"))
    files = {Path(uri).name for uri in edit.changes}
    assert {"saltmarsh.plait", "hairs.plait", "houses.plait", "thistledown.plait"} <= files
    with pytest.raises(Exception, match="already"):
        await client.text_document_rename_async(lsp.RenameParams(saltmarsh.id, position, "Kelp"))


@pytest.mark.asyncio(loop_scope="module")
async def test_outline_folding_formatting_hints(client: LanguageClient, saltmarsh: Text) -> None:
    (look,) = await client.text_document_document_symbol_async(lsp.DocumentSymbolParams(saltmarsh.id))
    assert look.name == "Saltmarsh" and {"choices", "hair", "feed"} <= {child.name for child in look.children}
    folds = await client.text_document_folding_range_async(lsp.FoldingRangeParams(saltmarsh.id))
    assert any(each.start_line == 18 and each.end_line == 23 for each in folds)
    whole = lsp.Range(lsp.Position(0, 0), end_of(saltmarsh))
    hints = await client.text_document_inlay_hint_async(lsp.InlayHintParams(saltmarsh.id, whole))
    said = {each.label for each in hints}
    assert any(label.endswith("sections") and label.startswith("≈") for label in said)
    assert any("packs" in label for label in said) and "holds for Ilse" in said
    tidy = saltmarsh.text
    saltmarsh.change(tidy.replace("  grid brick", "grid    brick").replace("technique plait,", "technique   plait ,"))
    options = lsp.FormattingOptions(tab_size=2, insert_spaces=True)
    edits = await client.text_document_formatting_async(lsp.DocumentFormattingParams(saltmarsh.id, options))
    assert applied(saltmarsh.text, edits) == tidy


def applied(text: str, edits: list[lsp.TextEdit]) -> str:
    lines = text.split("\n")
    for edit in sorted(edits, key=lambda e: (e.range.start.line, e.range.start.character), reverse=True):
        start, end = edit.range.start, edit.range.end
        whole = lines[start.line][: start.character] + edit.new_text + lines[end.line][end.character:]
        lines[start.line : end.line + 1] = whole.split("\n")
    return "\n".join(lines)


@pytest.mark.asyncio(loop_scope="module")
async def test_settings_say_for_whom(client: LanguageClient, saltmarsh: Text) -> None:
    whole = lsp.Range(lsp.Position(0, 0), end_of(saltmarsh))
    client.workspace_did_change_configuration(lsp.DidChangeConfigurationParams({"plaitbook": {"wearer": "Marisol"}}))
    hints = await client.text_document_inlay_hint_async(lsp.InlayHintParams(saltmarsh.id, whole))
    assert "holds for Marisol" in {each.label for each in hints}
    client.set_configuration({"plaitbook": {"wearer": "Ilse", "house": "Harbour Chair"}})
    client.workspace_did_change_configuration(lsp.DidChangeConfigurationParams(None))  # the server asks for its section
    for _ in range(200):
        hints = await client.text_document_inlay_hint_async(lsp.InlayHintParams(saltmarsh.id, whole))
        if "holds for Ilse" in {each.label for each in hints}:
            return
        await asyncio.sleep(0.02)
    raise AssertionError("the settings were never asked for")


@pytest.mark.asyncio(loop_scope="module")
async def test_a_text_that_was_never_saved_has_completion(client: LanguageClient) -> None:
    uri = "untitled:Untitled-1"
    client.text_document_did_open(lsp.DidOpenTextDocumentParams(lsp.TextDocumentItem(uri, "plait", 1, "edition 1\nrec")))
    items = await client.text_document_completion_async(lsp.CompletionParams(
        lsp.TextDocumentIdentifier(uri), lsp.Position(1, 3)))
    assert "recipe" in {item.label for item in items}
    client.text_document_did_close(lsp.DidCloseTextDocumentParams(lsp.TextDocumentIdentifier(uri)))


@pytest.mark.asyncio(loop_scope="module")
async def test_the_names_that_settings_may_hold(client: LanguageClient, saltmarsh: Text) -> None:
    people = await client.protocol.send_request_async("plaitbook/people", {"uri": saltmarsh.uri})
    assert "Ilse" in people.wearers and "Zimmer Sieben" in people.houses


@pytest.mark.asyncio(loop_scope="module")
async def test_findings_stay_with_their_line_while_typing(client: LanguageClient, saltmarsh: Text) -> None:
    before = await saltmarsh.told(lambda found: "L05" in codes(found))
    (was,) = [each for each in before if each.code == "L05"]
    saltmarsh.change("# one more line\n" + saltmarsh.text)
    line = was.range.start.line + 1
    now = await saltmarsh.told(lambda found: any(each.range.start.line == line for each in found if each.code == "L05"))
    (here,) = [each for each in now if each.code == "L05"]
    assert saltmarsh.cut(here.range) == "hairline brick ¾ in"


def test_what_was_told_moves_with_its_line() -> None:
    def told(line: int) -> lsp.Diagnostic:
        return lsp.Diagnostic(lsp.Range(lsp.Position(line, 0), lsp.Position(line, 1)), "m", code=str(line))

    found = carried(["a", "b", "c", "b"], [told(0), told(1), told(2), told(3), told(9)], ["x", "a", "b", "b"])
    assert [(each.code, each.range.start.line) for each in found] == [("0", 1), ("1", 2), ("3", 3)]
