"""Which sign parts the decimals of the numbers that are said: a point, or the comma where the site asks for it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar

SIGNS: Mapping[str, str] = {"point": ".", "comma": ","}
"""The choices of a site, each with its sign."""

_sign: ContextVar[str] = ContextVar("decimal sign", default=".")


@contextmanager
def decimals_behind(choice: str) -> Iterator[None]:
    """All numbers said within are written with this sign. A context, since a number is said in two hundred places."""
    token = _sign.set(SIGNS[choice])
    try:
        yield
    finally:
        _sign.reset(token)


def with_decimal_sign(digits: str) -> str:
    """The digits of one number, which has a point, with the sign in force."""
    return digits.replace(".", _sign.get(), 1)


def decimal_sign() -> str:
    """The sign in force."""
    return _sign.get()
