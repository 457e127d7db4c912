"""Tags for the plugin of that name: a set's record is found by its maker, its kind and its decade."""

from __future__ import annotations

from collections.abc import Mapping, MutableMapping
from typing import Any

from ..pages.set_page import SetPage

_PLUGIN = "tags"


def put_tags(meta: MutableMapping[str, Any], page: SetPage, plugins: Mapping[str, Any]) -> None:
    """Give the ``meta`` of a record's page its tags where a plugin reads them, as far as the site allows them."""
    read_by = [plugin for name, plugin in plugins.items() if name.partition(" #")[0].endswith(_PLUGIN)]
    allowed = [set(plugin.config.get("tags_allowed") or ()) for plugin in read_by]
    tags = [tag for tag in page.tags if all(not some or tag in some for some in allowed)]
    if read_by and tags:
        meta["tags"] = tags
