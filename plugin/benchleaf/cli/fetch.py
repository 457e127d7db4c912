"""The command ``fetch``: other archives' ``sets.json`` brought here, to be joined in the next build."""

from __future__ import annotations

import hashlib
import json
import os
import re
from pathlib import Path
from typing import TYPE_CHECKING, Any

from .putting import taking_the_place_of
from .status import CLEAN, PROBLEMS, USAGE
from .streams import say

if TYPE_CHECKING:
    from ..build.fetched.fetching import WayToWeb

FOLDER = Path("joined")
_LONGEST_NAME = 80


def add_to(commands: Any) -> None:
    """Adds ``fetch`` to the parser's commands."""
    fetch = commands.add_parser("fetch", help="other archives' sets.json from the web, to be joined in the next build")
    fetch.add_argument("addresses", nargs="+", metavar="ADDRESS", help="where a sets.json is, by http or https")
    fetch.add_argument("--out", type=Path, default=FOLDER, metavar="FOLDER", help="where to put them; left out, joined")
    fetch.set_defaults(run=lambda given: fetch_all(given.addresses, given.out))


def fetch_all(addresses: list[str], folder: Path, network: WayToWeb | None = None) -> int:
    """Fetch each file into the folder; one that cannot be fetched leaves the one of before, and the others go on."""
    return max(_fetch(address, folder, network) for address in addresses)


def _fetch(written: str, folder: Path, network: WayToWeb | None) -> int:
    from ..archive.other_archives import MOST_BYTES, UnfitArchiveError, found_at, read_archive
    from ..build.fetched.fetching import NotFetchedError, fetched
    from ..build.fetched.public_address import UnfitAddressError, web_address

    try:
        name = _file_name(web_address(written).written)
    except UnfitAddressError as error:
        say(f"{written}: {error}")
        return USAGE
    file = folder / name
    try:
        found = fetched(written, MOST_BYTES, network)
        archive = found_at(read_archive(found.data, name), found.data, found.address)
    except (NotFetchedError, UnfitAddressError, UnfitArchiveError) as error:
        kept = f"; {file} is left as it was" if os.path.lexists(file) else ""
        say(f"{written}: {error}{kept}")
        return PROBLEMS
    if not _put(_with_site(found.data, archive.site), file):
        return USAGE
    odd = f"; {archive.left_out} more cannot be read" if archive.left_out else ""
    say(f"{file}: {archive.name}, {len(archive.sets)} set{'' if len(archive.sets) == 1 else 's'}{odd}")
    return CLEAN


def _file_name(address: str) -> str:
    """A file's name made of the address, the same each time and another for each address."""
    plain = re.sub(r"[^a-z0-9]+", "-", address.partition("://")[2].lower()).strip("-")
    if len(plain) > _LONGEST_NAME:
        plain = f"{plain[:_LONGEST_NAME]}-{hashlib.sha256(address.encode()).hexdigest()[:8]}"
    return f"{plain.removesuffix('-json')}.json"


def _with_site(data: bytes, site: str) -> bytes:
    """The file with the address of the site in it, which it may not have told; otherwise as it was fetched."""
    told = json.loads(data)
    if not site or told.get("site_url"):
        return data
    return (json.dumps({**told, "site_url": site}, ensure_ascii=False, indent=1) + "\n").encode(errors="replace")


def _put(data: bytes, file: Path) -> bool:
    """Put the file in place as a whole; only a file of this kind may stand there before, and no link is followed."""
    if os.path.lexists(file) and not _is_archive(file):
        say(f"{file}: something else is there already; expected a sets.json to replace; nothing was changed")
        return False
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        with taking_the_place_of(file) as beside:
            beside.write_bytes(data)
    except OSError as error:
        say(f"{file}: cannot be written: {error.strerror or 'no reason given'}")
        return False
    return True


def _is_archive(file: Path) -> bool:
    from ..archive.other_archives import MOST_BYTES, UnfitArchiveError, read_archive
    from ..record.set_files import Refusal, read

    data = b"" if file.is_symlink() else read(file, file.parent, MOST_BYTES)
    try:
        return not isinstance(data, Refusal) and bool(read_archive(data, file.name))
    except UnfitArchiveError:
        return False
