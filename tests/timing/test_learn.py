"""Learning: known rates come back, few services move little, past predictions are reported, and it can be undone."""

from __future__ import annotations

import math
import random
from pathlib import Path

import pytest

from visit_book import demo_book, run
from plaitbook.desk.learning import Record, fit, held
from plaitbook.desk.log_store import Learned, Service, StageTime, add_services, keep_lesson, read_services, standing_lessons, store_path
from plaitbook.desk.logbook import ratios_of
from plaitbook.passes.rates import DAY_SPREAD

TRUE = {"work the strands": 1.3, "feed in": 0.8, "start the strands": 1.1, "accents": 1.0, "finish the ends": 1.25, "consult": 0.7}
OWN_SPREAD = 0.12
"""Of one stage on one day, beside the day's factor all stages share."""


def simulated(count: int, seed: int) -> dict[str, list[float]]:
    chance = random.Random(seed)
    ratios: dict[str, list[float]] = {stage: [] for stage in TRUE}
    for _ in range(count):
        day = chance.gauss(0, DAY_SPREAD)
        for stage, factor in TRUE.items():
            ratios[stage].append(factor * math.exp(day + chance.gauss(0, OWN_SPREAD)))
    return ratios


def test_thirty_services_recover_known_rates() -> None:
    """Each stage's true factor lies in its stated interval in at least 90 % of 200 repeats."""
    hits = {stage: 0 for stage in TRUE}
    for seed in range(200):
        for factor in fit(simulated(30, seed)):
            hits[factor.stage] += factor.low <= TRUE[factor.stage] <= factor.high
    assert min(hits.values()) >= 180, hits


def test_three_services_stay_near_the_defaults() -> None:
    """On the mean of 200 repeats the rate moves less than half of what the services say."""
    for stage, true in TRUE.items():
        moved = [math.log(f.factor) for seed in range(200) for f in fit(simulated(3, seed)) if f.stage == stage]
        assert abs(sum(moved) / len(moved)) <= 0.5 * abs(math.log(true)) + 0.01


def test_more_services_say_more_and_nothing_says_nothing() -> None:
    assert fit({}) == () == fit({"feed in": []})
    few, many = (fit({"feed in": [1.4] * n})[0] for n in (2, 40))
    assert 1 < few.factor < many.factor < 1.4
    assert few.high - few.low > many.high - many.low


def test_the_record_counts_what_held() -> None:
    assert held([]) is None
    assert held([(300, 290, 320, 340), (330, 290, 320, 340), (350, 290, 320, 340), (290, 290, 320, 340)]) == Record(
        4, 2, 3, pytest.approx((math.log(300 / 290) + math.log(330 / 290) + math.log(350 / 290)) / 4))


def service(number: int, *stages: StageTime) -> Service:
    return Service(f"s{number}", "2027-01-01", "Saltmarsh", "Ilse", "Harbour Chair", minutes=400, median_minutes=380,
                   p80_minutes=420, p95_minutes=450, stages=stages)


def test_a_stage_counts_by_its_own_name_then_by_its_group() -> None:
    ratios, left_out = ratios_of((
        service(1, StageTime("braiding", 220, 200), StageTime("feed in", 90, 60), StageTime("chair", 900, 450)),
        service(2, StageTime("chair", 540, 450)), service(3, StageTime("wash", 900, 15))))
    assert ratios["work the strands"] == [1.1, 1.2] and ratios["feed in"] == [1.5, 1.2]
    assert ratios["consult"] == [1.2] and "cut the hair" not in ratios
    assert len(left_out) == 1 and "wash" in left_out[0]


def test_learn_says_what_moves_puts_it_in_force_and_undoes_it(tmp_path: Path, capsys) -> None:
    look = demo_book(tmp_path)
    store = store_path(look.parents[1])

    def minutes() -> float:
        code, out, err = run(capsys, "replan", look, "--wearer", "Ilse", "--done", 0, "--elapsed", "0 min", "--format", "json")
        assert code == 0, err
        import json
        return json.loads(out)["was"]

    before = minutes()
    add_services(store, tuple(service(n, StageTime("work the strands", 260, 200)) for n in range(12)))
    code, out, _ = run(capsys, "learn", look, "--dry-run")
    assert code == 0 and '"stitch hair" 0.0171 s → ' in out and "12 services" in out and not standing_lessons(store)
    code, out, _ = run(capsys, "learn", look)
    assert code == 0 and "within the card's 80 % time (100%)" in out and "5 % more" in out
    assert '"stitch hair" 0.0171 s → ' in out and '"feed in"' not in out
    after = minutes()
    assert after > before * 1.03
    _, _, _, moved = standing_lessons(store)["Harbour Chair"]
    # Learning again from the same log moves nothing more: rates are fitted to the base, not to themselves.
    code, out, _ = run(capsys, "learn", look)
    assert code == 0 and "no rate moves" in out and minutes() == after
    assert run(capsys, "learn", look, "--undo")[0] == 0
    assert minutes() == after
    code, out, _ = run(capsys, "learn", look, "--undo")
    assert code == 0 and "→ 0.0171 s" in out and minutes() == before
    assert "nothing that could be undone" in run(capsys, "learn", look, "--undo")[1]
    assert len(read_services(store)) == 12


def test_only_what_was_done_is_learned(tmp_path: Path, capsys) -> None:
    """A wearer who comes washed and dried teaches nothing of washing, a knotted end nothing of dips and rods."""
    look = demo_book(tmp_path)
    for _ in range(3):
        assert run(capsys, "log", look, "--wearer", "Ilse", "--took", "12 h")[0] == 0
    code, out, _ = run(capsys, "learn", look)
    assert code == 0
    _, _, _, moved = standing_lessons(store_path(look.parents[1]))["Harbour Chair"]
    names = {m.operation for m in moved}
    assert {"stitch", "stitch hair", "knot", "consult"} <= names
    assert not names & {"wash", "detangle", "blow-dry", "take down", "dip", "curl rods", "twist", "pick up", "cut"}
    line = next(line for line in out.splitlines() if line.startswith("  finish the ends: "))
    assert " min → " in line and "for Saltmarsh (" in line and '"knot" 4 s → ' in line


def test_what_was_wrongly_learned_goes_back(tmp_path: Path, capsys) -> None:
    look = demo_book(tmp_path)
    store = store_path(look.parents[1])
    keep_lesson(store, "Harbour Chair", "2027-01-01", 3, (Learned("wash", 900, 900, 1305),))
    add_services(store, (service(1, StageTime("work the strands", 260, 200)),))
    code, out, _ = run(capsys, "learn", look)
    assert code == 0 and '"wash" 1305 s → 900 s' in out


def test_a_rate_rewritten_in_the_house_file_wins_over_what_was_learned(tmp_path: Path, capsys) -> None:
    look = demo_book(tmp_path)
    add_services(store_path(look.parents[1]), tuple(service(n, StageTime("feed in", 90, 60)) for n in range(12)))
    assert run(capsys, "learn", look)[0] == 0
    houses = look.parents[1] / "houses.plait"
    houses.write_text(houses.read_text("utf-8").replace("opens 09:00", 'opens 09:00\nrate "feed in" 6.5 s, spread 30 %', 1), "utf-8")
    code, out, _ = run(capsys, "learn", look, "--dry-run")
    assert code == 0 and '"feed in" 6.5 s → ' in out
