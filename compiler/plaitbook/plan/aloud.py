"""A hash as a few syllables that can be read over the telephone, and as letters that fill a small square of dots."""

from __future__ import annotations

CONSONANTS = "bdfghjklmnprstvz"
VOWELS = "aeiou"
GROUPS, SYLLABLES = 4, 2
"""Eight syllables of a consonant and a vowel are 80⁸, about 2⁵⁰ words: two looks of one book won't share one by chance."""
LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ234567"
DOT_CHARACTERS = 26
"""Of base 32 (RFC 4648) in a square of dots: 130 bits of the hash."""


def aloud(hexadecimal: str) -> str:
    """The first bits of a hash as four groups of two syllables: ``kelo-rabi-tunu-veso``."""
    left = int(hexadecimal, 16)
    syllables = []
    for _ in range(GROUPS * SYLLABLES):
        left, vowel = divmod(left, len(VOWELS))
        left, consonant = divmod(left, len(CONSONANTS))
        syllables.append(CONSONANTS[consonant] + VOWELS[vowel])
    return "-".join("".join(syllables[at:at + SYLLABLES]) for at in range(0, len(syllables), SYLLABLES))


def dotted(look: str, plan: str) -> str:
    """What a card's square of dots holds: the beginnings of both hashes, in letters and digits only."""
    return f"PLAITBOOK SEAL 1 LOOK {_letters(look)} PLAN {_letters(plan)}"


def _letters(hexadecimal: str) -> str:
    bits = f"{int(hexadecimal, 16):0256b}"
    return "".join(LETTERS[int(bits[at:at + 5], 2)] for at in range(0, 5 * DOT_CHARACTERS, 5))
