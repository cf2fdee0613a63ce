"""Throw a million texts at the compiler: ``python tests/hardening/fuzz.py --inputs 1000000``.

Four sources, each with its own share of the inputs: shipped recipes with
random edits, read (and every sixteenth one tidied); the same with changed
numbers and lines, compiled whole for a wearer in a house; statements from the
grammar, by Hypothesis and by our own walk; and a coverage-guided run of
atheris, where that is installed (its share goes to the edits elsewhere).

An escape is any exception but the two that the desk catches, any broken
promise of ``hardening_checks``, more CPU seconds than the limit, or more
memory than the limit. Each escape is made small and written to
``tests/hardening/cases/``, where the ordinary tests try it for ever after.
The same ``--seed`` gives the same inputs (atheris apart, which follows coverage).
"""

from __future__ import annotations

import argparse
import hashlib
import multiprocessing
import os
import queue
import signal
import subprocess
import sys
import tempfile
import time
import traceback
from pathlib import Path
from random import Random
from typing import Any, Callable, Iterator

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE.parent), str(HERE)]

CASES = HERE / "cases"
READ_LIMIT, COMPILE_LIMIT = 2.0, 20.0
"""CPU seconds for one text of up to 40 000 characters."""
MEMORY_LIMIT = 2 * 1024**3
"""Bytes of address space for one process."""
SHARES = (("read", 0.875), ("walk", 0.06), ("grammar", 0.005), ("atheris", 0.04), ("compile", 0.02))
"""Source -> share of the inputs."""
BATCH = 500


class Slow(Exception):
    """An input took more CPU time than its limit."""


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--inputs", type=int, default=1_000_000)
    parser.add_argument("--processes", type=int, default=2)
    parser.add_argument("--seed", type=int, default=8)
    parser.add_argument("--only", choices=[name for name, _ in SHARES], help="one source only")
    arguments = parser.parse_args()
    started = time.time()
    plan = jobs(arguments.inputs, arguments.processes, arguments.seed, arguments.only)
    tell: Any = multiprocessing.get_context("spawn").Queue()
    workers = [multiprocessing.get_context("spawn").Process(target=work, args=(part, tell)) for part in plan]
    for worker in workers:
        worker.start()
    done: dict[str, int] = {}
    extra: dict[str, int] = {}
    escapes: list[str] = []
    peak = 0
    while any(worker.is_alive() for worker in workers) or not tell.empty():
        try:
            source, count, more, found, memory = tell.get(timeout=1)
        except queue.Empty:
            continue
        done[source] = done.get(source, 0) + count
        extra[source] = extra.get(source, 0) + more
        escapes += found
        peak = max(peak, memory)
        if sys.stderr.isatty() or sum(done.values()) % 5_000 < count:
            print(f"{sum(done.values()):>9,} of {arguments.inputs:,}  {len(escapes)} escapes  {time.time() - started:.0f} s",
                  file=sys.stderr, flush=True)
    crashed = [worker.exitcode for worker in workers if worker.exitcode]
    print(f"seed {arguments.seed}, {time.time() - started:.0f} s, {arguments.processes} processes, "
          f"peak {peak / 1024**2:.0f} MB a process; atheris {'was used' if has_atheris() else 'is not installed'}")
    meaning = {"read": "tidied too", "walk": "compiled too", "grammar": "read without a mistake", "compile": "gave a plan",
               "atheris": "compiled too"}
    for source, count in sorted(done.items()):
        print(f"{source:<8} {count:>9,} inputs, of which {extra[source]:,} {meaning[source]}")
    print(f"all      {sum(done.values()):>9,} inputs, {len(escapes)} escapes")
    for name in escapes:
        print(f"  {name}")
    if crashed:
        print(f"a process ended with {crashed}: that is an escape too")
    return 1 if escapes or crashed else 0


def jobs(inputs: int, processes: int, seed: int, only: str | None) -> list[list[tuple[str, int, int]]]:
    """(source, inputs, seed) rows for each process. Without atheris its share goes to ``read``."""
    shares = {only: 1.0} if only else dict(SHARES)
    if "atheris" in shares and not has_atheris():
        shares["read"] = shares.get("read", 0) + shares.pop("atheris")
    counts = {source: int(inputs * share) for source, share in shares.items()}
    counts[max(counts, key=lambda source: counts[source])] += inputs - sum(counts.values())
    return [[(source, count // processes + (count % processes if p == 0 else 0), seed * 1000 + p) for source, count in counts.items()]
            for p in range(processes)]


def has_atheris() -> bool:
    from importlib.util import find_spec

    return find_spec("atheris") is not None


def work(part: list[tuple[str, int, int]], tell: Any) -> None:
    """One process: each source in turn."""
    _bound_memory()
    runs: dict[str, Callable[[int, int], Iterator[Result]]] = {
        "read": read_source, "walk": walk_source, "grammar": grammar_source, "compile": compile_source, "atheris": atheris_source}
    for source, count, seed in part:
        for tried, more, found in runs[source](count, seed):
            tell.put((source, tried, more, found, _peak()))


Result = tuple[int, int, list[str]]
"""(inputs tried, how many of them went further, names of escapes)."""


def read_source(count: int, seed: int) -> Iterator[Result]:
    """Shipped texts with one to three random edits; every sixteenth is tidied too."""
    from hardening_checks import check_reading
    from mutating import corpus, mutated, window

    random = Random(f"read {seed}")

    def one(at: int) -> tuple[str, list[str]]:
        text = mutated(window(random.choice(corpus()), random), random, random.randint(1, 3))
        tidied = at % 16 == 0
        return tried(text, lambda t: check_reading(t, tidied), READ_LIMIT, tidied)

    yield from _batches(count, one)


def walk_source(count: int, seed: int) -> Iterator[Result]:
    """Files of statements walked out of the grammar; every twentieth is compiled as well."""
    from grammar_walk import walked_file
    from hardening_checks import check_compiling, check_reading

    random = Random(f"walk {seed}")

    def one(at: int) -> tuple[str, list[str]]:
        text = walked_file(random)
        if at % 20 == 0:
            return tried(text, check_compiling, COMPILE_LIMIT, True)
        return tried(text, lambda t: check_reading(t, at % 4 == 1), READ_LIMIT, False)

    yield from _batches(count, one)


def compile_source(count: int, seed: int) -> Iterator[Result]:
    """Whole looks and book files with changed numbers, words and lines, compiled for a wearer in a house."""
    from hardening_checks import book, check_compiling
    from mutating import nudged, mutated
    from shipped_book import shipped_looks, shipped_text, shipped_wearers

    random = Random(f"compile {seed}")
    looks, houses = shipped_looks(), [None, "Harbour Chair", "Zimmer Sieben"]

    def one(at: int) -> tuple[str, list[str]]:
        change = random.choice((nudged, nudged, nudged, mutated))
        text, others = shipped_text(random.choice(looks)), {}
        if random.random() < 0.7:
            text = change(text, random, random.randint(1, 3))
        if random.random() < 0.5:
            name = random.choice(sorted(book()))
            others = {name: change(book()[name], random, random.randint(1, 4))}
        wearer, house = random.choice((None, *shipped_wearers())), random.choice(houses)
        plans: list[bool] = []

        def check(t: str) -> None:
            plans.append(check_compiling(t, others, wearer, house))

        went, found = tried(text, check, COMPILE_LIMIT, True, others)
        return ("yes" if plans and plans[0] else ""), found

    yield from _batches(count, one)


def grammar_source(count: int, seed: int) -> Iterator[Result]:
    """Statements by ``hypothesis.extra.lark``: odd letters, no spaces, what no person would write."""
    from hypothesis import HealthCheck, Phase, given, settings, strategies
    from hypothesis import seed as seeded
    from hypothesis.extra.lark import from_lark

    from grammar_walk import starts, whole_grammar, _HEADS
    from hardening_checks import check_reading

    strategy = strategies.one_of(*(
        from_lark(whole_grammar(), start=start).map((_HEADS.get(start, "own hair ")).__add__) for start in starts()))
    for first in range(0, count, BATCH):
        size = min(BATCH, count - first)
        texts: list[str] = []

        @seeded(seed * 100_003 + first)
        @settings(max_examples=size, database=None, deadline=None, derandomize=False, phases=[Phase.generate],
                  suppress_health_check=list(HealthCheck))
        @given(strategy)
        def collect(line: str) -> None:
            texts.append(line)

        collect()
        good, found = 0, []
        for line in texts:
            text = f'edition 1\nrecipe "Drawn"\n{line}\n'
            clean: list[bool] = []
            found += tried(text, lambda t: clean.append(not check_reading(t)[1]), READ_LIMIT, False)[1]
            good += bool(clean and clean[0])
        yield len(texts), good, found


def atheris_source(count: int, seed: int) -> Iterator[Result]:
    """libFuzzer through atheris, in a process of its own: its run ends by leaving the process."""
    with tempfile.TemporaryDirectory() as folder:
        from mutating import corpus, words

        seeds = Path(folder) / "seeds"
        seeds.mkdir()
        for at, text in enumerate(corpus()):
            (seeds / str(at)).write_text(text, "utf-8")
        dictionary = Path(folder) / "words.dict"
        dictionary.write_text("".join(f'"{word}"\n' for word in words() if word.isascii() and '"' not in word and "\\" not in word))
        log = Path(folder) / "found"
        log.touch()
        done = subprocess.run(
            [sys.executable, str(HERE / "fuzz_coverage.py"), str(log), f"-runs={count}", f"-seed={seed % 2**31 or 1}", "-max_len=1200",
             f"-dict={dictionary}", "-rss_limit_mb=0", "-timeout=120", "-print_final_stats=1", str(seeds)],
            stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, errors="replace")
        tried_so_far, compiled, *found = log.read_text("utf-8").split() or ("0", "0")
        if done.returncode:
            found.append(f"atheris ended with {done.returncode}: {done.stdout[-2000:]}")
        yield int(tried_so_far), int(compiled), found


def _batches(count: int, one: Callable[[int], tuple[str, list[str]]]) -> Iterator[Result]:
    tries, more, found = 0, 0, []
    for at in range(count):
        further, escaped = one(at)
        tries, more, found = tries + 1, more + bool(further), found + escaped
        if tries == BATCH:
            yield tries, more, found
            tries, more, found = 0, 0, []
    if tries:
        yield tries, more, found


# --- one input ----------------------------------------------------------------------


def tried(text: str, check: Callable[[str], Any], limit: float, further: bool,
          others: dict[str, str] | None = None) -> tuple[str, list[str]]:
    """Run one check; an escape is made small, kept, and named."""
    fault = escape_of(text, check, limit)
    if fault is None:
        return ("yes" if further else ""), []
    return "", [keep(smaller(text, check, limit, fault), fault, others)]


def escape_of(text: str, check: Callable[[str], Any], limit: float) -> str | None:
    """The kind of escape and its place, or None."""
    try:
        _within(limit, check, text)
    except Exception as error:  # noqa: BLE001  everything is an escape here
        frames = traceback.extract_tb(error.__traceback__)
        at = next((f for f in reversed(frames) if "plaitbook" in f.filename), frames[-1])
        said = "" if isinstance(error, Slow) else f"{Path(at.filename).name}:{at.lineno}"
        return f"{type(error).__name__} {said} {str(error)[:60] if isinstance(error, AssertionError) else ''}".strip()
    return None


def _within(limit: float, check: Callable[[str], Any], text: str) -> None:
    """Run the check inside a limit of CPU seconds; where there are no such signals, measure."""
    if not hasattr(signal, "setitimer"):
        started = time.process_time()
        check(text)
        if time.process_time() - started > limit:
            raise Slow(f"more than {limit:g} s")
        return

    def late(*_: Any) -> None:
        raise Slow(f"more than {limit:g} s")

    signal.signal(signal.SIGVTALRM, late)
    signal.setitimer(signal.ITIMER_VIRTUAL, limit)
    try:
        check(text)
    finally:
        signal.setitimer(signal.ITIMER_VIRTUAL, 0)


def smaller(text: str, check: Callable[[str], Any], limit: float, fault: str, most: int = 400) -> str:
    """The text with every line and stretch taken out that the same escape doesn't need."""
    kind, tries = fault.split()[0], 0
    for unit in ("\n", ""):
        parts = text.split("\n") if unit else list(text)
        size = max(1, len(parts) // 2)
        while size and tries < most:
            at = 0
            while at < len(parts) and tries < most:
                shorter = parts[:at] + parts[at + size :]
                tries += 1
                again = escape_of(unit.join(shorter), check, limit)
                if again is not None and again.split()[0] == kind:
                    parts = shorter
                else:
                    at += size
            size //= 2
        text = unit.join(parts)
    return text


def keep(text: str, fault: str, others: dict[str, str] | None) -> str:
    """Write the case; its name tells what escaped. Book files that were changed too stand after a mark."""
    CASES.mkdir(exist_ok=True)
    whole = text + "".join(f"\n\f{name}\n{body}" for name, body in (others or {}).items())
    name = f"{fault.split()[0].lower()}-{hashlib.sha256(whole.encode('utf-8', 'surrogatepass')).hexdigest()[:10]}.case"
    (CASES / name).write_bytes(whole.encode("utf-8", "surrogatepass"))
    return f"{name}: {fault}".replace(" ", "\u00a0")


def _bound_memory() -> None:
    if os.name == "posix":
        import resource

        resource.setrlimit(resource.RLIMIT_AS, (MEMORY_LIMIT, resource.getrlimit(resource.RLIMIT_AS)[1]))


def _peak() -> int:
    if os.name != "posix":
        return 0
    import resource

    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * (1 if sys.platform == "darwin" else 1024)


if __name__ == "__main__":
    raise SystemExit(main())
