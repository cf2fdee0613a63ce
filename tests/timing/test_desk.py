"""Re-planning, fitting, quoting and the calendar, on the demo book."""

from __future__ import annotations

import json
import re
from datetime import datetime, timedelta
from decimal import Decimal
from pathlib import Path

import pytest

from visit_book import demo_book, run
from plaitbook.desk.durations import minutes_of, packs_of, spoken
from plaitbook.desk.fitting import Change, Looks, cost_text, distance, spaced
from plaitbook.desk.quoting import client_view, house_view, money_text, quote_text
from plaitbook.passes.quote import price_service
from scenes import scene


@pytest.fixture()
def look(tmp_path: Path) -> Path:
    return demo_book(tmp_path)


@pytest.mark.parametrize("text, minutes", [
    ("4 h 50 min", 290), ("2 h", 120), ("2½ h", 150), ("1 h 50", 110), ("90 min", 90), ("4:50", 290), ("1.5 h", 90), ("", None),
    ("soon", None), ("4", None), ("4 kg", None), ("2 h x", None), ("½", None)])
def test_durations_as_people_type_them(text: str, minutes: float | None) -> None:
    assert minutes_of(text) == (None if minutes is None else pytest.approx(minutes))


def test_packs_and_spoken_minutes() -> None:
    assert packs_of("1⅓ packs") == pytest.approx(4 / 3) and packs_of("4") == 4 and packs_of("lots") is None and packs_of("-1") is None
    assert [spoken(m) for m in (0, 59.6, 125, 120)] == ["0 min", "1 h", "2 h 05 min", "2 h"]


# --- re-planning -----------------------------------------------------------------------


def replan(capsys, look: Path, *arguments: object) -> dict:
    code, out, err = run(capsys, "replan", look, "--wearer", "Ilse", "--format", "json", *arguments)
    assert code == 0, err
    return json.loads(out)


def test_replanning_gives_a_new_clock_packs_and_checkpoints(look: Path, capsys) -> None:
    planned = replan(capsys, look, "--done", 0, "--elapsed", "0 min")
    count = planned["sections"]
    fewer = replan(capsys, look, "--sections", count - 6, "--done", 20, "--elapsed", "2 h")
    assert fewer["sections"] == count - 6
    as_many = replan(capsys, look, "--done", 20, "--elapsed", "2 h")
    assert fewer["elapsed"] < fewer["median"] < fewer["p80"] < fewer["p95"] and fewer["median"] < as_many["median"]
    done = [c[0] for c in fewer["checkpoints"]]
    assert done == sorted(done) and done[0] > 20 and done[-1] == count - 6
    assert all(minute > 120 for _, _, minute in fewer["checkpoints"])
    for _, before, now, left in fewer["packs"]:
        assert 0 < left < now < before
        assert left == pytest.approx(now * (1 - 20 / (count - 6)))


def test_a_slow_start_lengthens_the_rest_but_less_than_it_says(look: Path, capsys) -> None:
    usual = replan(capsys, look, "--done", 20, "--elapsed", "2 h")
    slow = replan(capsys, look, "--done", 20, "--elapsed", "3 h")
    assert 1 < slow["pace"] / usual["pace"] < slow["seen"] / usual["seen"]
    assert slow["median"] > usual["median"] + 60


def test_nothing_done_yet_is_the_card_again(look: Path, capsys) -> None:
    same = replan(capsys, look, "--done", 0, "--elapsed", "0 min")
    assert same["pace"] == 1 and same["median"] == pytest.approx(same["was"])
    _, out, _ = run(capsys, "plan", look, "--wearer", "Ilse")
    told = json.loads(out)["timing"]["breaks"]
    assert told and [minute for minute, _ in same["breaks"]] == pytest.approx([begins for begins, _ in told])


def test_breaks_to_come_are_told(look: Path, capsys) -> None:
    late = replan(capsys, look, "--done", 60, "--elapsed", "5 h")
    assert late["breaks"] and all(300 <= minute < late["median"] for minute, _ in late["breaks"])
    code, out, _ = run(capsys, "replan", look, "--wearer", "Ilse", "--done", 20, "--elapsed", "2 h")
    assert code == 0 and "breaks of 15 min to come: " in out and max(map(len, out.splitlines())) <= 80


def test_replanning_in_words_has_clock_times(look: Path, capsys) -> None:
    code, out, _ = run(capsys, "replan", look, "--wearer", "Ilse", "--done", 20, "--elapsed", "2 h")
    assert code == 0 and "4 days in 5 by" in out and "[ ]" in out and "Dune:" in out and "(1" in out


@pytest.mark.parametrize("wrong", [["--done", 99999, "--elapsed", "2 h"], ["--done", 3, "--elapsed", "soon"],
                                   ["--done", 3, "--elapsed", "2 h", "--sections", 0]])
def test_a_replan_that_cannot_be_says_why(look: Path, capsys, wrong: list) -> None:
    code, out, err = run(capsys, "replan", look, *wrong)
    assert code == 2 and not out and "try:" in err


# --- fitting ----------------------------------------------------------------------------


@pytest.fixture()
def few_plans(monkeypatch: pytest.MonkeyPatch) -> None:
    """Fewer ways tried than the command's own bound, to be quick."""
    monkeypatch.setattr("plaitbook.desk.fitting.MOST_PLANS", 24)


@pytest.mark.usefixtures("few_plans")
def test_fit_offers_the_nearest_first_and_says_what_it_costs(look: Path, capsys) -> None:
    code, out, err = run(capsys, "fit", look, "--wearer", "Ilse", "--within", "5 h")
    assert code == 0, err
    offers = [line for line in out.splitlines() if line[:1].isdigit()]
    costs = [line for line in out.splitlines() if "costs:" in line]
    assert 1 <= len(offers) == len(costs) and "not" in costs[0]
    for line in out.splitlines():
        if "4 days in 5 within" in line and not line.startswith("as it is"):
            assert minutes_of(line.split("within ")[1].split(";")[0]) <= 300
    assert max(map(len, out.splitlines()[1:])) <= 80
    if "larger each way" in out:
        assert re.search(r"larger each way \(grid [^)]* in, not [^)]*width [^)]* mm, not", " ".join(out.split())), "what to write is said"


@pytest.mark.usefixtures("few_plans")
def test_fit_knows_budgets_and_packs(look: Path, capsys) -> None:
    for limit, value in (("--budget", "300"), ("--packs", "6")):
        code, out, err = run(capsys, "fit", look, "--wearer", "Ilse", limit, value)
        assert code == 0 and "costs:" in out, err
    assert "as it is" in run(capsys, "fit", look, "--wearer", "Ilse", "--within", "20 h")[1]
    code, _, err = run(capsys, "fit", look, "--wearer", "Ilse", "--within", "10 min")
    assert code == 1 and "nothing tried fits" in err


@pytest.mark.usefixtures("few_plans")
def test_fit_offers_only_real_changes_each_once(look: Path, capsys) -> None:
    code, out, _ = run(capsys, "fit", look, "--wearer", "Ilse", "--within", "6 h", "--budget", "400")
    offers = [line.split(". ", 1)[1] for line in out.splitlines() if line[:1].isdigit()]
    assert code == 0 and 1 <= len(offers) == len(set(offers)) <= 8
    # As the look has it already, or a step that the rest would only undo.
    assert not any(word in offer for offer in offers for word in ("mid back", "medium", "small", "waist"))
    costs = [line for line in out.splitlines() if "costs:" in line]
    assert len(set(costs)) == len(costs) and "nothing one sees" not in out and ".0 accents" not in out


def test_more_of_the_same_is_no_way_of_its_own() -> None:
    one = Change(size=1.2)
    assert Change(size=1.3).holds(one) and Change(picks=(("size", "large"),), size=1.2).holds(one)
    assert not Change(spacing=2).holds(one) and not one.holds(Change(picks=(("size", "large"),)))
    assert [spaced(9, 1.5), spaced(1, 1.25)] == [14, 2]


@pytest.mark.parametrize("wrong", [[], ["--within", "soon"], ["--budget", "much"], ["--budget", "NaN"], ["--packs", "few"]])
def test_a_wish_that_is_none_says_how_to_write_it(look: Path, capsys, wrong: list[str]) -> None:
    code, _, err = run(capsys, "fit", look, *wrong)
    assert code == 2 and "try:" in err


def test_the_distance_between_looks_grows_with_each_change() -> None:
    base = Looks(60, 7.0, 450.0, 9.0, 300, 330, Decimal(200), 3.0)
    sparser, wider = base._replace(accents=6.0), base._replace(width_mm=9.0, braids=45)
    assert 0 == distance(base, base) < distance(base, sparser) < distance(base, wider)
    assert distance(base, wider) == pytest.approx(distance(wider, base))


def test_what_a_change_costs_is_said_in_the_houses_units() -> None:
    base = Looks(60, 7.0, 457.2, 9.0, 300, 330, Decimal(200), 3.0)
    said = {units: " ".join(cost_text(base, base._replace(length_mm=254.0), units)).replace("\u00a0", " ") for units in ("inch", "metric")}
    assert said == {"inch": "10 in long, not 18 in", "metric": "25.5 cm long, not 45.5 cm"}


# --- quotes ------------------------------------------------------------------------------


def test_the_client_sees_no_margin_and_the_house_does(look: Path, capsys) -> None:
    code, client, _ = run(capsys, "quote", look, "--wearer", "Ilse")
    assert code == 0 and "$" in client and "deposit" in client and "front refresh" not in client
    assert "front refresh, another visit: from" in run(capsys, "quote", look, "--wearer", "Ilse", "--refresh")[1]
    assert not any(word in client for word in ("margin", "overhead", "labour"))
    code, house, _ = run(capsys, "quote", look, "--wearer", "Ilse", "--house-view")
    assert code == 0 and all(word in house for word in ("margin", "overhead", "labour", "front refresh"))
    assert "€" in run(capsys, "quote", look, "--wearer", "Ilse", "--house", "Zimmer Sieben", "--locale", "de_DE")[1]
    assert run(capsys, "quote", look, "--locale", "nowhere")[0] == 2


def test_both_views_add_up_to_the_same_total() -> None:
    recipe, wearer, house, parts = scene(house={"overhead": Decimal("0.1"), "tax": Decimal("0.2"), "discount": Decimal("0.05"),
                                                "round_to": Decimal(5), "consumables": Decimal(9)})
    quote = price_service(recipe, wearer, house, parts.material, parts.timing).part
    client, inside = client_view(quote), house_view(quote, house)
    assert sum(amount for _, amount, _ in client.lines) == quote.total == client.total
    assert sum(amount for label, amount, _ in inside.lines if not label.startswith("margin")) == quote.total
    margin = next(amount for label, amount, _ in inside.lines if label.startswith("margin"))
    amounts = {line.label: line.amount for line in quote.lines}
    assert margin == amounts["overhead"] + amounts["discount"] + amounts.get("rounding", 0)
    assert quote_text(quote, client, "en_US").count("\n") >= 4
    bare = quote.model_copy(update={"unpriced": ("Dune", "Kelp", "Pip")})
    assert "\ntotal without Dune, Kelp and Pip  " in quote_text(bare, client_view(bare), "en_US")


@pytest.mark.parametrize("currency, locale, text", [
    ("EUR", "de_DE", "1.234,50\xa0€"), ("USD", "en_US", "$1,234.50"), ("JPY", "en_US", "¥1,234"), ("KWD", "en_US", "KWD1,234.500")])
def test_money_has_the_digits_of_iso_4217_in_every_locale(currency: str, locale: str, text: str) -> None:
    assert money_text(Decimal("1234.5" if currency != "JPY" else "1234"), currency, locale) == text


# --- calendar -----------------------------------------------------------------------------


@pytest.mark.parametrize("zone", [None, "Europe/Berlin"])
def test_the_calendar_parses_and_holds_prep_chair_breaks_and_refresh(look: Path, capsys, tmp_path: Path, zone: str | None) -> None:
    icalendar = pytest.importorskip("icalendar")
    out = tmp_path / "visit.ics"
    code, _, err = run(capsys, "calendar", look, "--wearer", "Ilse", "--start", "2027-03-04 09:00", "-o", out, "--refresh",
                       *(["--zone", zone] if zone else []))
    assert code == 0, err
    data = out.read_bytes()
    assert all(len(line) <= 75 for line in data.split(b"\r\n"))
    calendar = icalendar.Calendar.from_ical(data)
    assert not calendar.errors and calendar["VERSION"] == "2.0"
    events = {str(e["SUMMARY"]).split(":")[0]: e for e in calendar.walk("VEVENT")}
    chair = events["Saltmarsh"]
    start = chair.decoded("DTSTART")
    assert start.replace(tzinfo=None) == datetime(2027, 3, 4, 9) and (start.tzinfo is None) == (zone is None)
    code, plan, _ = run(capsys, "plan", look, "--wearer", "Ilse")
    timing = json.loads(plan)["timing"]
    assert chair.decoded("DTEND") - start == timedelta(minutes=round(timing["p80_minutes"]))
    breaks = [e for e in calendar.walk("VEVENT") if str(e["SUMMARY"]) == "Break"]
    assert [(e.decoded("DTSTART") - start) / timedelta(minutes=1) for e in breaks] == [round(b) for b, _ in timing["breaks"]]
    prep = events["Prepare"]
    assert prep.decoded("DTEND") <= start and prep.decoded("DTEND") - prep.decoded("DTSTART") == timedelta(
        minutes=round(timing["ahead_minutes"]))
    assert events["Front refresh"].decoded("DTSTART") - start == timedelta(weeks=3)
    uids = [str(e["UID"]) for e in calendar.walk("VEVENT")]
    assert len(set(uids)) == len(uids) == 3 + len(breaks)
    assert "Front refresh" not in run(capsys, "calendar", look, "--wearer", "Ilse", "--start", "2027-03-04 09:00")[1]


@pytest.mark.parametrize("wrong", [["--start", "tomorrow"], ["--start", "2027-03-04 09:00", "--zone", "Nowhere/Here"]])
def test_a_moment_that_is_none_says_how_to_write_it(look: Path, capsys, wrong: list[str]) -> None:
    code, _, err = run(capsys, "calendar", look, *wrong)
    assert code == 2 and "try:" in err


# --- what is imported, and money ------------------------------------------------------------


@pytest.mark.parametrize("library", ["babel", "icalendar", "sqlite3"])
def test_a_card_as_text_needs_none_of_these(look: Path, library: str) -> None:
    import subprocess
    import sys

    code = (f"import sys\nfrom plaitbook.desk.command import main\n"
            f"main(['card', {str(look)!r}, '--wearer', 'Ilse', '--format', 'text', '-o', {str(look) + '.txt'!r}])\n"
            f"sys.exit({library!r} in sys.modules)")
    assert subprocess.run([sys.executable, "-c", code], capture_output=True).returncode == 0


@pytest.mark.parametrize("module", ["plaitbook.desk.quoting", "plaitbook.desk.fitting"])
def test_the_desk_makes_no_float_of_money(module: str) -> None:
    """Quoting holds no float at all; fitting compares totals as the decimals they are."""
    import ast
    import importlib

    source = ast.parse(Path(importlib.import_module(module).__file__).read_text("utf-8"))
    floats = [node for node in ast.walk(source) if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "float"
              and "total" in ast.unparse(node)]
    assert not floats
    if module.endswith("quoting"):
        assert not [n for n in ast.walk(source) if isinstance(n, ast.Constant) and isinstance(n.value, float)]


def test_prices_stay_exact_to_the_last_digit() -> None:
    """0.1 has no binary form; three thousand tenths are three hundred all the same."""
    from fractions import Fraction

    a_scene = scene(accent_ornament=True, bead={"price": Decimal("0.1")}, house={"labour_per_hour": Decimal("0.1")})
    quote = price_service(*a_scene[:3], a_scene.parts.material, a_scene.parts.timing).part
    beads = next(line for line in quote.lines if line.label == "Pip")
    assert Fraction(beads.amount) == Fraction(a_scene.parts.material.ornaments[0].count, 10)
