"""Slips of the hand on private lines, each with secrets that nobody could guess, for tests of what is published."""

from __future__ import annotations

from collections.abc import Sequence

from hypothesis import strategies as st

BEFORE = "maker: Testwell\nmodel: Trial\nyear: 1950\n"
AFTER = "line: 120 V 60 Hz\npower: series string\ntubes:\n  V1: 12BE6, frequency changer\n"

_KEYS = (
    *(
        "owner",
        "serial",
        "Owner",
        "SERIAL",
        "onwer",
        "ower",
        "ownr",
        "owmer",
        "serail",
        "seriel",
        "Serial no",
        "own er",
    ),
    *("serial number", "0wner", "owner's name"),
)
FORMS = (
    "{key} {a} {b}\n",
    "{key}:{a} {b}\n",
    "{key};{a} {b}\n",
    "{key} = {a} {b}\n",
    "  {key}: {a} {b}\n",
    "{key}: {a} {b}\n  more: {a}\n",
    "\t{key}: {a} {b}\n",
    "{key}:\t{a}: {b}\n",
    "{key}:\n\t{a} {b}\n",
    "{key}:\n{a} {b}\n",
    "{key}:\n- {a}\n- {b}\n",
    "{key}:\n  {a}: {b}\n",
    "{key}:\n  {a} {b}\n c: {a}\n",
    '{key}: "{a} {b}\n',
    '{key}: "{a}\n{b}\n',
    '{key}: "{a}" {b}\n',
    "{key}: '{a} {b}\n",
    "{key}: 'it''s {a}' {b}\n",
    '{key}: "{a} \\q {b}"\n',
    "{key}: {a}: {b}\n",
    "{key}: {a}, {b}: {a}\n",
    "{key}: {a} #{b}\n",
    "{key}: #{a} {b}\n",
    "{key}: |\n  {a}\n {b}\n",
    "{key}: |\n{a}\n{b}: {a}\n",
    "{key}: >\n    {a}\n  {b}\n {a}\n",
    "{key}: {a}\n {b}: {a}\n",
    "{key}: {a}\n\n {b}\n- {a}\n",
    "{key}: %{a} {b}\n",
    "{key}: @{a} {b}\n",
    "{key}: &{a} {b}\n",
    "{key}: *{a}\n",
    "{key}: !{a} {b}\n",
    "&{a} {key}: {b}\n",
    "!{a} {key}: {b}\n",
    "? {key}\n: {a} {b}\n{a} {b}\n",
    "{{{key}: {a} {b}}}\n",
    "{key}: {{{a}: {b}}}\n",
    "{key}: {{{a}, {b}\n",
    "{{year: 1949, {key}: {a},\n {b}}}\n",
    "{key}: [{a}, {b}\n",
    "{key}: [{a}, {b}]\n",
    "{key}: {a}\n{key}: {b}\n",
    "{key} : {a} {b}\n{key}: {b}\n",
    "---\n{key}: {a} {b}\n---\n{key}: {a}\n",
    "papers:\n  {key}: {a} {b}\n",
    "papers:\n  sheet: one\n  {key}: {a} {b}\n  {a} {b}\n",
    "line:\n  volts: 120 V\n  {key}: {a} {b}\n",
    "parts:\n  {key}: {a} {b}\n",
    "photos:\n  {key}: {a}.jpg\n",
    "readings:\n  first:\n    {key}: {a} 5, {b}\n",
    "log:\n  - {key}: {a}\n    did: {b}\n",
    "log:\n  - did: x\n  {key}: {a} {b}\n",
    "note: |\n  kept dry\n  {key}: {a} {b}\n",
    'cabinet: "walnut\n{key}: {a} {b}\nnote: speaker of 5"\n',
    "cabinet: walnut\n  {key}: {a} {b}\n",
    "cabinet: walnut {key}: {a} {b}\n",
    "# {key}: {a}\n\t{key} {b}\n",
    "{key}: {a}\x07 {b}\n",
    "{key}: “{a}” {b}: “{a}\n",
    "{key}: {a}\n {b}\nyear 1949\n",
)


@st.composite
def slips(draw: st.DrawFn) -> tuple[str, tuple[str, str]]:
    """A record with a slip on a private line, and the two secret words of that line."""
    letters = st.text("bcdfghjkqvwxz", min_size=9, max_size=12)
    a, b = draw(letters), draw(letters)
    form = draw(st.sampled_from(FORMS))
    slip = form.format(key=draw(st.sampled_from(_KEYS)), a=a.capitalize(), b=b)
    other = draw(st.sampled_from(["", "modle: x\n", "year 1949\n", "IF: 600\n", '"', "  bands:\n", "note: a: b\n"]))
    order = draw(st.permutations([BEFORE, slip, other, AFTER]))
    return "".join(order), (a, b)


def shown(said: str, secrets: Sequence[str]) -> list[str]:
    """The secrets that a text shows, in capitals or not, also where a part of one is cut off."""
    small = said.casefold()
    return [secret for secret in secrets if secret[:6] in small or secret[-6:] in small]
