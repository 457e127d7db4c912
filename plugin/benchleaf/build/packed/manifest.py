"""``benchleaf-set.json``: what a handed-on set is, and which files it consists of."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass

from ...record.manner import SLASH_DATES
from ...record.problems import quoted
from ...words import DIALECTS
from ..beside_sets import STOCK, WORDS
from ..found_sets import is_record_name
from ..kept import read_as
from ..own_table import FOLDER as TABLE_FOLDER
from ..paths import folded
from .portable_names import unfit_path

FORMAT, VERSION = "benchleaf-set", 1
MANIFEST = "benchleaf-set.json"
SET, DATA = "set/", "data/"
"""Where the writer's files lie in the file, and where what follows from them."""
RECORD = "record.yml"
_LONGEST = 20_000
"""Characters of a text in a record."""


@dataclass(frozen=True)
class Manifest:
    """What is said of the set: the folder it lay in, how its site read it, what others may do with it.

    ``licence`` is empty where none is stated, ``pictures`` has those with a licence of their own, by path. ``draft``
    says that its site does not publish it. ``files`` are the sums (SHA-256) of all other files by their path.
    """

    name: str
    maker: str
    model: str
    dialect: str
    slash_dates: str
    licence: str
    draft: bool
    pictures: Mapping[str, str]
    files: Mapping[str, str]

    def as_json(self) -> bytes:
        """The file, byte for byte the same for the same set."""
        said = {"format": FORMAT, "version": VERSION, **vars(self), "pictures": dict(self.pictures)}
        said["files"] = dict(sorted(self.files.items()))
        return (json.dumps(said, ensure_ascii=False, indent=1, allow_nan=False) + "\n").encode()


class UnfitManifestError(Exception):
    """What a manifest lacks, in words."""


def read_manifest(data: bytes) -> Manifest:
    """The manifest in a file's bytes, whoever wrote it. Raises UnfitManifestError."""
    from pydantic import ValidationError

    try:
        told = json.loads(data)
    except (ValueError, RecursionError):
        raise UnfitManifestError(f"no JSON in {MANIFEST}") from None
    kind = told.get("format") if isinstance(told, dict) else None
    version = told.get("version") if isinstance(told, dict) else None
    if kind != FORMAT:
        raise UnfitManifestError(f"another format in {MANIFEST}")
    if version != VERSION or isinstance(version, bool):
        raise UnfitManifestError("another version of the format, which needs another Benchleaf")
    try:
        manifest = read_as(
            Manifest, json.dumps({n: told[n] for n in Manifest.__dataclass_fields__ if n in told}).encode()
        )
    except ValidationError as error:
        where = ".".join(str(step) for step in error.errors(include_url=False)[0]["loc"][:2])
        raise UnfitManifestError(f"a {MANIFEST} in which {quoted(where)} is not what it should be") from None
    if unfit := _unfit(manifest):
        raise UnfitManifestError(f"a {MANIFEST} in which {quoted(unfit)} is not what it should be")
    return manifest


def _unfit(manifest: Manifest) -> str:
    """The first thing that a manifest says and cannot mean; empty where there is none."""
    texts = (manifest.maker, manifest.model, manifest.licence, *manifest.pictures.values())
    faults = {
        "name": unfit_set_name(manifest.name),
        "dialect": manifest.dialect not in DIALECTS,
        "slash_dates": manifest.slash_dates not in ("", *SLASH_DATES),
        "licence": any(len(text) > _LONGEST for text in texts),
    }
    return next((name for name, fault in faults.items() if fault), "")


def unfit_set_name(name: str) -> str:
    """Why a set's folder cannot be called so where it is taken in; empty where it can.

    By the names of what lies beside the records and serves all of them, it would be read with every other set.
    """
    if "/" in name:
        return "a path"
    beside = folded(name) in (TABLE_FOLDER, WORDS, STOCK) or is_record_name(name)
    return unfit_path(name) or (f"{quoted(name, 60)}, which lies beside the sets and is none" if beside else "")


def sum_of(content: bytes) -> str:
    """The sum that the manifest has of a file."""
    return hashlib.sha256(content).hexdigest()
