"""SVG of the drawing libraries made fit for a page: small, in the page's own colours and fonts, ids all its own."""

from __future__ import annotations

import re
from xml.etree import ElementTree as ET

from benchleaf.drawing.labels import Label, collisions
from benchleaf.drawing.repeated import put_in_place

_SVG = "http://www.w3.org/2000/svg"
_PREFIX = re.compile(r"[A-Za-z][A-Za-z0-9_-]*")
_DOCTYPE = re.compile(r"<!DOCTYPE[^>\[]*>")
_NUMBER = re.compile(r"-?(?:\d*\.\d+(?:[eE][+-]?\d+)?|\d+[eE][+-]?\d+)")
_UNTURNED = re.compile(r"rotate\(-?0[ )]")
_REFERENCE = re.compile(r"url\(#([^)]+)\)|^#(.+)$")
_PATH = re.compile(r'<path d="([^"]*)"([^>]*?)/>')
_PATHS = re.compile(r'(?:<path d="[^"]*"[^>]*?/>)+')
_AFTER_COMMAND = re.compile(r'(?<=[" ])([MLHVCQA]) (?=[-\d.])(?=[^<>]*"[^<>]*/>)')
_LONGEST_COLOUR = 24
_BLACK = frozenset({"black", "#000", "#000000", "rgb(0,0,0)"})
_WHITE = frozenset({"white", "#fff", "#ffffff", "rgb(255,255,255)"})
_DROPPED_TAGS = frozenset({"metadata", "style", "title", "desc", "script", "foreignObject"})
_DROPPED_ATTRIBUTES = frozenset({"font-family", "font", "font-style", "font-weight", "width", "height", "type"})
_SHAPES = frozenset({"path", "rect", "polygon", "circle", "ellipse", "polyline"})
_VERBATIM = frozenset({"id", "href", "class"})
_DEFAULTS = {
    "stroke-dasharray": ("-", "none", "solid"),
    "stroke-dashoffset": ("0",),
    "opacity": ("1",),
    "stroke-linejoin": ("round",),
    "font-style": ("normal",),
}


def clean_svg(svg: str, *, prefix: str, title: str, description: str, scale: float = 1.0) -> str:
    """Make a drawing library's SVG fit to stand inside a page.

    Black becomes ``currentColor``, white grounds go, fonts are the page's, sizes in points give way to the view box and
    a natural width of ``scale`` CSS pixels per unit. Ids are renumbered under ``prefix``, floats rounded to two places,
    title and description put in and escaped. The same input gives the same output.

    Raises ValueError for a prefix that is no id, and for text that is not SVG or that declares entities.
    """
    if not _PREFIX.fullmatch(prefix):
        raise ValueError(f"not an id to begin others with: {prefix!r}")
    root = parsed(svg)
    _simplify(root)
    put_in_place(root)
    _renumber(root, prefix)
    _flatten(root)
    return ET.tostring(_dressed(root, prefix, title, description, scale), encoding="unicode")


def view_box(svg: str) -> tuple[float, float, float, float]:
    """Left, top, width and height of a drawing, in its own units."""
    left, top, width, height = (float(n) for n in parsed(svg).attrib["viewBox"].split())
    return left, top, width, height


def overlaps(svg: str) -> list[tuple[str, str]]:
    """Pairs of texts in a cleaned drawing that would run into each other, by estimate (0.56 em a letter)."""
    return collisions(_labels(parsed(svg)))


def parsed(svg: str) -> ET.Element:
    """A drawing's tree, its names without namespaces. Raises ValueError for what is not SVG or declares entities."""
    if "<!ENTITY" in svg:
        raise ValueError("a drawing that declares entities is not read")
    try:
        root = ET.fromstring(_DOCTYPE.sub("", svg, count=1).strip())
    except ET.ParseError as error:
        raise ValueError(f"not SVG: {error}") from None
    for element in root.iter():
        element.tag = element.tag.rpartition("}")[2]
        element.attrib = {key.rpartition("}")[2]: value for key, value in element.attrib.items()}
    if root.tag != "svg" or "viewBox" not in root.attrib:
        raise ValueError("not SVG with a view box")
    return root


def _simplify(root: ET.Element) -> None:
    for parent in list(root.iter()):
        for child in list(parent):
            if child.tag in _DROPPED_TAGS:
                parent.remove(child)
                continue
            _plain_attributes(child)
            if _is_ground(child):
                parent.remove(child)
        if parent.tag not in ("text", "tspan"):
            parent.text = None
            for child in parent:
                child.tail = None


def _plain_attributes(element: ET.Element) -> None:
    """Styles as attributes, in alphabetical order, without what says nothing."""
    attributes = dict(element.attrib)
    for declaration in attributes.pop("style", "").split(";"):
        name, colon, value = declaration.partition(":")
        if colon:
            attributes[name.strip()] = value.strip()
    element.attrib = {
        name: _rounded(name, _coloured(value))
        for name, value in sorted(attributes.items())
        if (name not in _DROPPED_ATTRIBUTES or (name in ("width", "height") and element.tag == "rect"))
        and value not in _DEFAULTS.get(name, ())
        and not (name == "transform" and _UNTURNED.match(value))
    }


def _coloured(value: str) -> str:
    if len(value) > _LONGEST_COLOUR:
        return value
    bare = value.lower().replace(" ", "")
    if bare in _BLACK:
        return "currentColor"
    return "none" if bare in _WHITE else value


def _rounded(name: str, value: str) -> str:
    if name in _VERBATIM or value.startswith("#"):
        return value
    shorter = _NUMBER.sub(lambda m: rounded(float(m.group())), value)
    return (
        " ".join(shorter.split()).removesuffix("px")
        if name in ("d", "points", "font-size", "stroke-width")
        else shorter
    )


def rounded(number: float) -> str:
    """A coordinate with at most two places, without exponent or trailing zeros."""
    written = f"{number:.2f}".rstrip("0").rstrip(".")
    return "0" if written == "-0" else written


def _is_ground(element: ET.Element) -> bool:
    """A shape that was white and has no outline: the paper behind a plot."""
    drawn = element.get("stroke", "none") != "none"
    return element.tag in _SHAPES and element.get("fill") == "none" and not drawn and "id" not in element.attrib


def _renumber(root: ET.Element, prefix: str) -> None:
    """Ids that are referred to become ``prefix-1`` and so on in the order of the drawing; the others go."""
    used = {a or b for e in root.iter() for value in e.attrib.values() for a, b in _REFERENCE.findall(value)}
    names: dict[str, str] = {}
    for element in root.iter():
        written = element.attrib.pop("id", None)
        if written is not None and written in used:
            names[written] = f"{prefix}-{len(names) + 1}"
            element.set("id", names[written])

    def renamed(match: re.Match[str]) -> str:
        name = names.get(match[1] or match[2], "")
        return f"url(#{name})" if match[1] else f"#{name}"

    for element in root.iter():
        for key, value in element.attrib.items():
            if key in ("href", "clip-path", "fill", "stroke", "mask", "marker-start", "marker-end"):
                element.set(key, _REFERENCE.sub(renamed, value))


def _flatten(element: ET.Element) -> None:
    """Take away groups that say nothing, and put a text of one line in one element."""
    inside: list[ET.Element] = []
    for child in element:
        _flatten(child)
        if child.tag == "g" and not child.attrib:
            inside.extend(child)
        elif len(child) or child.tag not in ("g", "defs"):
            inside.append(child)
    element[:] = inside
    if element.tag == "text" and len(element) == 1:
        _one_line(element)


def _one_line(text: ET.Element) -> None:
    line = text[0]
    size = float(line.get("dy", "0"))
    y = float(text.get("y", "0")) + size
    text.set("y", rounded(y))
    text.text = line.text
    text.remove(line)


def _dressed(root: ET.Element, prefix: str, title: str, description: str, scale: float) -> ET.Element:
    box = _roomy(root)
    dressed = ET.Element(
        "svg",
        {
            "xmlns": _SVG,
            "class": "benchleaf-drawing",
            "viewBox": " ".join(map(rounded, box)),
            "width": str(round(box[2] * scale)),
            "role": "img",
            "aria-labelledby": f"{prefix}-title {prefix}-desc",
            "fill": "currentColor",
            "stroke-linejoin": "round",
        },
    )
    ET.SubElement(dressed, "title", {"id": f"{prefix}-title"}).text = _printable(title)
    ET.SubElement(dressed, "desc", {"id": f"{prefix}-desc"}).text = _printable(description)
    dressed.extend(root)
    return dressed


def _roomy(root: ET.Element) -> list[float]:
    """The view box, widened where a label may stand out of it: the library measures letters of another font."""
    left, top, width, height = (float(number) for number in root.attrib["viewBox"].split())
    right, bottom = left + width, top + height
    for label in _labels(root):
        at_left, at_top, at_right, at_bottom = label.room()
        left, top = min(left, at_left), min(top, at_top)
        right, bottom = max(right, at_right), max(bottom, at_bottom)
    return [round(number, 2) for number in (left, top, right - left, bottom - top)]


def _labels(root: ET.Element) -> list[Label]:
    spoken = ((e, "".join(e.itertext()).strip()) for e in root.iter("text"))
    return [Label.of(words, element.attrib) for element, words in spoken if words]


def _printable(text: str) -> str:
    return " ".join("".join(letter if letter.isprintable() else " " for letter in text).split())


def compacted(svg: str) -> str:
    """The drawing in fewer letters: paths that follow each other and look alike become one, spaces go."""
    svg = _PATHS.sub(lambda run: _as_one(run[0]), svg.replace(" />", "/>"))
    return _AFTER_COMMAND.sub(r"\1", svg)


def _as_one(run: str) -> str:
    drawn: dict[str, list[str]] = {}
    for path, look in _PATH.findall(run):
        drawn.setdefault(look, []).append(path)
    return "".join(f'<path d="{" ".join(paths)}"{look}/>' for look, paths in drawn.items())
