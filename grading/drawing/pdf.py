"""Scenes on pages of a PDF: reportlab does the writing. Millimetres become points once, here."""

from __future__ import annotations

from collections.abc import Callable
from io import BytesIO
from math import ceil, cos, radians, sin, tan

from reportlab.pdfgen.canvas import Canvas
from reportlab.pdfgen.pathobject import PDFPathObject

from grading.drawing.box import Box
from grading.drawing.cut_path import Place
from grading.drawing.extent import mark_box
from grading.drawing.flatten import sweep
from grading.drawing.fonts import font, writable
from grading.drawing.measure import points
from grading.drawing.scene import Arc, ArcTo, CubicTo, Line, LineTo, Mark, Path, Polyline, Scene, Words
from grading.drawing.styles import STYLES

ARC_PIECE = 0.79
"""The greatest angle that one cubic of an arc spans, an eighth of a turn: off by less than 1e-5 of the radius."""
AUTHOR = "Sizewright"
At = Callable[[Place], Place]


def new_canvas(title: str, size: Place, language: str = "en") -> tuple[Canvas, BytesIO]:
    """A canvas in memory for pages of this size in mm, and where its bytes will be after `save`.

    The same drawing gives the same bytes. A viewer is told to print at true scale, and to show the title.
    """
    content = BytesIO()
    page = (points(size[0]), points(size[1]))
    # Its own first font is one that is not embedded. (Its types would have a number for the name.)
    canvas = Canvas(content, pagesize=page, invariant=1, lang=language, initialFontName=font())  # type: ignore[arg-type]
    canvas.setTitle(writable(title))
    canvas.setAuthor(AUTHOR)
    canvas.setCreator(AUTHOR)
    canvas.setViewerPreference("PrintScaling", "None")
    canvas.setViewerPreference("DisplayDocTitle", "true")
    return canvas, content


def draw_scene(
    canvas: Canvas, scene: Scene, place: Place = (0.0, 0.0), scale: float = 1.0, within: Box | None = None
) -> None:
    """Draws a scene so that its point (0, 0) lies at `place`, in mm from the lower left corner of the page.

    `scale` shrinks or stretches what is drawn but not the breadth of its lines; sizes of text go with it. `within`, a
    box of the scene before it is scaled, cuts off what lies outside; marks wholly outside are not written at all.
    """
    canvas.saveState()
    if within is not None:
        corner = (place[0] + within.left * scale, place[1] + within.low * scale)
        clip = canvas.beginPath()
        clip.rect(points(corner[0]), points(corner[1]), points(within.width * scale), points(within.height * scale))
        canvas.clipPath(clip, stroke=0, fill=0)
    for mark in scene.marks:
        if within is None or _reaches(mark, within):
            _draw(canvas, mark, place, scale)
    canvas.restoreState()


def _reaches(mark: Mark, within: Box) -> bool:
    return mark_box(mark).grown(0.5).meets(within)


def _draw(canvas: Canvas, mark: Mark, place: Place, scale: float) -> None:
    def at(point: Place) -> Place:
        return points(place[0] + point[0] * scale), points(place[1] + point[1] * scale)

    if isinstance(mark, Words):
        _write(canvas, mark, at(mark.place), scale)
        return
    _pen(canvas, mark.style)
    path = canvas.beginPath()
    match mark:
        case Line():
            path.moveTo(*at(mark.start))
            path.lineTo(*at(mark.end))
        case Polyline():
            path.moveTo(*at(mark.points[0]))
            for point in mark.points[1:]:
                path.lineTo(*at(point))
        case Arc():
            _whole_arc(path, mark, at)
        case Path():
            _parts(path, mark, at)
    if isinstance(mark, Polyline | Path) and mark.closed:
        path.close()
    filled = isinstance(mark, Polyline) and mark.filled
    canvas.drawPath(path, stroke=0 if filled else 1, fill=1 if filled else 0)


def _whole_arc(path: PDFPathObject, arc: Arc, at: At) -> None:
    first, span = radians(arc.start), radians(arc.end - arc.start)
    path.moveTo(*at((arc.centre[0] + arc.radius * cos(first), arc.centre[1] + arc.radius * sin(first))))
    _curve(path, arc.centre, (arc.radius, first, span), at)


def _parts(path: PDFPathObject, mark: Path, at: At) -> None:
    start = mark.start
    path.moveTo(*at(start))
    for part in mark.parts:
        match part:
            case LineTo():
                path.lineTo(*at(part.end))
            case ArcTo():
                _curve(path, part.centre, sweep(start, part), at)
            case CubicTo():
                path.curveTo(*at(part.first), *at(part.second), *at(part.end))
        start = part.end


def _curve(path: PDFPathObject, centre: Place, swept: tuple[float, float, float], at: At) -> None:
    """An arc as cubic curves: the handles of each are 4/3 tan(a/4) of the radius long, a its angle."""
    radius, first, span = swept
    count = max(1, ceil(abs(span) / ARC_PIECE))
    step = span / count
    handle = radius * 4 / 3 * tan(step / 4)
    for number in range(count):
        begin, end = first + step * number, first + step * (number + 1)
        p = (centre[0] + radius * cos(begin), centre[1] + radius * sin(begin))
        q = (centre[0] + radius * cos(end), centre[1] + radius * sin(end))
        path.curveTo(
            *at((p[0] - handle * sin(begin), p[1] + handle * cos(begin))),
            *at((q[0] + handle * sin(end), q[1] - handle * cos(end))),
            *at(q),
        )


def _pen(canvas: Canvas, name: str) -> None:
    style = STYLES[name]
    canvas.setLineWidth(points(style.breadth))
    canvas.setDash([points(each) for each in style.dashes])
    canvas.setLineCap(0)
    canvas.setLineJoin(1)
    canvas.setStrokeGray(style.grey)
    canvas.setFillGray(style.grey)


def _write(canvas: Canvas, words: Words, place: Place, scale: float) -> None:
    canvas.saveState()
    canvas.setFillGray(0)
    canvas.setFont(font(words.bold), points(words.size * scale))
    canvas.translate(*place)
    canvas.rotate(words.turned)
    text = writable(words.text)
    draw = {"start": canvas.drawString, "middle": canvas.drawCentredString, "end": canvas.drawRightString}
    draw[words.anchor](0, 0, text)
    canvas.restoreState()
