"""The book as web pages: everything in the folder, nobody's details in it, nothing fetched, found by search."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from axe import in_browser, violations
from shipped_book import shipped_wearers

from plaitbook.cards.trade_words import TRADE_WORDS
from plaitbook.desk.command import main
from plaitbook.desk.site_making import MARK
from plaitbook.shipped import shipped_folder


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("site") / "site"
    assert main(["book", str(shipped_folder("recipes")), "--title", "Demo <b>Book", "-o", str(out)]) == 0
    return out


def pages(site: Path) -> dict[str, str]:
    return {path.relative_to(site).as_posix(): path.read_text("utf-8") for path in sorted(site.rglob("*.html"))}


def test_a_page_and_a_card_for_every_look(site: Path) -> None:
    looks = {path.stem for path in (site / "looks").iterdir()}
    assert looks == {path.stem for path in (site / "cards").iterdir()}
    assert len(looks) == len(re.findall(r'<li data-words', pages(site)["index.html"])) == 9


def test_every_link_leads_to_a_file(site: Path) -> None:
    for name, text in pages(site).items():
        for target in re.findall(r'(?:href|src)="([^"#]+)"', text):
            assert (site / name).parent.joinpath(target).resolve().is_file(), (name, target)


def test_nothing_is_fetched_from_anywhere(site: Path) -> None:
    for path in site.rglob("*.*"):
        text = path.read_text("utf-8")
        assert not re.search(r'(?:src|href)="(?:https?:)?//', text), path.name
        assert "fetch(" not in text and "import(" not in text and "@import" not in text


def test_no_wearers_details_are_in_it(site: Path) -> None:
    for name, text in pages(site).items():
        assert not [wearer for wearer in shipped_wearers() if re.search(rf"\b{wearer}\b", text)], name


def test_a_title_is_text(site: Path) -> None:
    assert "<b>Book" not in pages(site)["index.html"] and "Demo &lt;b&gt;Book" in pages(site)["index.html"]


def test_ids_on_a_page_are_unlike(site: Path) -> None:
    for name, text in pages(site).items():
        ids = re.findall(r'\bid="([^"]+)"', text)
        assert len(ids) == len(set(ids)), name


def test_the_same_book_gives_the_same_site(site: Path, tmp_path: Path) -> None:
    main(["book", str(shipped_folder("recipes")), "--title", "Demo <b>Book", "-o", str(tmp_path / "again")])
    assert pages(tmp_path / "again") == pages(site)


def test_an_earlier_site_is_replaced_and_another_folder_is_not(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    book = tmp_path / "book"
    book.mkdir()
    (book / "one.plait").write_text(LOOK, "utf-8")
    out = tmp_path / "site"
    assert main(["book", str(book), "-o", str(out)]) == 0
    (out / "looks" / "stale.html").write_text("", "utf-8")
    assert main(["book", str(book), "-o", str(out)]) == 0
    assert [path.name for path in (out / "looks").iterdir()] == ["small.html"]
    (out / MARK).unlink()
    assert main(["book", str(book), "-o", str(out)]) == 2
    assert "isn't a site made here" in capsys.readouterr().err
    assert (out / "looks" / "small.html").is_file()


def small_book(folder: Path, **looks: str) -> Path:
    folder.mkdir(parents=True)
    for file, name in (looks or {"one": "Small"}).items():
        text = LOOK if file == "one" else LOOK[: LOOK.index("hair \"Dune\"")]
        (folder / f"{file}.plait").write_text(text.replace('"Small"', f'"{name}"'), "utf-8")
    (folder / "book.plait").write_text('edition 1\nuse "one.plait"\n', "utf-8")
    return folder


def files_of(folder: Path) -> dict[str, bytes]:
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in sorted(folder.rglob("*")) if path.is_file()}


@pytest.mark.parametrize("inside", ["site/book", "site/deep/er/book"])
def test_a_site_that_has_the_book_in_it_is_left_alone(tmp_path: Path, inside: str, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "site"
    assert main(["book", str(small_book(tmp_path / "first")), "-o", str(out)]) == 0
    book = small_book(tmp_path / inside)
    before = files_of(tmp_path)
    assert main(["book", str(book), "-o", str(out)]) == 2
    assert "holds the book itself" in capsys.readouterr().err
    assert main(["book", str(book), "-o", str(book)]) == 2
    assert main(["book", str(tmp_path / "first"), "-o", str(out)]) == 2  # another book lies in it
    assert "no part of a site" in capsys.readouterr().err
    assert files_of(tmp_path) == before


def test_somebodys_file_in_a_site_is_kept(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    book, out = small_book(tmp_path / "book"), tmp_path / "my site"
    assert main(["book", str(book), "-o", str(out)]) == 0
    (out / "prices.xlsx").write_bytes(b"mine")
    assert main(["book", str(book), "-o", str(out)]) == 2
    assert "'prices.xlsx'" in capsys.readouterr().err and (out / "prices.xlsx").read_bytes() == b"mine"


def test_a_failed_replacement_leaves_the_earlier_site(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    import os

    book, out = small_book(tmp_path / "book"), tmp_path / "site"
    assert main(["book", str(book), "-o", str(out)]) == 0
    before, replace = files_of(out), os.replace

    def full(source: Path, target: Path) -> None:
        if Path(source).name == "new":
            raise OSError(28, "No space left on device")
        replace(source, target)

    monkeypatch.setattr("plaitbook.desk.site_making.os.replace", full)
    assert main(["book", str(book), "-o", str(out)]) == 1
    assert "No space left" in capsys.readouterr().err
    assert files_of(out) == before and sorted(path.name for path in tmp_path.iterdir()) == ["book", "site"]


def test_a_folder_of_the_book_makes_a_site_of_its_looks(tmp_path: Path) -> None:
    book = small_book(tmp_path / "book")
    (book / "more").mkdir()
    (book / "one.plait").rename(book / "more" / "one.plait")
    (book / "book.plait").write_text('edition 1\n', "utf-8")
    assert main(["book", str(book / "more"), "-o", str(tmp_path / "site")]) == 0


def test_page_names_that_windows_keeps_for_itself_are_changed(tmp_path: Path) -> None:
    assert main(["book", str(small_book(tmp_path / "book", one="Con", two="AUX", three="שלום", four="שָׁלוֹם")), "-o", str(tmp_path / "site")]) == 0
    assert sorted(path.stem for path in (tmp_path / "site" / "looks").iterdir()) == ["look", "look-2", "look-aux", "look-con"]


@pytest.mark.skipif(not hasattr(Path, "symlink_to") or __import__("os").name != "posix", reason="links need rights on Windows")
def test_a_linked_folder_is_replaced_where_it_lies(tmp_path: Path) -> None:
    book = small_book(tmp_path / "book")
    (tmp_path / "real").mkdir()
    (tmp_path / "link").symlink_to("real")
    assert main(["book", str(book), "-o", str(tmp_path / "link")]) == 0
    assert (tmp_path / "link").is_symlink() and (tmp_path / "real" / "index.html").is_file()


def test_a_book_with_a_mistake_makes_nothing(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    book = tmp_path / "book"
    book.mkdir()
    (book / "one.plait").write_text(LOOK.replace("12 in", "12 kg"), "utf-8")
    assert main(["book", str(book), "-o", str(tmp_path / "site")]) == 1
    assert "one.plait:4" in capsys.readouterr().err
    assert not (tmp_path / "site").exists()


def test_two_looks_of_one_name_spelled_alike_have_pages_of_their_own(tmp_path: Path) -> None:
    book = tmp_path / "book"
    book.mkdir()
    (book / "one.plait").write_text(LOOK.replace('"Small"', '"Wavy!"'), "utf-8")
    (book / "two.plait").write_text(LOOK.replace('"Small"', '"Wavy?"'), "utf-8")
    assert main(["book", str(book), "-o", str(tmp_path / "site")]) == 0
    assert sorted(path.name for path in (tmp_path / "site" / "looks").iterdir()) == ["wavy-2.html", "wavy.html"]


def test_the_words_stand_in_the_order_of_the_alphabet() -> None:
    words = [word for word, _ in TRADE_WORDS]
    assert words == sorted(words) and len(set(words)) == len(words)


LOOK = '''edition 1
recipe "Small"
technique plait
wearing 12 in
hair:
base: "Dune", cut 40 in
sections:
grid square 1½ in
start: extension at root, 1 piece of base ½ pencil
feed: pieces of base ½ pencil, hold width 8 mm
hair "Dune"
kind plain
fibre modacrylic
flat 48 in
pack 120 g
'''


class TestInABrowser:
    pytestmark = in_browser

    @pytest.mark.parametrize("page", ["index.html", "words.html", "looks/saltmarsh.html", "looks/ebb-and-flow.html"])
    @pytest.mark.parametrize("window", ["1280,1400", "390,900"])
    def test_axe_finds_nothing(self, site: Path, page: str, window: str, tmp_path: Path) -> None:
        # axe looks at one file: the style and the script are put where they are asked for.
        text = (site / page).read_text("utf-8")
        text = re.sub(r'<link rel="stylesheet"[^>]*>', lambda _: f"<style>{(site / 'site.css').read_text('utf-8')}</style>", text)
        text = re.sub(r'<script src="site.js"></script>', lambda _: f"<script>{(site / 'site.js').read_text('utf-8')}</script>", text)
        assert violations(text, window, tmp_path) == []
