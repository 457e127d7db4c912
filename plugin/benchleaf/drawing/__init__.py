"""What every figure shares: one look, drawing tools set up once, SVG fit to stand in a page."""

from benchleaf.drawing.crossings import crossed_labels
from benchleaf.drawing.figure import Figure
from benchleaf.drawing.svg import clean_svg, overlaps

__all__ = ["Figure", "clean_svg", "crossed_labels", "overlaps"]
