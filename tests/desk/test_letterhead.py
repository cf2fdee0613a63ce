"""A house's logo and own template: printed where they should be, and harmless whatever they hold."""

from __future__ import annotations

import io
import os
import re
import struct
import zlib
from pathlib import Path

import pikepdf
import pytest

from plaitbook.cards.house_templates import TemplateTrouble, render_template
from plaitbook.cards.logo import HIGHEST_MM, WIDEST_MM, logo_picture
from plaitbook.desk import letterhead
from plaitbook.desk.command import main

BOOK = '''edition 1
house "Harbour Chair"
demo
{lines}
hair "Dune"
kind plain
fibre modacrylic
flat 48 in
pack 120 g
'''
LOOK = '''edition 1
recipe "Small <b>"
technique plait
wearing 12 in
hair:
base: "Dune", cut 40 in
sections:
grid square 1½ in
start: extension at root, 1 piece of base ½ pencil
feed: pieces of base ½ pencil, hold width 8 mm
'''


def png(wide: int, high: int) -> bytes:
    """A grey image (W3C, Portable Network Graphics)."""
    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    rows = (b"\0" + b"\x80" * wide) * high
    head = struct.pack(">IIBBBBB", wide, high, 8, 0, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(rows)) + chunk(b"IEND", b"")


@pytest.fixture
def book(tmp_path: Path):
    def made(*lines: str, **files: bytes | str) -> Path:
        (tmp_path / "book.plait").write_text(BOOK.format(lines="\n".join(lines)), "utf-8")
        (tmp_path / "small.plait").write_text(LOOK, "utf-8")
        for name, data in files.items():
            path = tmp_path / name.replace("__", ".")
            path.write_bytes(data.encode() if isinstance(data, str) else data)
        return tmp_path

    return made


def card(folder: Path, form: str = "html") -> tuple[int, bytes]:
    out = folder / f"out.{form}"
    code = main(["card", str(folder / "small.plait"), "--format", form, "-o", str(out)])
    return code, out.read_bytes() if out.is_file() else b""


# --- the logo -----------------------------------------------------------------


def test_the_logo_is_in_the_head_of_page_and_print(book) -> None:
    folder = book('logo "mark.png"', mark__png=png(300, 100))
    assert b'class="logo" role="img" aria-label="Harbour Chair"' in card(folder)[1]
    code, data = card(folder, "pdf")
    pdf = folder / "out.pdf"
    with pikepdf.open(pdf) as opened:
        images = [image for page in opened.pages for image in _images(page.obj)]
    assert images, "no image in the PDF"


def _images(thing: pikepdf.Object, depth: int = 4) -> list[pikepdf.Object]:
    found = []
    for item in dict(thing.get("/Resources", {}).get("/XObject", {})).values():
        if item.get("/Subtype") == "/Image":
            found.append(item)
        elif depth:
            found += _images(item, depth - 1)
    return found


@pytest.mark.parametrize(("wide", "high"), [(300, 100), (100, 300), (4000, 10)])
def test_a_logo_keeps_its_shape_and_stays_in_its_room(wide: int, high: int) -> None:
    picture = logo_picture(png(wide, high), "H")
    assert picture.width_mm <= WIDEST_MM + 1e-9 and picture.height_mm <= HIGHEST_MM + 1e-9
    assert picture.width_mm / picture.height_mm == pytest.approx(wide / high)


def test_a_jpegs_size_is_read_from_its_frame() -> None:
    frame = b"\xff\xd8\xff\xe0" + struct.pack(">H", 4) + b"ab" + b"\xff\xc2" + struct.pack(">HBHHB", 11, 8, 120, 480, 1) + b"\1\x11\0" + b"\xff\xd9"
    picture = logo_picture(frame, "H")
    assert picture.width_mm / picture.height_mm == pytest.approx(4)


@pytest.mark.parametrize("data", [b"", b"GIF89a", b"<svg onload='x'/>", b"\x89PNG\r\n\x1a\n", b"\xff\xd8\xff\xe0\xff\xff", png(5000, 1), b"\x89PNG\r\n\x1a\n" + b"x" * 600_000])
def test_a_file_that_is_no_logo_is_refused(book, data: bytes, capsys: pytest.CaptureFixture[str]) -> None:
    code, out = card(book('logo "mark.png"', mark__png=data))
    assert code == 1 and not out
    said = capsys.readouterr().err
    assert "the logo 'mark.png'" in said and "try:" in said


WHOLE = png(300, 100)


@pytest.mark.parametrize("data", [WHOLE[:40], WHOLE[:60], WHOLE[:-4], WHOLE[:-20] + b"z" * 20, WHOLE[:50] + b"!" + WHOLE[51:], WHOLE[:33] + WHOLE[-12:], b"\xff\xd8\xff\xe0" + struct.pack(">H", 4) + b"ab"
                                  + b"\xff\xc2" + struct.pack(">HBHHB", 11, 8, 120, 480, 1) + b"\1\x11\0"])
@pytest.mark.parametrize("form", ["pdf", "html"])
def test_a_damaged_logo_is_told_of_before_it_stops_a_card(book, data: bytes, form: str, capsys: pytest.CaptureFixture[str]) -> None:
    code, out = card(book('logo "mark.png"', mark__png=data), form)
    assert code == 1 and not out
    assert "the logo 'mark.png' is damaged" in capsys.readouterr().err


@pytest.mark.parametrize("mode", ["1", "L", "P", "LA", "RGB", "RGBA", "I;16"])
@pytest.mark.parametrize("size", [(7, 3), (300, 100)])
def test_every_kind_of_png_is_a_logo(mode: str, size: tuple[int, int]) -> None:
    image = pytest.importorskip("PIL.Image")
    out = io.BytesIO()
    image.new(mode, size).save(out, "PNG")
    assert logo_picture(out.getvalue(), "H").width_mm > 0


@pytest.mark.parametrize("path", ["missing.png", "../outside.png", "/etc/passwd", "C:\\x.png", ""])
@pytest.mark.parametrize("word", ["logo", "template"])
def test_nothing_outside_the_book_is_read(book, word: str, path: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = book(f'{word} "{path}"')
    (tmp_path.parent / "outside.png").write_bytes(png(10, 10))
    code, out = card(folder)
    if path:
        assert code == 1 and not out and "no file of this book" in capsys.readouterr().err


# --- the template -------------------------------------------------------------


def test_the_houses_template_prints_the_card(book) -> None:
    folder = book('template "ours.html"', ours__html="<p>{{ card.title }}|{% for p in card.parts %}{{ p.key }} {% endfor %}</p>")
    code, out = card(folder)
    assert code == 0
    assert out.decode().startswith("<p>Small &lt;b&gt;|never buy cut map ")


def test_a_text_template_prints_the_text_card(book) -> None:
    folder = book('template "ours.txt"', ours__txt="{{ card.title }} for {{ card.facts[0][1] }}")
    assert card(folder, "text")[1].decode().startswith("Small <b> for ")
    assert card(folder, "html")[1].startswith(b"<!DOCTYPE html>")


def test_a_templates_mistake_names_its_line(book, capsys: pytest.CaptureFixture[str]) -> None:
    code, out = card(book('template "ours.html"', ours__html="<p>\n<b>\n{% if %}\n"))
    assert code == 1 and not out
    assert "line 3 of the template 'ours.html'" in capsys.readouterr().err
    code, _ = card(book('template "ours.html"', ours__html="<p>\n{{ card.nonsense }}\n"))
    assert code == 1
    assert "line 2 of the template" in capsys.readouterr().err


CARD = {"title": "A", "parts": [{"key": "x", "blocks": []}], "facts": []}
ESCAPES = [
    "{{ ''.__class__.__mro__[1].__subclasses__() }}",
    "{{ card.__class__ }}",
    "{{ card.title.__class__.__base__ }}",
    "{{ card['__class__'] }}",
    "{{ card|attr('__class__') }}",
    "{{ (card.items)|attr('__globals__') }}",
    "{{ card.title.format.__globals__ }}",
    "{{ '{0.__class__.__mro__}'.format(card) }}",
    "{{ self.__init__.__globals__ }}",
    "{{ self._TemplateReference__context }}",
    "{{ range.__globals__ }}",
    "{% include '/etc/passwd' %}",
    "{% import 'os' as os %}{{ os }}",
    "{% extends '/etc/passwd' %}",
    "{{ lipsum.__globals__ }}",
    "{{ cycler.__init__.__globals__.os.popen('id').read() }}",
    "{{ namespace }}",
    "{{ open('/etc/passwd').read() }}",
    "{{ card.update({'title': 'x'}) }}",
    "{{ card.facts.append(1) }}",
    "{{ dict(a=1).__class__ }}",
    "{% for i in range(99999999) %}{% endfor %}",
    "{{ 'x' * 99999999 }}",
    "{% set f = card.get %}{{ f.__self__ }}",
    "{{ card.title.encode().__reduce__() }}",
]


@pytest.mark.parametrize("source", ESCAPES)
def test_a_template_cant_read_files_or_run_code(source: str) -> None:
    try:
        said = render_template(source, CARD, html=True)
    except (TemplateTrouble, MemoryError):
        return
    assert not re.search(r"class|module|function|root:|uid=|object at|built-in", said), said


@pytest.mark.parametrize("source", ["{{ card.title | safe }}", "{% autoescape false %}{{ card.title }}{% endautoescape %}"])
def test_a_name_cant_be_printed_as_markup(source: str) -> None:
    with pytest.raises(TemplateTrouble) as trouble:
        render_template("\n" + source, {**CARD, "title": "<script>"}, html=True)
    assert trouble.value.line == 2


@pytest.mark.parametrize(("source", "said"), [
    ("{% for a in card.facts %}" * 25 + "{% endfor %}" * 25, "too many blocks"), ('{{ "\\ud800" }}', "no text"),
    ("{% macro a() %}{{ a() }}{% endmacro %}{{ a() }}", "recursion"), ("{{ " + "(" * 3000 + "1" + ")" * 3000 + " }}", "recursion"),
])
def test_what_the_template_engine_cant_do_is_told_in_words(book, source: str, said: str, capsys: pytest.CaptureFixture[str]) -> None:
    code, out = card(book('template "ours.html"', ours__html=source))
    assert code == 1 and not out and said in capsys.readouterr().err


@pytest.mark.skipif(os.name != "posix", reason="links need rights on Windows")
def test_a_link_round_in_a_circle_is_no_file(book, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "loop.png").symlink_to("loop.png")
    for name in ("loop.png", "a" * 300 + ".png"):
        assert card(book(f'logo "{name}"'))[0] == 1
        assert "no file of this book" in capsys.readouterr().err


def test_a_template_that_never_ends_is_stopped(book, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.setattr(letterhead, "SECONDS", 3.0)
    forever = "{% for a in range(9999) %}{% for b in range(9999) %}{% for c in range(9999) %}{% endfor %}{% endfor %}{% endfor %}"
    code, out = card(book('template "ours.html"', ours__html=forever))
    assert code == 1 and not out
    assert "more than 3 seconds" in capsys.readouterr().err


def test_a_template_that_prints_without_end_is_stopped(book, capsys: pytest.CaptureFixture[str]) -> None:
    much = "{% for a in range(9999) %}{% for b in range(9999) %}xxxxxxxxxxxxxxxxxxxx{% endfor %}{% endfor %}"
    code, out = card(book('template "ours.html"', ours__html=much))
    assert code == 1 and not out
    assert "letters" in capsys.readouterr().err


def test_the_example_in_the_documents_prints(book) -> None:
    page = (Path(__file__).resolve().parents[2] / "docs" / "house-papers.md").read_text("utf-8")
    example = re.findall(r"```html\n(.*?)```", page, re.S)[0]
    code, out = card(book('template "ours.html"', ours__html=example))
    assert code == 0 and out.count(b"<h2>") >= 9 and b"<svg" in out
