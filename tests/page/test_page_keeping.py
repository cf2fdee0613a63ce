"""Nothing is lost: saving over versions, drafts, history, two tabs, and a desk that dies."""

from __future__ import annotations

import json
import subprocess
import sys
import threading
from datetime import datetime, timedelta, timezone

import pytest
from desk_at import LOOK, TAB, page_of

from plaitbook.desk.page import drafts, history
from plaitbook.desk.page.files import MOST_LETTERS, Conflict, read, save, version_of
from plaitbook.desk.page.keeping import own_folder
from plaitbook.desk.page.places import Refused

OTHER = "tabbbbbbbbb2"
NOON = datetime(2026, 3, 1, 12, tzinfo=timezone.utc)


def test_a_save_names_what_it_began_from(tmp_path):
    first = save(tmp_path, "a.plait", "one\n", "")
    assert read(tmp_path, "a.plait") == first
    second = save(tmp_path, "a.plait", "two\n", first.version)
    late = save(tmp_path, "a.plait", "three\n", first.version)
    assert isinstance(late, Conflict) and late.now == second and read(tmp_path, "a.plait").text == "two\n"
    assert save(tmp_path, "a.plait", "two\n", "whatever") == second, "what lies there already is no conflict"
    assert isinstance(save(tmp_path, "a.plait", "new\n", ""), Conflict), "a file that is there isn't new"


def test_a_file_keeps_its_line_endings(tmp_path):
    (tmp_path / "a.plait").write_bytes(b"edition 1\r\n\r\n")
    began = read(tmp_path, "a.plait")
    assert began.text == "edition 1\n\n"
    save(tmp_path, "a.plait", "edition 1\nuse \"b.plait\"\n", began.version)
    assert (tmp_path / "a.plait").read_bytes() == b'edition 1\r\nuse "b.plait"\r\n'


@pytest.mark.parametrize("text", ["x" * (MOST_LETTERS + 1), None, 7, "\ud800"])
def test_what_is_no_text_is_not_saved(text, tmp_path):
    with pytest.raises(Refused):
        save(tmp_path, "a.plait", text, "")
    assert not list(tmp_path.iterdir())


def test_two_tabs_never_overwrite_each_other(writing):
    version = writing.post("open", {"name": LOOK})[1]["version"]
    mine, theirs = writing.text() + "note \"mine\"\n", writing.text() + "note \"theirs\"\n"
    assert writing.post("save", {"name": LOOK, "tab": TAB, "base": version, "text": mine})[1]["saved"]
    answer = writing.post("save", {"name": LOOK, "tab": OTHER, "base": version, "text": theirs})[1]
    assert answer["conflict"] and answer["text"] == mine and writing.text() == mine
    again = writing.post("open", {"name": LOOK})[1]
    assert [d["text"] for d in again["drafts"]] == [theirs], "the text that wasn't saved is kept as a draft"
    assert writing.post("save", {"name": LOOK, "tab": OTHER, "base": answer["version"], "text": theirs})[1]["saved"]
    kept = writing.post("history", {"name": LOOK})[1]["kept"]
    texts = [writing.post("history", {"name": LOOK, "id": one["id"]})[1]["text"] for one in kept]
    assert mine in texts and theirs in texts


SAVE = """
import sys
from pathlib import Path
from plaitbook.desk.page.files import Conflict, save
root, base, mine = Path(sys.argv[1]), sys.argv[2], sys.argv[3]
print("ready", flush=True)
sys.stdin.readline()
print(type(save(root, "a.plait", mine, base)).__name__)
"""


def test_of_two_desks_that_save_at_once_one_is_told(tmp_path):
    """Two processes open on one book: neither may look at the version while the other is writing."""
    base = save(tmp_path, "a.plait", "one\n", "").version
    desks = [subprocess.Popen([sys.executable, "-c", SAVE, str(tmp_path), base, f"desk {n}\n"], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)
             for n in range(4)]
    for desk in desks:
        assert desk.stdout.readline() == "ready\n"
    for desk in desks:
        desk.stdin.write("\n")
        desk.stdin.flush()
    told = [desk.communicate(timeout=60)[0].strip() for desk in desks]
    assert sorted(told) == ["Conflict", "Conflict", "Conflict", "Text"]
    assert read(tmp_path, "a.plait").text == f"desk {told.index('Text')}\n"


def test_a_save_waits_for_the_other_desk_and_not_for_ever(tmp_path, monkeypatch):
    lock = own_folder(tmp_path, "saving") / "lock"
    code = "import sys; from pathlib import Path; from plaitbook.desk.held import held\n" \
           "with held(Path(sys.argv[1])): print('held', flush=True); sys.stdin.readline()"
    other = subprocess.Popen([sys.executable, "-c", code, str(lock)], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)
    assert other.stdout.readline() == "held\n"
    monkeypatch.setattr("plaitbook.desk.page.files.PATIENCE_S", 0.1)
    with pytest.raises(Refused, match="another desk is saving"):
        save(tmp_path, "a.plait", "one\n", "")
    assert not (tmp_path / "a.plait").exists()
    other.communicate("\n", timeout=60)
    assert save(tmp_path, "a.plait", "one\n", "").text == "one\n"


def test_the_other_tab_hears_of_it(writing):
    text = writing.text()
    version = writing.post("open", {"name": LOOK})[1]["version"]
    (writing.root / LOOK).write_text(text + "# from another program\n", "utf-8")
    assert writing.post("draft", {"name": LOOK, "tab": TAB, "base": version, "text": text + "# mine\n"})[1]["version"] != version
    assert writing.post("card", {"name": LOOK, "text": text})[1]["version"] != version
    assert writing.post("save", {"name": LOOK, "tab": TAB, "base": version, "text": text + "# mine\n"})[1]["conflict"]


def test_a_hundred_saves_at_once_lose_nothing(writing):
    text = writing.text()
    version = writing.post("open", {"name": LOOK})[1]["version"]
    answers = []

    def one(n: int) -> None:
        answers.append(writing.post("save", {"name": LOOK, "tab": f"tab{n:09d}", "base": version, "text": f"{text}# {n}\n"})[1])

    threads = [threading.Thread(target=one, args=(n,)) for n in range(40)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sum("saved" in answer for answer in answers) == 1 and sum("conflict" in answer for answer in answers) == 39
    left = drafts.found(writing.root, LOOK)
    kept = [history.text_of(writing.root, LOOK, one.id) for one in history.kept(writing.root, LOOK)]
    everything = {writing.text(), *(d.text for d in left), *kept}
    assert {f"{text}# {n}\n" for n in range(40)} <= everything


def test_a_draft_outlives_the_desk(tmp_path):
    from desk_at import copied_book

    root = copied_book(tmp_path / "book")
    with page_of(root) as served:
        text = served.text() + "# half a thought"
        assert served.post("draft", {"name": LOOK, "tab": TAB, "base": "x", "text": text})[1]["kept"]
    with page_of(root) as served:
        opened = served.post("open", {"name": LOOK})[1]
        assert opened["drafts"][0]["text"] == text and "half a thought" not in opened["text"]
        served.post("aside", {"name": LOOK, "of": TAB})
        assert not served.post("open", {"name": LOOK})[1]["drafts"]
        kept = served.post("history", {"name": LOOK})[1]["kept"]
        assert kept[0]["why"] == "draft" and served.post("history", {"name": LOOK, "id": kept[0]["id"]})[1]["text"] == text


def test_a_draft_that_was_saved_is_done(writing):
    text = writing.text() + "# more\n"
    version = writing.post("open", {"name": LOOK})[1]["version"]
    writing.post("draft", {"name": LOOK, "tab": TAB, "base": version, "text": text})
    writing.post("save", {"name": LOOK, "tab": OTHER, "base": version, "text": text})
    assert writing.post("open", {"name": LOOK})[1]["drafts"] == []


def test_too_many_drafts_move_to_the_history(tmp_path):
    (tmp_path / "a.plait").write_text("x")
    for n in range(drafts.MOST_OF_ONE + 3):
        drafts.put(tmp_path, "a.plait", f"tab{n:09d}", f"text {n}", "", NOON + timedelta(minutes=n))
    assert len(drafts.found(tmp_path, "a.plait")) == drafts.MOST_OF_ONE
    assert {history.text_of(tmp_path, "a.plait", one.id) for one in history.kept(tmp_path, "a.plait")} == {"text 0", "text 1", "text 2"}


@pytest.mark.parametrize("bad", [b"", b"{", b"[]", b'{"name": "a.plait"}', b"\xff", json.dumps({"name": "b.plait", "tab": TAB, "text": "", "base": "", "when": ""}).encode()])
def test_a_spoilt_draft_is_passed_by(bad, tmp_path):
    drafts.put(tmp_path, "a.plait", TAB, "good", "", NOON)
    whole = next((tmp_path / ".plait" / "page" / "drafts").iterdir())
    whole.with_name(whole.name.replace(TAB, OTHER)).write_bytes(bad)
    assert [d.text for d in drafts.found(tmp_path, "a.plait")] == ["good"]


def test_history_keeps_the_newest(tmp_path, monkeypatch):
    monkeypatch.setattr(history, "MOST_KEPT", 3)
    for n in range(6):
        history.keep(tmp_path, "a.plait", f"text {n}", "saved", NOON + timedelta(days=n))
    history.keep(tmp_path, "a.plait", "text 5", "before", NOON + timedelta(days=9))
    kept = history.kept(tmp_path, "a.plait")
    assert [history.text_of(tmp_path, "a.plait", one.id) for one in kept] == ["text 5", "text 4", "text 3"]
    assert kept[0].version == version_of("text 5") and kept[0].when == NOON + timedelta(days=5)


@pytest.mark.parametrize("id", ["../../../book.plait", "x", "", None, 7, "20260301T120000.000000Z-saved-00000000000000000000.plait"])
def test_history_gives_only_its_own(id, tmp_path):
    with pytest.raises(Refused):
        history.text_of(tmp_path, "a.plait", id)


@pytest.mark.parametrize("tab", ["", "short", "../../../x", "A" * 12, "x" * 41, None])
def test_a_tabs_name_is_no_path(tab, tmp_path):
    with pytest.raises(Refused):
        drafts.put(tmp_path, "a.plait", tab, "x", "", NOON)
    assert not list(tmp_path.rglob("*.json"))
