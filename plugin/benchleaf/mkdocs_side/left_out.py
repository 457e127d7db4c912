"""What other plugins leave out. A set that the plugin exclude leaves out is not made, so that nothing leads to it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

_EXCLUDE = "exclude"


def left_in(files: Any, config: Any, plugins: Mapping[str, Any]) -> set[str]:
    """The paths of those ``files`` that are left; of files of data it is not asked, since a set has more than those."""
    left = plugins[_EXCLUDE].on_files(files, config=config) if _EXCLUDE in plugins else files
    kept = {file.src_uri for file in left}
    return {file.src_uri for file in files if file.src_uri in kept or not file.is_documentation_page()}


def who_leaves_out(plugins: Mapping[str, Any]) -> str:
    """What says that a set is left out, in words."""
    return "exclude_docs or the plugin exclude" if _EXCLUDE in plugins else "exclude_docs"


def still_there(files: Any, ours: Mapping[str, Any]) -> tuple[dict[str, Any], str]:
    """Those of ``ours`` that are among the site's ``files`` yet, and what is told of the others, if there are any."""
    there = {uri: file for uri, file in ours.items() if files.get_file_from_path(uri) is not None}
    gone = [uri for uri in ours if uri not in there]
    first = f"{gone[0]} and {len(gone) - 1} more" if len(gone) > 1 else "".join(gone)
    told = f"another plugin has taken {first} off this site, so that links of the sets' pages to there lead nowhere"
    return there, told if gone else ""
