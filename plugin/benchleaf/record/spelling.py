"""How near one word is to another: a slip of the pen."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from difflib import SequenceMatcher
from functools import cache

_LONGEST_ALIKE = 14
_SHORTEST = 4
"""Letters of the shortest word that may be a slip for another: of three letters everything is near everything."""


def one_slip(word: str, name: str) -> bool:
    """True where ``word`` is ``name`` but for one letter put in, left out or mistaken, or two letters changed about.

    The same word is none.
    """
    if word == name or abs(len(word) - len(name)) > 1:
        return False
    same = next((i for i, (a, b) in enumerate(zip(word, name, strict=False)) if a != b), min(len(word), len(name)))
    if len(word) == len(name):
        turned = word[same : same + 2] == name[same : same + 2][::-1] and word[same + 2 :] == name[same + 2 :]
        return turned or word[same + 1 :] == name[same + 1 :]
    longer, shorter = (word, name) if len(word) > len(name) else (name, word)
    return longer[same + 1 :] == shorter[same:]


def meant(word: str, known: Iterable[str]) -> list[str]:
    """The known words that ``word`` may be a slip for; of three letters only those that begin as it does."""
    flat = word.casefold()
    if len(flat) < _SHORTEST - 1:
        return []
    first = flat[:1] if len(flat) < _SHORTEST else ""
    near = (name for name in known if len(name) >= _SHORTEST and name.casefold().startswith(first))
    return [name for name in near if one_slip(flat, name.casefold())]


def alike(word: str, known: Collection[str], least: float) -> bool:
    """Whether a word is as alike to one of those ``known`` as ``least``, 0 to 1 as difflib says; a long one to none."""
    return len(word) <= _LONGEST_ALIKE and any(_is_like(word, name, least) for name in known)


def _is_like(word: str, name: str, least: float) -> bool:
    """Whether two words are as alike as this; what is quick to count rules most of them out."""
    matcher = _matcher(name)
    matcher.set_seq1(word)
    return matcher.real_quick_ratio() >= least and matcher.quick_ratio() >= least and matcher.ratio() >= least


@cache
def _matcher(name: str) -> SequenceMatcher[str]:
    """What words are held against a name with: it keeps what it has learned of the name."""
    return SequenceMatcher(None, "", name)
