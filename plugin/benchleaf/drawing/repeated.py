"""Shapes that a drawing defines once and uses often, put where they are used.

A reference inside a drawing is an address to whatever looks for links in a page; some themes rewrite those and stop.
"""

from __future__ import annotations

from copy import deepcopy
from xml.etree import ElementTree as ET

_PLACE = ("x", "y", "href", "id", "width", "height")


def put_in_place(root: ET.Element) -> None:
    """Have every ``use`` of a drawing give way to what it refers to; one that refers to nothing goes.

    Definitions that nothing else needs (they have no id) go with them. What is used must not itself use anything.
    """
    shapes = {id: element for element in root.iter() if (id := element.get("id"))}
    used = {element.get("href", "").removeprefix("#") for element in root.iter("use")}
    for parent in list(root.iter()):
        parent[:] = [made for child in parent for made in _in_place(child, shapes)]
    for parent in list(root.iter()):
        kept = [child for child in parent if not (parent.tag == "defs" and child.get("id") in used)]
        parent[:] = [child for child in kept if child.tag != "defs" or len(child)]


def _in_place(element: ET.Element, shapes: dict[str, ET.Element]) -> list[ET.Element]:
    if element.tag != "use":
        return [element]
    shape = shapes.get(element.get("href", "").removeprefix("#"))
    if shape is None:
        return []
    made = deepcopy(shape)
    own = {name: value for name, value in element.attrib.items() if name not in (*_PLACE, "transform")}
    moved = f"translate({element.get('x', '0')} {element.get('y', '0')})"
    turned = [each for each in (element.get("transform"), moved, shape.get("transform")) if each]
    made.attrib = own | {n: v for n, v in shape.attrib.items() if n not in ("id", "transform")}
    made.set("transform", " ".join(turned))
    return [made]
