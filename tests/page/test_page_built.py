"""What is served was built from the sources beside it, and reaches for nothing outside this machine."""

from __future__ import annotations

import json
import re
from hashlib import sha256
from pathlib import Path

from plaitbook.desk import page

HERE = Path(page.__file__).parent
CHECKOUT = Path(__file__).resolve().parents[2]
WEB, BUILT = CHECKOUT / "compiler" / "plaitbook" / "desk" / "page" / "web", HERE / "built"
"""The sources lie in the checkout only: an installed package holds what was built of them."""


def test_the_built_files_are_of_these_sources():
    """Fails until ``npm ci && npm run build`` was run in web/ after a change there."""
    mark = sha256()
    for name in ("package.json", "package-lock.json", "build.mjs", *(f"src/{p.name}" for p in sorted((WEB / "src").iterdir()))):
        mark.update((name + "\n" + (WEB / name).read_bytes().decode().replace("\r\n", "\n")).encode())
    for built in ("page.js", "page.css"):
        assert f"sources {mark.hexdigest()[:32]} " in (BUILT / built).read_text("utf-8")[:200], f"run npm ci && npm run build in {WEB}"


def test_nothing_is_fetched_from_elsewhere():
    for path in (*BUILT.glob("*.js"), *BUILT.glob("*.css"), *(HERE / "shell").iterdir()):
        text = path.read_text("utf-8")
        reached = set(re.findall(r"(?:https?:)?//[a-z0-9.-]+\.[a-z]{2,}", text, re.I)) - {"http://www.w3.org"}
        assert not {one for one in reached if f'"{one}' in text or f"({one}" in text or f"'{one}" in text}, (path.name, reached)


def test_no_script_makes_code_of_words():
    text = "".join(path.read_text("utf-8") for path in (WEB / "src").glob("*.js"))
    assert "eval(" not in text and "new Function" not in text and "document.write" not in text and "insertAdjacentHTML" not in text
    assert text.count(".innerHTML") == 1, "one place takes HTML: the card, which the desk escaped"


def test_the_lock_file_names_every_package_by_its_sum():
    lock = json.loads((WEB / "package-lock.json").read_text("utf-8"))
    for path, package in lock["packages"].items():
        assert path == "" or package["integrity"].startswith("sha512-"), path
    licences = (BUILT / "LICENCES.txt").read_text("utf-8")
    for path, package in lock["packages"].items():
        if path and not package.get("dev") and not package.get("optional"):
            assert f"{path.removeprefix('node_modules/')} {package['version']}" in licences


def test_no_packages_lie_in_the_package():
    ignored = CHECKOUT / ".gitignore"
    if ignored.is_file():
        assert "node_modules/" in ignored.read_text("utf-8").split("\n")
