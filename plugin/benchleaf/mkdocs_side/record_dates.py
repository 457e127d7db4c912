"""Feeds, and dates that other plugins look for in git or at the clock: a set's pages carry that of the record."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, MutableMapping
from datetime import date, datetime
from glob import escape
from typing import Any
from zoneinfo import ZoneInfo

_FEED, _GIT = "rss", "git-revision-date-localized"
_OURS = "benchleaf.last_day"
"""Where the feed looks for the day of a set's page when its configuration names no place of its own."""
_LOCALIZED = "git_revision_date_localized"


def prepare_feeds(plugins: Mapping[str, Any]) -> None:
    """Have each feed that is dated by git ask a set's page first; pages without such a day are dated as before."""
    for feed in _feeds(plugins):
        places = feed.config.date_from_meta
        for name in ("as_creation", "as_update"):
            if getattr(places, name) == "git":
                setattr(places, name, _OURS)


def leave_out_of_git(uris: Iterable[str], plugins: Mapping[str, Any]) -> None:
    """Spare our pages the plugin for git: it dates them by the clock, read twice, and warns where a second passed."""
    if (git := plugins.get(_GIT)) is not None:
        known = git.config["exclude"]
        git.config["exclude"] = [*known, *(way for way in map(escape, uris) if way not in known)]


def put_dates(meta: MutableMapping[str, Any], day: str | None, locale: str | None, plugins: Mapping[str, Any]) -> None:
    """Give a page's ``meta`` the ``day`` (ISO text) of its record wherever another plugin or a theme reads one.

    Without a day none is told: that of the build says nothing of the record.
    """
    if day:
        for feed in _feeds(plugins):
            places = feed.config.date_from_meta
            for place in {places.as_creation, places.as_update}:
                _put(meta, str(place).split("."), day)
    if _GIT in plugins:
        _localize(meta, day, locale, plugins[_GIT])


def leave_out_of_feeds(meta: MutableMapping[str, Any], plugins: Mapping[str, Any]) -> None:
    """Keep a page out of the feeds: a set is one entry there, not one for each of its chapters."""
    if any(_feeds(plugins)):
        meta["draft"] = True


def let_in_again(meta: MutableMapping[str, Any]) -> None:
    """After the feeds have passed: the page is no draft."""
    meta.pop("draft", None)


def _feeds(plugins: Mapping[str, Any]) -> Iterator[Any]:
    """A site may have several feeds; MkDocs numbers them: ``rss``, ``rss #2``."""
    found = (plugin for name, plugin in plugins.items() if name.partition(" #")[0] == _FEED)
    return (plugin for plugin in found if plugin.config.enabled)


def _put(meta: MutableMapping[str, Any], way: list[str], day: str) -> None:
    *folders, last = way
    for folder in folders:
        below = meta.setdefault(folder, {})
        if not isinstance(below, MutableMapping):
            return
        meta = below
    meta.setdefault(last, date.fromisoformat(day))


def _localize(meta: MutableMapping[str, Any], day: str | None, locale: str | None, plugin: Any) -> None:
    if day and plugin.config["enabled"]:
        noon = datetime.fromisoformat(day).replace(hour=12, tzinfo=ZoneInfo(plugin.config["timezone"]))
        said = locale or plugin.config["locale"]
        forms = plugin.util.get_date_formats_for_timestamp(noon.timestamp(), locale=said, add_spans=True)
        kind = plugin.config["type"]
        # A date that is told as so long ago cannot be printed: the plugin puts one beside it.
        meta[_LOCALIZED] = forms[kind] + (forms["iso_date"] if kind == "timeago" else "")
