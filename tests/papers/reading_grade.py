"""How many years of school does a text ask for? The Flesch-Kincaid grade, with syllables counted by rule.

References
----------
.. [1] J. P. Kincaid, R. P. Fishburne, R. L. Rogers, B. S. Chissom, "Derivation of new readability formulas for Navy
       enlisted personnel", Research Branch Report 8-75, Naval Technical Training (1975):
       grade = 0.39 words per sentence + 11.8 syllables per word - 15.59.  (memory)

What a colon or a semicolon ends is no sentence here: the stricter way to count.
"""

from __future__ import annotations

import re

_ENDS = re.compile(r"[.!?](?:\s|$)")
_WORD = re.compile(r"\d+(?:\.\d+)?|%|[A-Za-z][A-Za-z']*")
_SPOKEN = {"mph": 3, "min": 2, "s": 2, "v": 1, "%": 2, "h": 2, "ms": 4}
_UNHEARD_E = re.compile(r"(?:[^laeiouy]|[aeiouy]l)e$|[^laeiouyscgxzh]es$|[^dtaeiouy]ed$")


def grade_of(text: str) -> float:
    """The grade of a text. [years of school in the United States]"""
    sentences_n = max(1, len([each for each in _ENDS.split(text) if _WORD.search(each)]))
    words = _WORD.findall(text)
    return grade(len(words) / sentences_n, sum(map(syllables_n, words)) / len(words))


def grade(words_per_sentence: float, syllables_per_word: float) -> float:
    """The formula. [1]"""
    return 0.39 * words_per_sentence + 11.8 * syllables_per_word - 15.59


def syllables_n(word: str) -> int:
    """Syllables as spoken: groups of vowels, without an e that isn't heard; a figure counts each of its digits."""
    small = word.lower()
    if small in _SPOKEN:
        return _SPOKEN[small]
    if small[0].isdigit():
        return sum(letter.isdigit() for letter in small)
    groups_n = len(re.findall(r"[aeiouy]+", small))
    if groups_n > 1 and _UNHEARD_E.search(small):
        groups_n -= 1
    return max(1, groups_n)
