"""Sites in several languages by the plugin static-i18n, which makes the site once for each.

It makes every page of the documents anew for a language, and knows nothing of pages without a file there. So a set's
pages pass for such pages while it looks, its other files are kept back, and all of them are put right behind it.
"""

from __future__ import annotations

import os
from collections.abc import Mapping
from typing import Any

_LANGUAGES = "i18n"


def keep_back(files: Any, ours: Mapping[str, Any], docs: str, plugins: Mapping[str, Any]) -> None:
    """Before it: our pages lie where their paths say, and our other files are out of its sight."""
    if _LANGUAGES not in plugins:
        return
    for uri, file in ours.items():
        if file.is_documentation_page():
            file.abs_src_path = os.path.join(docs, uri)
        else:
            files.remove(file)


def put_back(files: Any, ours: Mapping[str, Any], sources: Mapping[str, str], plugins: Mapping[str, Any]) -> str:
    """After it: our pages are ours again, with all files beside them; what stands before their paths in the site.

    That is the language, as ``de/``; empty for the site's own. Where the pages were left out of a language, so are
    their files. ``sources`` says what each page is made from.
    """
    if _LANGUAGES not in plugins:
        return ""
    made = {uri: files.get_file_from_path(uri) for uri, file in ours.items() if file.is_documentation_page()}
    before = next((new.dest_uri.removesuffix(ours[uri].dest_uri) for uri, new in made.items() if new), None)
    if before is None:
        return ""
    for uri, file in ours.items():
        if uri not in made:
            _move(file, before)
            files.append(file)
        elif (new := made[uri]) is not None:
            new.generated_by, new.edit_uri = file.generated_by, file.edit_uri
            new.content_string = ""
            new.abs_src_path = sources[uri]
    return str(before)


def _move(file: Any, before: str) -> None:
    """A file to another place in the site; what was worked out of its old one is worked out anew."""
    file.dest_uri = before + file.dest_uri
    for name in ("url", "abs_dest_path"):
        file.__dict__.pop(name, None)
