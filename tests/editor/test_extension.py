"""The extension's folder is whole: what its manifest names is there, and the document says how it is packaged."""

from __future__ import annotations

import json
import shutil
import subprocess
from pathlib import Path

import pytest

from plaitbook.compile import Request
from plaitbook.desk.editor.desk import SETTINGS, Desk
from plaitbook.shipped import shipped_folder
from plaitbook.syntax import vocabulary

FOLDER = Path(str(shipped_folder("grammar") / "editor" / "vscode"))
MANIFEST = json.loads((FOLDER / "package.json").read_text("utf-8"))
DOCUMENT = Path(__file__).resolve().parents[2] / "docs" / "editors.md"


def test_every_file_the_manifest_names_is_there() -> None:
    contributes = MANIFEST["contributes"]
    named = [MANIFEST["main"], contributes["languages"][0]["configuration"], contributes["grammars"][0]["path"]]
    assert all((FOLDER / name).is_file() for name in named)
    assert contributes["languages"][0]["extensions"] == [".plait"]
    for command in contributes["commands"]:
        assert command["command"] in (FOLDER / MANIFEST["main"]).read_text("utf-8")


def test_the_lock_file_is_of_this_manifest() -> None:
    lock = json.loads((FOLDER / "package-lock.json").read_text("utf-8"))["packages"][""]
    assert lock["dependencies"] == MANIFEST["dependencies"]
    assert lock["devDependencies"] == MANIFEST["devDependencies"]


def test_its_settings_are_the_ones_the_server_takes() -> None:
    offered = {name.removeprefix(f"{SETTINGS}.") for name in MANIFEST["contributes"]["configuration"]["properties"]}
    desk = Desk()
    assert desk.settle({"wearer": "A", "house": "B", "choices": {"Size": "Small"}})
    assert desk.request == Request(None, "A", "B", {"size": "small"}) and offered == {"command", "wearer", "house", "choices"}
    assert not desk.settle({"wearer": "A", "house": "B", "choices": {"size": "small"}})
    assert not desk.settle(None) and not desk.settle(["x"])
    assert desk.settle({"wearer": 3, "house": "  ", "choices": 4}) and desk.request == Request()


def test_headings_indent_in_the_editor_too() -> None:
    rules = json.loads((FOLDER / "language-configuration.json").read_text("utf-8"))["onEnterRules"]
    assert all(heading in rules[0]["beforeText"]["pattern"] for heading in vocabulary.RECIPE_BLOCKS)


def test_the_document_says_how_it_is_packaged() -> None:
    words = MANIFEST["scripts"]["package"].split()
    major = MANIFEST["devDependencies"]["@vscode/vsce"].lstrip("^").split(".")[0]
    assert f"npx @vscode/vsce@{major} {' '.join(words[1:])}" in DOCUMENT.read_text("utf-8")


@pytest.mark.skipif(shutil.which("node") is None, reason="node is not here")
def test_the_client_can_be_read() -> None:
    subprocess.run(["node", "--check", str(FOLDER / MANIFEST["main"])], check=True, timeout=60)
