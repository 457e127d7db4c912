"""Imported once by the process that builds are forked from."""

from warm_builds import warm_up

warm_up()
