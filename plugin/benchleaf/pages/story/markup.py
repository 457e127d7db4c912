"""The Markdown of a story: which of it we read, and what is checked in the tree before it becomes HTML."""

from __future__ import annotations

import re
from xml.etree import ElementTree as ET

from markdown import Markdown
from markdown.blockprocessors import BlockProcessor
from markdown.extensions.fenced_code import FencedCodeExtension
from markdown.extensions.sane_lists import SaneListExtension
from markdown.extensions.tables import TableExtension
from markdown.inlinepatterns import InlineProcessor
from markdown.preprocessors import Preprocessor
from markdown.treeprocessors import Treeprocessor
from markdown.util import AtomicString

from ...record.problems import quoted
from .addresses import image_fault, is_external, link_fault, resolved
from .placeholders import PLACEHOLDER, ImageUse, LinkUse, Manuscript, placeholder
from .recording_links import RecordingLink

_OWN_LINE = re.compile("^ {0,3}\ufdd0[pu]\\d+\ufdd1[ \t]*$")
_HEADINGS = frozenset({"h1", "h2", "h3", "h4", "h5", "h6"})


def reader(manuscript: Manuscript) -> Markdown:
    """The Markdown we read: headings, emphasis, lists, quotations, links, pictures, tables and fenced text.

    HTML in it is text. Attribute lists, footnotes and anything that runs code are not read.
    """
    tables = TableExtension(use_align_attribute=True)
    markdown = Markdown(extensions=[tables, SaneListExtension(), FencedCodeExtension()])
    markdown.preprocessors.deregister("html_block")
    markdown.inlinePatterns.deregister("html")
    markdown.preprocessors.register(_OwnLine(markdown), "own line", 20)
    markdown.parser.blockprocessors.register(_InsertionBlock(markdown, manuscript), "piece", 105)
    markdown.inlinePatterns.register(_InsertionInline(manuscript), "piece", 175)
    markdown.treeprocessors.register(_Settle(markdown, manuscript), "settle", -10)
    return markdown


def note_reader() -> Markdown:
    """The Markdown of a note in the record: emphasis, code and links inside a single paragraph, nothing else."""
    markdown = Markdown()
    markdown.preprocessors.deregister("html_block")
    for name in ("html", "image_link", "image_reference", "short_image_ref"):
        markdown.inlinePatterns.deregister(name)
    for name in ("code", "hashheader", "setextheader", "hr", "olist", "ulist", "quote", "reference", "indent"):
        markdown.parser.blockprocessors.deregister(name)
    markdown.treeprocessors.register(_Settle(markdown, Manuscript("", (), set())), "settle", -10)
    return markdown


class _OwnLine(Preprocessor):
    """Gives a piece on a line of its own a blank line before and after: it is a block whatever surrounds it."""

    def run(self, lines: list[str]) -> list[str]:
        spaced: list[str] = []
        for line in lines:
            spaced.extend(["", line, ""] if _OWN_LINE.match(line) else [line])
        return spaced


class _InsertionBlock(BlockProcessor):
    """A piece on a line of its own. Goes before the library's own blocks, code included (which is indented by four)."""

    def __init__(self, markdown: Markdown, manuscript: Manuscript) -> None:
        super().__init__(markdown.parser)
        self.manuscript = manuscript

    def test(self, parent: ET.Element, block: str) -> bool:
        return bool(_OWN_LINE.match(block.rstrip("\n")))

    def run(self, parent: ET.Element, blocks: list[str]) -> None:
        for letter, number in PLACEHOLDER.findall(blocks.pop(0)):
            if letter == "p" and (leads := self.manuscript.recording(int(number))):
                ET.SubElement(parent, "p").append(_link_to(leads))
            elif parent.tag != self.parser.md.doc_tag:
                self.manuscript.misplace(int(number))
            elif self.manuscript.place(letter, int(number)):
                ET.SubElement(parent, "p").text = placeholder("P", len(self.manuscript.placed_in_order) - 1)


class _InsertionInline(InlineProcessor):
    """A piece in the middle of something, which is reported and leaves nothing behind."""

    def __init__(self, manuscript: Manuscript) -> None:
        super().__init__("\ufdd0[pu](\\d+)\ufdd1")
        self.manuscript = manuscript

    # The library's own InlineProcessor changes its parent's signature in the same way, and the name is its own.
    def handleMatch(  # type: ignore[override]  # noqa: N802
        self, m: re.Match[str], data: str
    ) -> tuple[str | ET.Element, int, int]:
        if m[0][1] == "p" and (leads := self.manuscript.recording(int(m[1]))):
            return _link_to(leads), m.start(0), m.end(0)
        self.manuscript.misplace(int(m[1]))
        return "", m.start(0), m.end(0)


def _link_to(leads: RecordingLink) -> ET.Element:
    """A recording as a link; its words alone where it leads nowhere."""
    element = ET.Element("a", {"href": leads.href}) if leads.href else ET.Element("span")
    element.text = AtomicString(leads.words)
    return element


class _Settle(Treeprocessor):
    """What only the finished tree tells: headings, links and pictures, checked and given placeholders."""

    def __init__(self, markdown: Markdown, manuscript: Manuscript) -> None:
        super().__init__(markdown)
        self.manuscript = manuscript

    def run(self, root: ET.Element) -> None:
        for element in root.iter():
            self._clear_marks(element)
            if element.tag == "a":
                self._link(element)
            elif element.tag == "th":
                element.set("scope", "col")
        self._headings(root)
        self._photos(root)
        for element in root.iter("img"):
            self._inline_picture(element)

    def _clear_marks(self, element: ET.Element) -> None:
        for key in element.attrib.keys() - {"href", "src"}:
            element.set(key, PLACEHOLDER.sub("", element.attrib[key]))

    def _address(self, element: ET.Element, key: str) -> tuple[str, tuple[int, int]]:
        """The address as a browser will read it, and the line and column where it was written."""
        value = element.get(key, "")
        set_aside = [self.manuscript.set_aside[int(number)] for _, number in PLACEHOLDER.findall(value)]
        element.set(key, PLACEHOLDER.sub("", value))
        address = resolved(PLACEHOLDER.sub("", value))
        return address, (set_aside[0].line, set_aside[0].column) if set_aside else self.manuscript.where(address)

    def _link(self, element: ET.Element) -> None:
        href, place = self._address(element, "href")
        fault = link_fault(href)
        if fault:
            element.tag = "span"
            element.attrib.clear()
            self.manuscript.report(*place, quoted(href), "a link to a page, or http, https or mailto", fault)
            return
        if is_external(href):
            element.set("rel", "noopener noreferrer")
        self.manuscript.links.append(LinkUse(href, self.manuscript.file, place[0]))

    def _headings(self, root: ET.Element) -> None:
        """Count the text's headings; one inside a quotation or a list would break the outline and is made bold."""
        top = {id(child) for child in root}
        for element in list(root.iter()):
            if element.tag not in _HEADINGS:
                continue
            if id(element) in top:
                self.manuscript.heading_levels.append(int(element.tag[1]))
                element.text = placeholder("h", len(self.manuscript.heading_levels) - 1) + (element.text or "")
                continue
            strong = ET.Element("strong")
            strong.text = element.text
            strong.extend(element)
            element.tag, element.text, element[:] = "p", None, [strong]

    def _photos(self, root: ET.Element) -> None:
        """Pictures that stand alone in a paragraph become photos of their own."""
        for at, paragraph in reversed(list(enumerate(root))):
            if not _only_pictures(paragraph):
                continue
            alone = []
            for image in filter(None, map(self._image, paragraph)):
                alone.append(ET.Element("p"))
                alone[-1].text = placeholder("f", len(self.manuscript.photos))
                self.manuscript.photos.append(image)
            root[at : at + 1] = alone

    def _inline_picture(self, element: ET.Element) -> None:
        image = self._image(element)
        if image is None:
            element.text = element.get("alt")
        else:
            element.text = placeholder("i", len(self.manuscript.images))
            self.manuscript.images.append(image)
        element.tag = "span"
        element.attrib.clear()

    def _image(self, element: ET.Element) -> ImageUse | None:
        src, place = self._address(element, "src")
        fault = image_fault(src)
        if fault:
            self.manuscript.report(*place, quoted(src), "a picture in the set's own folder", fault)
            return None
        alt = resolved(element.get("alt", "")).strip()
        if not alt:
            remedy = "write it between the brackets, as in ![chassis from below](photos/below.jpg)"
            self.manuscript.report(*place, f"{quoted(src)} without alt text", "what the picture shows", remedy)
        return ImageUse(src, alt, self.manuscript.file, place[0], resolved(element.get("title", "")).strip())


def _only_pictures(paragraph: ET.Element) -> bool:
    if paragraph.tag != "p" or not len(paragraph) or any(child.tag != "img" for child in paragraph):
        return False
    return not "".join([paragraph.text or "", *(child.tail or "" for child in paragraph)]).strip()
