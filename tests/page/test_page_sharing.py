"""Another device on the shop's network: everything of the book but the people in it."""

from __future__ import annotations

import json

import pytest
from desk_at import LOOK, copied_book, page_of

from plaitbook.desk.page.sharing import holds_wearers, without_wearers

SECRET = ("Ilse", "Tomasz", "Marisol", "Adaeze")


@pytest.fixture(scope="module")
def guest(tmp_path_factory):
    """The shared book as asked with a paired device's cookie. The connection is this machine's, the cookie isn't its own."""
    with page_of(copied_book(tmp_path_factory.mktemp("shared") / "book"), shared=True) as served:
        owner = served.cookie
        _, headers, _ = served.raw("POST", "/pair", f"code={served.door.code}".encode(), cookie="", content_type="application/x-www-form-urlencoded")
        served.cookie = headers["set-cookie"].split(";")[0]
        served.owner = owner
        yield served


def test_a_guest_sees_looks_and_no_people(guest):
    book = guest.get("book")[1]
    assert book["guest"] and len(book["looks"]) >= 8 and book["wearers"] == [] and book["code"] == "" and book["folder"] == ""
    assert not any(name in json.dumps(book) for name in SECRET)


@pytest.mark.parametrize("path, data", [
    ("open", {"name": "wearers.plait"}), ("history", {"name": "wearers.plait"}), ("look", {"file": "wearers.plait", "name": "A"}),
    ("draft", {"name": "looks/x.plait", "tab": "tabaaaaaaaa1", "text": 'wearer "Eve"\n'}), ("wearer", {"name": "Eve"}), ("begin", {}),
    ("save", {"name": "wearers.plait", "tab": "tabaaaaaaaa1", "base": "", "text": "edition 1\n"}),
    ("card", {"name": LOOK, "text": "edition 1\n", "wearer": "Ilse"}), ("paper", {"name": LOOK, "text": "edition 1\n", "wearer": "Ilse"}),
    ("card", {"name": LOOK, "text": 'edition 1\nuse "../.plait/page/history/x.plait"\n'}),
    ("card", {"name": LOOK, "text": 'edition 1\nuse ".plait/x.plait"\n'}),
    ("save", {"name": LOOK, "tab": "tabaaaaaaaa1", "base": "", "text": 'edition 1\nuse "../.plait/x.plait"\n'}),
])
def test_a_guest_gets_nothing_of_them(path, data, guest):
    before = guest.text("wearers.plait")
    status, answer = guest.post(path, data)
    assert status in (403, 409), answer
    assert not any(name in json.dumps(answer) for name in SECRET if name not in json.dumps(data))
    assert guest.text("wearers.plait") == before


def test_a_guest_may_write_looks(guest):
    version = guest.post("open", {"name": "looks/shingle.plait"})[1]["version"]
    text = guest.text("looks/shingle.plait") + '\n# by the tablet\n'
    assert guest.post("save", {"name": "looks/shingle.plait", "tab": "tabaaaaaaaa1", "base": version, "text": text})[1]["saved"]


def test_completion_gives_a_guest_no_names(guest):
    text = guest.text() + 'expect packs of base between 1 and 2 for wearer "'
    lines = text.split("\n")
    answer = guest.post("complete", {"name": LOOK, "text": text, "line": len(lines), "column": len(lines[-1]) + 1})
    assert not any(name in json.dumps(answer) for name in SECRET)
    answer = guest.post("card", {"name": LOOK, "text": text + 'Ilze"\n'})
    assert not any(name in json.dumps(answer) for name in SECRET), "nor does a hint at a misspelt one"


def test_a_sent_station_card_has_no_name(guest):
    question = {"name": LOOK, "text": guest.text(), "wearer": "Adaeze"}
    own = guest.post("station", question, cookie=guest.owner)[1]
    sent = guest.post("station", {**question, "send": True}, cookie=guest.owner)[1]
    assert not own["sent"] and sent["sent"]
    assert b"Adaeze" in guest.raw("GET", own["address"], cookie=guest.owner)[2]
    assert guest.raw("GET", own["address"])[0] == 404, "what wasn't sent isn't there"
    status, _, body = guest.raw("GET", sent["address"])
    assert status == 200 and b"Adaeze" not in body
    assert sent["address"].rsplit("/", 1)[1] in [one["id"] for one in guest.get("book")[1]["sent"]]


def test_blanking_keeps_everything_else_in_its_place():
    text = 'edition 1\nhair "A"\nkind plain\nwearer "Eve"\nage 30 years\nallergies "latex"\nhouse "B"\ncurrency EUR\n'
    assert without_wearers(text, "a.plait") == 'edition 1\nhair "A"\nkind plain\n\n\n\nhouse "B"\ncurrency EUR\n'
    assert without_wearers('edition 1\n- Wearer "Eve\nage 3 years\n', "a.plait") == "edition 1\n", "what can't be told apart goes whole"
    assert not holds_wearers(shipped(LOOK), LOOK)


def shipped(name: str) -> str:
    from shipped_book import shipped_text

    return shipped_text(name)
