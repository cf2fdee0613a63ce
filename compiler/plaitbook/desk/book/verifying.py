"""``plait check --sealed``: whether looks, and the cards made of them, are exactly as they were sealed."""

from __future__ import annotations

import json
import re
import textwrap
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from ...compile import VERSION
from ...plan.differences import Difference, differences
from ..command import BAD_TEXT, GOOD, report_problems, shown_path
from ..shelf import CantRead, read_text, shelf_for
from .lock import LOCK, Lock, SealedLook, SealedPlan, read_lock
from .opened import Opened, built_in_rules, look_hash, open_looks, plan_parts

CARDS = (".json", ".html", ".htm", ".txt", ".pdf")
_ALOUD = "[bdfghjklmnprstvz][aeiou][bdfghjklmnprstvz][aeiou]"
_PRINTED = re.compile(rf"\b({_ALOUD}(?:-{_ALOUD}){{3}})\b")
"""Both seals of a card, the look's first, whatever language the card's own words are in."""
SHOWN = 12
"""Differences told one by one; the rest are counted."""


@dataclass(frozen=True)
class Verdict:
    """What became of one look, plan or card."""

    what: str
    holds: bool
    said: str
    differs: tuple[str, ...] = ()


def check_sealed(files: list[str], as_json: bool) -> int:
    """Hold each file to its book's seals; 0 when everything is as it was sealed."""
    verdicts: list[Verdict] = []
    for name in files:
        try:
            found = _card(Path(name)) if Path(name).suffix.lower() in CARDS else _looks(name)
        except CantRead as error:
            found = [Verdict(name, False, f"{error.message}; {error.help}")]
        verdicts += found
    if as_json:
        print(json.dumps([vars(v) for v in verdicts], ensure_ascii=False, indent=2))
    else:
        for verdict in verdicts:
            _say(verdict)
    return GOOD if all(v.holds for v in verdicts) else BAD_TEXT


def _say(verdict: Verdict) -> None:
    print(textwrap.fill(f"{verdict.what}: {verdict.said}", 80, subsequent_indent="  ", break_on_hyphens=False))
    for line in verdict.differs[:SHOWN]:
        print(textwrap.fill(line, 80, initial_indent="  - ", subsequent_indent="    ", break_on_hyphens=False))
    if len(verdict.differs) > SHOWN:
        print(f"  - and {len(verdict.differs) - SHOWN} more")


# --- looks ---------------------------------------------------------------------


def _looks(recipe: str) -> list[Verdict]:
    opened = open_looks(recipe)
    if opened.problems:
        report_problems(opened.problems, opened.job, as_json=False)
        return [Verdict(recipe, False, "has mistakes, so nothing can be made of it")]
    lock = read_lock(opened.job.shelf.root / LOCK)
    found = []
    for look in opened.looks:
        sealed = lock.looks.get(look.name) if lock else None
        if lock is None or sealed is None:
            found.append(Verdict(look.name, False, f'not sealed yet; to seal it: plait seal "{recipe}"'))
            continue
        made_of, problems = opened.made_of(look)
        if made_of is None:
            report_problems(problems, opened.job, as_json=False)
            found.append(Verdict(look.name, False, "has mistakes, so nothing can be made of it"))
            continue
        found.append(_look_verdict(look.name, sealed, look_hash(made_of), made_of))
        found += [_plan_verdict(opened, look.name, look_hash(made_of), plan) for plan in sealed.plans]
    if lock is not None and (engine := _engine(lock)):
        found.append(engine)
    return found or [Verdict(recipe, True, "no look in it")]


def _look_verdict(name: str, sealed: SealedLook, found: str, made_of: dict[str, Any]) -> Verdict:
    if found == sealed.look:
        return Verdict(name, True, f"exactly as sealed, {sealed.aloud}")
    lines = tuple(each.sentence() for each in differences(sealed.made_of, made_of))
    return Verdict(name, False, f"not as it was sealed ({sealed.aloud})", lines)


def _plan_verdict(opened: Opened, name: str, look: str, sealed: SealedPlan) -> Verdict:
    """A plan held to its seal. A wearer who isn't here is no difference: a sealed book travels without its clients."""
    what = f"{name} for {sealed.wearer or 'nobody named'} in {sealed.house or 'the first house'}"
    if sealed.wearer is not None and sealed.wearer not in opened.book.wearers:
        return Verdict(what, True, "left out, for the wearer isn't in this book")
    done = opened.compiled(name, sealed.picks, sealed.wearer, sealed.house)
    if done.plan is None or done.plan.head.seal is None:
        return Verdict(what, False, "can't be planned any more", tuple(p.message for p in done.problems))
    if done.plan.head.seal.plan == sealed.plan:
        return Verdict(what, True, f"exactly as sealed, {done.plan.head.seal.plan_aloud}")
    return Verdict(what, False, "the plan is not as it was sealed", _parts_differ(sealed.parts, plan_parts(look, done)))


def _parts_differ(before: dict[str, str], after: dict[str, str]) -> tuple[str, ...]:
    """Which parts differ, in words: only their hashes were kept."""
    names = sorted({*before, *after})
    return tuple(Difference(_part(name)).sentence() if name in before and name in after else
                 f"{_part(name)} {'is gone' if name in before else 'is new'}"
                 for name in names if before.get(name) != after.get(name))


def _part(name: str) -> str:
    return {"look": "the look", "wearer": "the wearer"}.get(name, name)


def _engine(lock: Lock) -> Verdict | None:
    """Whether another compiler, or other built-in rules, judged the looks when they were sealed."""
    if lock.compiler != VERSION:
        return Verdict("the compiler", False, f"the looks were sealed with plaitbook {lock.compiler}, and this is {VERSION}: "
                       "its figures may differ. When you have looked at a card, seal them again")
    if lock.built_in_rules != built_in_rules():
        return Verdict("the built-in rules", False, "they are not those the looks were sealed under. When you have looked "
                       "at a card, seal them again")
    return None


# --- cards ----------------------------------------------------------------------


def _card(path: Path) -> list[Verdict]:
    """A card held to the seals of the book it lies in, else of the book one stands in."""
    lock, root = None, Path()
    for place in (path, Path.cwd() / "card"):
        root = shelf_for(place).root
        lock = read_lock(root / LOCK)
        if lock is not None:
            break
    if lock is None:
        return [Verdict(path.name, False, f"there is no {LOCK} in its folder's book or in this one's; seal the look first")]
    if path.suffix.lower() == ".json":
        return [_json_card(path, lock, root)]
    text = _printed_text(path)
    printed = _PRINTED.findall(text)
    if not printed:
        return [Verdict(path.name, False, "no seal is printed on it")]
    for name, sealed in lock.looks.items():
        if sealed.aloud in printed:
            return [Verdict(path.name, True, f'made from "{name}" exactly as sealed, {sealed.aloud}')]
    return [Verdict(path.name, False, f"its look's seal is {printed[0]}, which is none of {shown_path(root / LOCK)}")]


def _printed_text(path: Path) -> str:
    if path.suffix.lower() != ".pdf":
        return read_text(path)
    try:
        # The seal stands in the metadata, which is never compressed; long words carry places to break.
        return path.read_bytes().decode("utf-8", "ignore").replace("\u200b", "")
    except OSError as error:
        raise CantRead(f"'{path.name}' can't be read: {error.strerror or error}", "check that the file may be opened") from None


def _json_card(path: Path, lock: Lock, root: Path) -> Verdict:
    """The whole plan made again from the book, and held to the card, figure by figure."""
    try:
        data = json.loads(read_text(path))
        head = data["head"]
        name, seal = head["recipe"], head["seal"]
        wearer, house = head["wearer"], head["house"]
        picks = {str(choice): str(option) for choice, option in head["choices"] if choice in head["picked"]}
        swaps = {str(old): str(new) for old, new in head["swapped"]}
    except (ValueError, KeyError, TypeError, RecursionError):
        return Verdict(path.name, False, "no plan of ours, or one without a seal")
    sealed = lock.looks.get(name)
    if sealed is None:
        return Verdict(path.name, False, f'"{name}" is not sealed in this book')
    if not isinstance(seal, dict) or seal.get("look") != sealed.look:
        return Verdict(path.name, False, f'not made from "{name}" as it was sealed ({sealed.aloud})')
    if not (root / sealed.file).is_file():
        return Verdict(path.name, False, f"{sealed.file}, which it was made from, isn't here")
    opened = open_looks(str(root / sealed.file))
    if opened.problems or (wearer not in opened.book.wearers and wearer != "not named"):
        return Verdict(path.name, True, f'made from "{name}" exactly as sealed, {sealed.aloud}; its figures were not '
                       "made again, for its wearer isn't in this book")
    done = opened.compiled(name, picks, wearer if wearer in opened.book.wearers else None,
                           house if house in opened.book.houses else None, swaps)
    if done.plan is None:
        return Verdict(path.name, False, "it can't be planned any more", tuple(p.message for p in done.problems))
    again = json.loads(done.plan.model_dump_json())
    lines = tuple(f"{key} is {_short(data.get(key))} on the card, and {_short(again.get(key))} when made again"
                  for key in again if key != "figures" and data.get(key) != again.get(key))
    figures = data.get("figures") if isinstance(data.get("figures"), dict) else {}
    lines += tuple(f"{key} is {_short((figures.get(key) or {}).get('value'))} on the card, and {figure['value']} when made again"
                   for key, figure in again["figures"].items() if (figures.get(key) or {}).get("value") != figure["value"])
    if not lines and data == again:
        return Verdict(path.name, True, f'exactly what "{name}" as sealed ({sealed.aloud}) makes for {wearer} in {house}')
    return Verdict(path.name, False, f'not what "{name}" makes for {wearer} in {house}', lines or ("some of its words differ",))


def _short(value: Any) -> str:
    text = json.dumps(value, ensure_ascii=False)
    return text if len(text) <= 40 else "something else"
