"""Two hundred at once: everybody is answered, with their own answer, and nothing is lost."""

from __future__ import annotations

import threading

from desk_at import LOOK

CLIENTS = 200


def all_at_once(count: int, work) -> list:
    answers: list = [None] * count
    start = threading.Barrier(count)

    def one(n: int) -> None:
        start.wait()
        answers[n] = work(n)

    threads = [threading.Thread(target=one, args=(n,)) for n in range(count)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(120)
    return answers


def test_two_hundred_clients(writing):
    text = writing.text()

    def work(n: int):
        mine = text.replace("Knotless plaits", f"Client {n} plaits")
        kept = writing.post("draft", {"name": LOOK, "tab": f"client{n:06d}", "base": "", "text": mine})
        card = writing.post("card", {"name": LOOK, "text": mine, "tab": f"client{n:06d}", "turn": 1})
        return kept[0], card[0], f"Client {n} plaits" in card[1]["parts"]["head"]["html"]

    assert all_at_once(CLIENTS, work) == [(200, 200, True)] * CLIENTS
    assert writing.text() == text and writing.get("book")[0] == 200


def test_an_older_question_of_a_tab_is_not_answered(writing):
    text = writing.text()
    answers = all_at_once(12, lambda n: writing.post("card", {"name": LOOK, "text": text, "tab": "onetab000001", "turn": n + 1})[1])
    assert "parts" in answers[11] and all("parts" in answer or answer == {"superseded": True} for answer in answers)
    assert writing.post("card", {"name": LOOK, "text": text, "tab": "onetab000001", "turn": 3})[1] == {"superseded": True}
    assert "parts" in writing.post("card", {"name": LOOK, "text": text, "tab": "othertab0001", "turn": 1})[1]


def test_one_clients_text_is_never_anothers(writing):
    """The unsaved text of one tab is no part of what another tab compiles."""
    broken = writing.text().replace("technique plait", "technique nonsense")
    answers = all_at_once(20, lambda n: writing.post("card", {
        "name": LOOK if n % 2 else "looks/plain-saltmarsh.plait",
        "text": broken if n % 2 else writing.text("looks/plain-saltmarsh.plait")})[1])
    assert all(bool(answer["problems"]) == bool(n % 2) for n, answer in enumerate(answers))
