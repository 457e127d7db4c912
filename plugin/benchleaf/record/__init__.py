"""What a restorer writes: from a file's bytes to a Record, or to everything that keeps it from being read."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .manner import AMERICAN_SITE, Manner
from .problems import MOST_TOLD, Problem

if TYPE_CHECKING:
    from .model import Record


def read_record(data: bytes, file: str, site: Manner = AMERICAN_SITE) -> tuple[Record | None, list[Problem]]:
    """The record in a file's bytes, with every problem in the order of the file.

    Where there are problems the record is what could be read, its entries without a mistake; it has ``lost`` the rest.
    None where nothing could be read. ``file`` is the name that the problems carry, ``site`` what the site has settled
    of how things may be written. Nothing is guessed and nothing is raised at the writer.
    """
    from pydantic import ValidationError

    from .accustom import accustom
    from .alignment_days import steps_below_their_day
    from .cold_lines import cold_lines_home
    from .dashes import undashed
    from .encoding import decode
    from .fault_lines import fault_lines_home
    from .heaters_home import heaters_home
    from .model import Record
    from .named_by_type import named_by_type
    from .other_names import under_own_names
    from .own_words import reworded
    from .partial import without_mistakes
    from .parts_together import parts_apart
    from .private import marked, misplaced
    from .reader import read_tree
    from .sections_in_parts import sections_out_of_parts
    from .step_frequencies import units_of_steps
    from .telling import problems_of
    from .ticks import unticked
    from .torn_comments import torn_comments
    from .torn_lines import torn_lines

    text, problems = decode(data, file)
    tree, slips = read_tree(text, file) if text or not problems else (None, [])
    problems += slips
    record = None
    if tree is not None:
        torn = [*torn_comments(tree, text, file), *torn_lines(tree, text, file)]
        under_own_names(tree)
        unticked(tree)
        problems += [*sections_out_of_parts(tree, file), *undashed(tree, Record, file)]
        named_by_type(tree)
        parts_apart(tree)
        cold_lines_home(tree)
        fault_lines_home(tree)
        heaters_home(tree)
        steps_below_their_day(tree)
        accustom(tree, site)
        units_of_steps(tree)
        problems += [*misplaced(tree, text, file), *torn]
        used = reworded(tree, site.own_words)
        marred = [problem.line for problem in problems]
        unfit = None
        try:
            record = Record.model_validate(tree)
        except ValidationError as error:
            unfit = error
            asked = {problem.line for problem in torn}
            problems += [problem for problem in problems_of(error, tree, file) if problem.line not in asked]
        if unfit or marred:
            record = without_mistakes(tree, text, unfit, marred)
        record = record.said_in(used) if record else None
    return record, marked(sorted(set(problems))[:MOST_TOLD], text, file) if problems else []


def read_beside_mistakes(data: bytes, file: str, site: Manner = AMERICAN_SITE) -> Record | None:
    """A record with mistakes, read again without the pieces that are mistaken: only for its names to be looked up.

    None where it has no mistake but of notation, and where nothing could be read.
    """
    from pydantic import ValidationError

    from .accustom import accustom
    from .alignment_days import steps_below_their_day
    from .cold_lines import cold_lines_home
    from .dashes import undashed
    from .encoding import decode
    from .fault_lines import fault_lines_home
    from .heaters_home import heaters_home
    from .model import Record
    from .named_by_type import named_by_type
    from .other_names import under_own_names
    from .own_words import reworded
    from .parts_together import parts_apart
    from .reader import read_tree
    from .sections_in_parts import sections_out_of_parts
    from .step_frequencies import units_of_steps
    from .ticks import unticked
    from .within_mistakes import read_within

    tree, _ = read_tree(decode(data, file)[0], file)
    if tree is None:
        return None
    under_own_names(tree)
    unticked(tree)
    sections_out_of_parts(tree, file)
    undashed(tree, Record, file)
    named_by_type(tree)
    parts_apart(tree)
    cold_lines_home(tree)
    fault_lines_home(tree)
    heaters_home(tree)
    steps_below_their_day(tree)
    accustom(tree, site)
    units_of_steps(tree)
    reworded(tree, site.own_words)
    try:
        Record.model_validate(tree)
    except ValidationError as error:
        return read_within(tree, error)
    return None
