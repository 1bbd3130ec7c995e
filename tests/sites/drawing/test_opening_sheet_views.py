"""The sheet of one opening: printed at a true scale, measured off the paper it is printed on."""

import io
from decimal import Decimal
from math import hypot

import pikepdf
import pytest
from django.urls import reverse

from tests.factories import AttachedItemFactory, OpeningFactory, PanelFactory

pytestmark = pytest.mark.one_engine

MM = 72 / 25.4
PAINTING = {"f", "F", "f*", "S", "s", "B", "B*", "b", "b*", "n"}
SHARES = [n / 32 for n in range(1, 33)]


@pytest.fixture
def opening(building):
    made = OpeningFactory(
        building=building,
        number="nII",
        title="The Sower",
        head="semicircular",
        lights=1,
        width_typed="1200",
        width_mm=Decimal(1200),
        height_typed="2600",
        height_mm=Decimal(2600),
        springing_typed="2000",
        springing_mm=Decimal(2000),
    )
    for number in ("1a", "2a", "3a"):
        PanelFactory(opening=made, number=number)
    AttachedItemFactory(opening=made, number="P1")
    return made


def sheet(client, opening, **asked):
    return client.get(reverse("sites:opening-drawing", args=[opening.pk]), asked)


def times(one, other):
    a, b, c, d, e, f = one
    g, h, i, j, k, m = other
    return (
        a * g + b * i,
        a * h + b * j,
        c * g + d * i,
        c * h + d * j,
        e * g + f * i + k,
        e * h + f * j + m,
    )


def placed(pair, matrix):
    (x, y), (a, b, c, d, e, f) = pair, matrix
    return a * x + c * y + e, b * x + d * y + f


def along(corners, before):
    """The end of a line, or points along a curve: its control points lie outside it."""
    if len(corners) == 1:
        return corners
    one, two, three, four = before[-1], *corners
    weights = [((1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t**2 * (1 - t), t**3) for t in SHARES]
    return [
        tuple(
            sum(w * p[axis] for w, p in zip(each, (one, two, three, four), strict=True))
            for axis in (0, 1)
        )
        for each in weights
    ]


def paths_of(pdf: bytes) -> list[tuple[float, float]]:
    """Width and height on paper, in mm, of every path drawn, in the order of drawing."""
    sizes = []
    for points in drawn(pdf):
        xs, ys = zip(*points, strict=True)
        sizes.append((max(xs) - min(xs), max(ys) - min(ys)))
    return sizes


def curves_of(pdf: bytes) -> list[tuple[float, float]]:
    """Points of the first path drawn, in mm of paper."""
    return drawn(pdf)[0]


def drawn(pdf: bytes) -> list[list[tuple[float, float]]]:
    found = []
    with pikepdf.open(io.BytesIO(pdf)) as document:
        assert len(document.pages) == 1
        matrix, kept, points = (1, 0, 0, 1, 0, 0), [], []
        for operands, operator in pikepdf.parse_content_stream(document.pages[0]):
            name = str(operator)
            if name == "q":
                kept.append(matrix)
            elif name == "Q":
                matrix = kept.pop()
            elif name == "cm":
                matrix = times([float(each) for each in operands], matrix)
            elif name in ("m", "l", "c"):
                numbers = [float(each) for each in operands]
                pairs = list(zip(numbers[::2], numbers[1::2], strict=True))
                points += along([placed(pair, matrix) for pair in pairs], points)
            elif name in PAINTING and points:
                found.append([(x / MM, y / MM) for x, y in points])
                points = []
    return found


@pytest.mark.published("ISO 5455: at 1:20 a length of 1200 mm is drawn 60 mm long; from memory")
def test_at_1_to_20_an_opening_1200_mm_wide_is_60_mm_wide_on_paper(reader, opening):
    answer = sheet(reader, opening, scale=20)
    assert answer["Content-Type"] == "application/pdf"
    # The first path is the stone of the whole opening.
    assert paths_of(answer.content)[0] == pytest.approx((60, 130), abs=0.05)


def test_a_round_head_is_round_on_paper_too(reader, opening):
    corners = curves_of(sheet(reader, opening, scale=20).content)
    middle_x = (min(x for x, _ in corners) + max(x for x, _ in corners)) / 2
    springing = min(y for _, y in corners) + 2000 / 20
    head = [hypot(x - middle_x, y - springing) for x, y in corners if y > springing + 1]
    assert len(head) > 20
    assert head == pytest.approx([600 / 20] * len(head), abs=0.01)


def test_the_line_to_check_with_a_ruler_is_100_mm(reader, opening):
    widths = [width for width, _ in paths_of(sheet(reader, opening, scale=25).content)]
    assert any(width == pytest.approx(100, abs=0.02) for width in widths)


def test_without_a_scale_the_largest_that_fits_is_taken(reader, opening):
    answer = sheet(reader, opening)
    assert "nii-1-20.pdf" in answer["Content-Disposition"]


def test_a_scale_too_large_for_the_paper_is_refused_with_those_that_fit(reader, opening):
    answer = sheet(reader, opening, scale=5)
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "At 1:5 the drawing does not fit on A4." in page
    assert 'href="?scale=20"' in page


@pytest.mark.parametrize("asked", ["0", "37", "-20", "20x", "²"])
def test_what_is_no_scale_is_refused(reader, opening, asked):
    assert sheet(reader, opening, scale=asked).status_code == 422


def test_an_opening_without_a_size_cannot_be_drawn_to_scale(reader, building):
    bare = OpeningFactory(building=building, width_mm=Decimal(900), width_typed="900")
    answer = sheet(reader, bare, scale=20)
    assert answer.status_code == 422
    assert "record the opening&#x27;s width and height first" in answer.content.decode()


def test_a_wide_opening_lies_on_letter_paper(reader, opening):
    opening.building.paper = "Letter"
    opening.building.save()
    opening.head, opening.width_mm, opening.height_mm = "rectangle", Decimal(4000), Decimal(900)
    opening.springing_typed, opening.springing_mm = "", None
    opening.save()
    with pikepdf.open(io.BytesIO(sheet(reader, opening, scale=20).content)) as document:
        _, _, width, height = document.pages[0].mediabox
    assert (float(width), float(height)) == pytest.approx((792, 612))


def test_the_page_of_an_opening_offers_the_scales_that_fit(reader, opening):
    page = reader.get(opening.get_absolute_url(), {"from": "outside"}).content.decode()
    place = reverse("sites:opening-drawing", args=[opening.pk])
    assert f'href="{place}?scale=20&amp;from=outside"' in page
    assert "scale=5&amp;" not in page
