"""Parcels that mean harm, or were harmed on the way: each is refused with a reason, and nothing is written."""

from __future__ import annotations

import bz2
import gzip
import io
import lzma
import os
import re
import tarfile
import warnings
import zipfile
from pathlib import Path
from typing import Callable

import pytest

from plaitbook.desk.book.opened import open_looks
from plaitbook.desk.book.packing import pack
from plaitbook.desk.book.parcel import MAX_BYTES, Refused, read_parcel, sealed_text
from plaitbook.meaning.book import open_book
from plaitbook.meaning.inherit import inherit
from plaitbook.plan.canonical import digest
from plaitbook.plan.seal import LOOK, look_ingredients
from plaitbook.rules.read import read_rules
from plaitbook.shipped import shipped_folder

Text = Callable[[str], "str | bytes"]


def good() -> str:
    opened = open_looks(str(shipped_folder("recipes") / "looks" / "pebble-bob.plait"))
    return pack(opened, opened.looks[0])


GOOD = good()
"""A parcel that nothing is wrong with; the cases below each do one thing to it."""


def resealed(change: Callable[[str], str], look: str = "Pebble Bob", version: int = 1) -> str:
    """The parcel changed, with a hash that fits where one can be computed: a forger has this program too."""
    body = change("\n".join(GOOD.split("\n")[4:-2]))
    book = open_book([("parcel", body)], None)
    sha256 = "0" * 64
    if look in book.looks:
        rules = {rule.code: rule for rule in read_rules(tuple(book.rules.values()), [])}
        whole = inherit(book.looks[look], book.looks, [])
        if whole is not None:
            sha256 = digest(LOOK, look_ingredients(whole, book.hairs, book.ornaments, rules))
    return sealed_text(body, look, version, sha256)


def named(name: str) -> str:
    """The look under another name."""
    return resealed(lambda body: body.replace('recipe "Pebble Bob"', f'recipe "{name}"'), name)


def more(line: str) -> str:
    return resealed(lambda body: body + "\n" + line)


def zipped(entries: dict[str, bytes], **how: object) -> bytes:
    out = io.BytesIO()
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
            for name, data in entries.items():
                archive.writestr(name, data)
            if how.get("twice"):
                archive.writestr(next(iter(entries)), b"other")
            if how.get("link"):
                info = zipfile.ZipInfo("looks")
                info.create_system, info.external_attr = 3, 0o120777 << 16
                archive.writestr(info, "/etc")
    data = bytearray(out.getvalue())
    if how.get("locked"):
        for magic, at in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
            data[data.index(magic) + at] |= 1
    if how.get("overlapping"):  # both entries of the list point at the same file
        first = data.index(b"PK\x01\x02")
        second = data.index(b"PK\x01\x02", first + 4)
        data[second + 42:second + 46] = data[first + 42:first + 46]
    return bytes(data)


def tarred(kind: bytes = tarfile.REGTYPE, name: str = "../look.plait") -> bytes:
    out = io.BytesIO()
    with tarfile.open(fileobj=out, mode="w") as archive:
        info = tarfile.TarInfo(name)
        info.type, info.linkname = kind, "/etc/passwd"
        archive.addfile(info)
    return out.getvalue()


RULE = '\nrule "r{n}"\ncode Y{n}\nseverity note\nif sections over {n}\nmessage "m"\n'

CASES: dict[str, tuple[Callable[[], "str | bytes"], str]] = {
    # Archives and other things that aren't a parcel: never opened, whatever is in them.
    "a zip": (lambda: zipped({"look.plait": GOOD.encode()}), "a zip archive"),
    "a zip with ..": (lambda: zipped({"../../look.plait": b"x"}), "a zip archive"),
    "a zip with a drive": (lambda: zipped({"C:\\Windows\\look.plait": b"x"}), "a zip archive"),
    "a zip with a root": (lambda: zipped({"/etc/look.plait": b"x"}), "a zip archive"),
    "a zip bomb": (lambda: zipped({"look.plait": b"\0" * 10_000_000}), "a zip archive"),
    "a zip with overlapping entries": (lambda: zipped({"a": b"1", "b": b"2"}, overlapping=True), "a zip archive"),
    "a zip with one name twice": (lambda: zipped({"a": b"1"}, twice=True), "a zip archive"),
    "a zip with a link": (lambda: zipped({"a": b"1"}, link=True), "a zip archive"),
    "a locked zip": (lambda: zipped({"a": b"1"}, locked=True), "a zip archive"),
    "a zip in a zip": (lambda: zipped({"a.zip": zipped({"look.plait": b"x"})}), "a zip archive"),
    "a zip of nothing": (lambda: zipped({}), "an empty zip archive"),
    "a zip after a byte order mark": (lambda: b"\xef\xbb\xbf" + zipped({"a": b"1"}), "a zip archive"),
    "a parcel with a zip behind it": (lambda: GOOD.encode() + zipped({"a": b"1"}), "not UTF-8|control character|stands after"),
    "a gzip": (lambda: gzip.compress(GOOD.encode()), "a gzip file"),
    "a bzip2": (lambda: bz2.compress(GOOD.encode()), "a bzip2 file"),
    "an xz": (lambda: lzma.compress(GOOD.encode()), "an xz file"),
    "a tar": (tarred, "a tar archive"),
    "a tar with a link": (lambda: tarred(tarfile.SYMTYPE, "look.plait"), "a tar archive"),
    "a tar with a device": (lambda: tarred(tarfile.CHRTYPE, "look.plait"), "a tar archive"),
    "a program": (lambda: b"MZ\x90\0", "a program"),
    "a web page": (lambda: "<html>" + GOOD, "a web page"),
    "nothing": (lambda: b"", "empty"),
    "only space": (lambda: b" \n\n", "empty"),
    # Bytes.
    "too large": (lambda: GOOD + "# x\n" * (MAX_BYTES // 4), "larger than"),
    "too many lines": (lambda: GOOD.replace("edition 1", "edition 1" + "\n" * 6000), "more than 5,000 lines"),
    "a line without end": (lambda: more('note "' + "x" * 3000 + '"'), "longer than 2,000"),
    "not UTF-8": (lambda: GOOD.encode().replace(b"Short plaits", b"Short \xff\xfeplaits"), "not UTF-8"),
    "a sign in more bytes than it needs": (lambda: GOOD.encode().replace(b"Short plaits", b"Short \xc0\xafplaits"), "not UTF-8"),
    "UTF-16": (lambda: GOOD.encode("utf-16"), "UTF-16"),
    "a NUL": (lambda: GOOD.replace("Short", "Sh\0ort"), "control character"),
    "a terminal's command": (lambda: more('note "\x1b]0;owned\x07\x1b[2J"'), "control character"),
    "words that run backwards": (lambda: more('note "safe \u202e gnihton si siht"'), "can't be seen"),
    "a name with nothing in it": (lambda: named("Pebble\u200bBob"), "can't be seen"),
    # The head and the end.
    "no head": (lambda: "\n".join(GOOD.split("\n")[4:]), "doesn't begin with"),
    "a greeting before it": (lambda: "Hi, here it is:\n" + GOOD, "doesn't begin with"),
    "another form": (lambda: GOOD.replace("parcel 1", "parcel 2", 1), "form 2"),
    "a form of a thousand digits": (lambda: GOOD.replace("parcel 1", "parcel " + "9" * 1000, 1), "doesn't begin with"),
    "no hash": (lambda: re.sub(r"# sha256.*\n", "", GOOD), "its head doesn't say"),
    "a short hash": (lambda: re.sub(r"(# sha256 .{10}).*", r"\1", GOOD), "its head doesn't say"),
    "a hash of something else": (lambda: re.sub(r"# sha256 .*", "# sha256 " + "ab" * 32, GOOD), "don't belong together"),
    "a look that isn't in it": (lambda: GOOD.replace('# look "Pebble Bob"', '# look "Pebble Rob"'), "isn't in it"),
    "another version than it says": (lambda: GOOD.replace('# look "Pebble Bob" version 1', '# look "Pebble Bob" version 7'), "isn't in it"),
    "cut short": (lambda: GOOD[: len(GOOD) // 2], "cut short"),
    "cut short in its head": (lambda: GOOD[:40], "its head|cut short"),
    "something after the end": (lambda: GOOD + 'rule "late"\n', "stands after its last line"),
    "a parcel in a parcel": (lambda: GOOD.replace("edition 1", GOOD), "another parcel inside"),
    "two ends": (lambda: GOOD + "# end of parcel\n", "another parcel inside"),
    # Changed on the way.
    "a hair made heavier": (lambda: GOOD.replace("pack 60 g", "pack 61 g"), "changed after it was packed"),
    "a hotter iron": (lambda: GOOD.replace("styling ceiling 80 °C", "styling ceiling 230 °C"), "changed after it was packed"),
    "a rule taken out": (lambda: GOOD[: GOOD.index('rule "very long sit"')] + GOOD[GOOD.index('rule "thin sections'):], "changed after it was packed"),
    "a rule's limit raised": (lambda: GOOD.replace("over 7 h", "over 70 h"), "changed after it was packed"),
    "a statement added": (lambda: GOOD.replace("wearing 8 in", "wearing 8 in\nnote \"Pull hard.\""), "changed after it was packed"),
    # Other files.
    **{f"use {path}": (lambda path=path: resealed(lambda body: body.replace("edition 1", f'edition 1\nuse "{path}"', 1)), "bring in another file")
       for path in ("../wearers.plait", "..\\wearers.plait", "/etc/passwd", "C:\\boot.ini", "looks/../../wearers.plait", "wearers.plait",
                    "file:///etc/passwd", "//server/share/x.plait", "%2e%2e/wearers.plait", "~/x.plait", "NUL")},
    # Names.
    **{f"a look named {name!r}": (lambda name=name: named(name), reason) for name, reason in (
        ("../../book", "like a path"), ("..", "like a path"), ("/etc/passwd", "like a path"), ("..\\..\\book", "like a path"),
        ("C:book", "like a path"), ("\\\\server\\share", "like a path"), ("%2e%2e%2fbook", "like a path"), (".plait", "like a path"),
        ("~root", "like a path"), ("$(reboot)", "like a path"), ("CON", "like a device"), ("nul.plait", "like a device"),
        ("Lpt1", "like a device"), ("COM9 ", "like a device"), ("Pebble.", "can't keep"), ("x" * 81, "longer than 80"))},
    "no name at all": (lambda: GOOD.replace('"Pebble Bob"', '""'), "its head doesn't say"),
    "one name twice": (lambda: more('hair "Little Reed"\nkind plain'), "one name|declared twice"),
    "names alike but for capitals": (lambda: more('ornament "PEBBLE BEAD"\nkind bead\nweight 1 g'), "one name to some computers"),
    "names alike but for their letters": (lambda: more('ornament "Pebble \uff42ead"\nkind bead\nweight 1 g'), "one name to some computers"),
    # What has no business in it.
    "a client": (lambda: more('wearer "Somebody"\nage 30 years'), "holds a wearer"),
    "a house": (lambda: more('house "Ours"\nlabour 1 USD per hour'), "holds a house"),
    "a comment": (lambda: more("# call me"), "a comment in it"),
    "a hair nobody uses": (lambda: more('hair "Free Hair"\nkind plain\nfibre pbt\npack 80 g\nflat 40 in'), "doesn't use"),
    "an ornament nobody uses": (lambda: more('ornament "Bell"\nkind bead\nweight 1 g'), "doesn't use"),
    "a look nobody asked for": (lambda: more('recipe "Other"\ntechnique plait'), "isn't based on"),
    "something expected of a client": (lambda: resealed(lambda body: body.replace("wearing 8 in", 'wearing 8 in\nexpect sections at most 5 for wearer "Pim"')), "by name"),
    # What can't be.
    "a hair that is missing": (lambda: resealed(lambda body: body[: body.index('hair "Little Reed"')] + body[body.index('ornament "'):]), "isn't in it"),
    "a base that is missing": (lambda: resealed(lambda body: body.replace('recipe "Pebble Bob" version 1', 'recipe "Pebble Bob" version 1 based on "Gone"')), "no look"),
    "a look based on itself": (lambda: resealed(lambda body: body.replace('recipe "Pebble Bob" version 1', 'recipe "Pebble Bob" version 1 based on "Pebble Bob"')), "based on each other"),
    "words the language doesn't have": (lambda: more("import os"), "not a word|has no|means nothing|not understood"),
    "a rule with a built-in code": (lambda: more('rule "mine"\ncode L05\nseverity note\nif sections over 1\nmessage "m"'), "built-in rule"),
    "two rules of one code": (lambda: more('rule "mine"\ncode X02\nseverity note\nif sections over 1\nmessage "m"'), "have the code"),
    "three hundred rules": (lambda: more("".join(RULE.format(n=n) for n in range(300))), "more than 200 rules"),
    "a thousand hairs": (lambda: more("\n".join(f'hair "h{n}"' for n in range(1000))), "more than 100 hairs"),
    "a hundred looks": (lambda: more("\n".join(f'recipe "r{n}" based on "r{n + 1}"' for n in range(100))), "more than 33 recipes"),
    "brackets without end": (lambda: more('rule "deep"\ncode Z01\nseverity note\nif ' + "(" * 900 + "sections over 1" + ")" * 900 + '\nmessage "m"'),
                             "nested too deeply|not understood|changed after|brackets"),
    "an edition to come": (lambda: GOOD.replace("edition 1", "edition 99"), "edition 99"),
}


def test_there_are_more_than_thirty() -> None:
    assert len(CASES) > 60
    assert read_parcel(GOOD.encode()).look.name == "Pebble Bob", "and the parcel they are made from is good"
    assert read_parcel(resealed(lambda body: body).encode()).look.name == "Pebble Bob", "and so is one sealed again"


@pytest.mark.parametrize(("make", "reason"), CASES.values(), ids=CASES.keys())
def test_it_is_refused_with_a_reason(make: Callable[[], "str | bytes"], reason: str) -> None:
    data = make()
    with pytest.raises(Refused) as refused:
        read_parcel(data if isinstance(data, bytes) else data.encode())
    assert re.search(reason, refused.value.message), refused.value.message
    assert refused.value.help and len(refused.value.message) < 400


@pytest.mark.parametrize("case", ["a zip with ..", "a look named '../../book'", "a hair made heavier", "a client", "cut short"])
def test_the_command_writes_nothing(book: Path, tmp_path: Path, plait, case: str) -> None:
    data = CASES[case][0]()
    parcel = tmp_path / "hostile.parcel"
    parcel.write_bytes(data if isinstance(data, bytes) else data.encode())
    before = sorted(path for path in tmp_path.rglob("*"))
    got = plait("unpack", parcel, book, "--rules", "accept")
    assert got.code == 1 and "the parcel is refused" in got.err and "try:" in got.err and "Traceback" not in got.err
    assert sorted(path for path in tmp_path.rglob("*")) == before


def test_a_folder_a_pipe_or_a_missing_file_is_no_parcel(book: Path, tmp_path: Path, plait) -> None:
    assert "is a folder" in plait("unpack", tmp_path, book).err
    assert "no file" in plait("unpack", tmp_path / "gone", book).err
    assert "no folder" in plait("unpack", tmp_path / "gone", tmp_path / "no book").err
    if hasattr(os, "mkfifo"):
        os.mkfifo(tmp_path / "pipe")
        assert "a device or a pipe" in plait("unpack", tmp_path / "pipe", book).err
