"""How near one word is to another: a slip of the pen."""

from __future__ import annotations

from collections.abc import Iterable

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
