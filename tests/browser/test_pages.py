"""Tickets, labels and first pages, printed by a real browser and measured."""

import pytest
import zxingcpp

from printing import PAPER, assert_nothing_cut, glost, glost_error, printed

# Sheets of labels as they are sold, by their dimensions: paper, across, down,
# width, height, gap between columns, in mm. All lie in the middle of the sheet.
GRIDS = {
    "105 x 148 mm": ("A4", 2, 2, 105, 148, 0),
    "99.1 x 67.7 mm": ("A4", 2, 4, 99.1, 67.7, 2.5),
    "70 x 37 mm": ("A4", 3, 8, 70, 37, 0),
    "63.5 x 38.1 mm": ("A4", 3, 7, 63.5, 38.1, 2.5),
    "38.1 x 21.2 mm": ("A4", 5, 13, 38.1, 21.2, 2.5),
    "4 x 3 1/3 in": ("Letter", 2, 3, 101.6, 84.667, 4.7625),
    "4 x 2 in": ("Letter", 2, 5, 101.6, 50.8, 4.7625),
    "2 5/8 x 1 in": ("Letter", 3, 10, 66.675, 25.4, 3.175),
}
# "Inside its label" may be off by this much.
SLACK = 0.5
# At the paper's edge no printer prints: common practice, no source.
NO_PRINTER = 4.0
# The smallest grid holds tile labels only.
ONLY_TILES = ["38.1 x 21.2 mm"]
LONG_NAMES = """glaze: Long-named winter celadon for the northern kiln
cone: 9
density: 1.45
parts:
  potash feldspar: 20
  nepheline syenite: 15
  silica: 25
  kaolin: 15
  whiting: 10
  dolomite: 5
  ball clay washed twice from the northern pit and dried in the sun: 5
  wollastonite: 5
"""
LONG_MATERIAL = """materials:
  - name: ball clay washed twice from the northern pit and dried in the sun
    kind: clay
    analysis: unknown
    lot: "lot of the wet spring, third bag from the door"
    source: invented
"""


def cells(grid):
    paper, across, down, width, height, gap = GRIDS[grid]
    sheet_width, sheet_height = PAPER[paper]
    left = (sheet_width - across * width - (across - 1) * gap) / 2
    top = (sheet_height - down * height) / 2
    for row in range(down):
        for column in range(across):
            x, y = left + column * (width + gap), top + row * height
            yield (x, y, x + width, y + height)


def inside(word, cell, slack=0.0):
    return (
        word.x0 >= cell[0] - slack
        and word.x1 <= cell[2] + slack
        and word.top >= cell[1] - slack
        and word.bottom <= cell[3] + slack
    )


def assert_paper(page, paper):
    assert page.width == pytest.approx(PAPER[paper][0], abs=SLACK)
    assert page.height == pytest.approx(PAPER[paper][1], abs=SLACK)


def assert_read_at_the_scales(page, ticket):
    """Names and weights in 14 pt or more."""
    decimals = 1
    for line in ticket["lines"]:
        assert min(word.size for word in page.find(line["material"])) >= 13.99
        for weight in line["weighings"] + [line["running"]]:
            assert min(word.size for word in page.find(f"{weight:.{decimals}f}")) >= 13.99


@pytest.mark.parametrize("paper", PAPER)
def test_a_ticket_of_eight_materials_is_one_page(tmp_path, paper):
    page = tmp_path / "ticket.html"
    ticket = glost(tmp_path, "weigh", "Millpond copper green", "--dry", "5 kg", "--page", page.name)
    assert len(ticket["lines"]) == 8
    pages = printed(page, paper)
    assert len(pages) == 1
    assert_paper(pages[0], paper)
    assert_nothing_cut(page, pages, margin=8)
    assert_read_at_the_scales(pages[0], ticket)
    ticks = [box for box in pages[0].boxes if 5 <= box[2] - box[0] <= 7]
    assert len(ticks) == 10, "a box for each weighing, one for the water, one for the sieve"


@pytest.mark.parametrize("paper", PAPER)
def test_long_names_stay_whole_on_one_page(tmp_path, paper):
    (tmp_path / "long.yaml").write_text(LONG_NAMES)
    (tmp_path / "own.yaml").write_text(LONG_MATERIAL)
    page = tmp_path / "ticket.html"
    glost(tmp_path, "weigh", "long.yaml", "--materials", "own.yaml", "--dry", "3 kg", "--scales", "0.1 g", "--page", page.name)
    pages = printed(page, paper)
    assert len(pages) == 1
    assert_nothing_cut(page, pages, margin=8)


def test_a_ticket_of_many_weighings_goes_on_over_the_page(tmp_path):
    page = tmp_path / "ticket.html"
    call = ["weigh", "Millpond copper green", "--dry", "60 kg", "--scales", "1 g to 3 kg", "--page", page.name]
    glost(tmp_path, *call)
    for paper in PAPER:
        pages = printed(page, paper)
        assert len(pages) > 1
        assert_nothing_cut(page, pages, margin=8)


@pytest.mark.parametrize("paper", PAPER)
@pytest.mark.parametrize("kind", ["bucket", "jar", "bag", "tile"])
def test_labels_to_cut_from_plain_paper(tmp_path, paper, kind):
    page = tmp_path / "labels.html"
    call = ["label", "Millpond copper green", "--kind", kind, "--copies", "2", "--version", "v3", "--page", page.name]
    glost(tmp_path, *call)
    pages = printed(page, paper)
    assert len(pages) == 1
    assert_paper(pages[0], paper)
    assert_nothing_cut(page, pages, margin=8)
    labels = [box for box in pages[0].boxes if box[2] - box[0] > 20]
    assert len(labels) == 2
    for word in pages[0].words:
        assert any(inside(word, label) for label in labels), word


@pytest.mark.parametrize("kind", ["bucket", "tile"])
@pytest.mark.parametrize("grid", GRIDS)
def test_a_sheet_of_labels(tmp_path, grid, kind):
    if kind == "bucket" and grid in ONLY_TILES:
        assert glost_error(tmp_path, "label", "Millpond copper green", "--grid", grid)["code"] == "label-too-small"
        return
    places = list(cells(grid))
    used = 2
    page = tmp_path / "labels.html"
    marks = ["--version", "v3", "--batch", "14", "--on", "2026-11-24", "--outlines"]
    codes = ["--tile", "A12"] if kind == "tile" else []
    count = len(places) - used
    call = ["label", "Millpond copper green", "--grid", grid, "--copies", str(count), "--skip", str(used)]
    label = glost(tmp_path, *call, *marks, *codes, "--page", page.name)
    assert label["printed"]["labels"] == count
    pages = printed(page)
    assert len(pages) == 1
    assert_paper(pages[0], GRIDS[grid][0])
    assert_nothing_cut(page, pages, margin=NO_PRINTER)

    # A sheet's outermost outlines stay a hair inside the paper.
    outlines = sorted((box for box in pages[0].boxes if box[2] - box[0] > 20), key=lambda box: (round(box[1]), box[0]))
    assert len(outlines) == count
    for outline, place in zip(outlines, places[used:]):
        assert outline == pytest.approx(place, abs=SLACK)

    for index, place in enumerate(places):
        held = [word for word in pages[0].words if inside(word, place)]
        text = " ".join(word.text for word in held)
        if index < used:
            assert held == [], "a used label is printed on"
        else:
            for wanted in ["Millpond", "copper", "green", "cone", "6", "2026-11-24"]:
                assert wanted in text, (wanted, text)
            assert ("A12" in text) == (kind == "tile")
            assert ("tested for food" in text) == (kind == "bucket")
    total = sum(1 for word in pages[0].words for place in places if inside(word, place))
    assert total == len(pages[0].words), "a word across two labels"
    assert min(word.size for word in pages[0].words) >= 7.99
    assert label["printed"]["smallest_type_pt"] == pytest.approx(min(word.size for word in pages[0].words), abs=0.02)


def test_another_face_on_the_readers_machine_cuts_nothing(tmp_path):
    page = tmp_path / "labels.html"
    grid = "70 x 37 mm"
    glost(tmp_path, "label", "Millpond copper green", "--grid", grid, "--copies", "24", "--page", page.name)
    pages = printed(page, face="DejaVu Sans")
    places = list(cells(grid))
    for word in pages[0].words:
        assert any(inside(word, place) for place in places), word


@pytest.mark.parametrize("paper", PAPER)
def test_the_first_day_is_a_ticket_and_a_label(tmp_path, paper):
    page = tmp_path / "day.html"
    answers = ["--clay", "white earthenware", "--firing", "1060 C", "--water", "5 3/4 cups", "--scales", "0.1 g"]
    day = glost(tmp_path, "start", "studio", "--powder", "bought clear", *answers, "--page", page.name)
    pages = printed(page, paper)
    assert len(pages) == 2
    for one in pages:
        assert_paper(one, paper)
    assert_nothing_cut(page, pages, margin=8)
    assert_read_at_the_scales(pages[0], day["ticket"])
    label = pages[1].find("Water: 1 kg of powder to 5 3/4 cups (1.44 l)")
    assert min(word.size for word in label) >= 14


@pytest.mark.parametrize("grid", [None, "99.1 x 67.7 mm", "4 x 2 in"])
def test_a_telephone_reads_the_recipe(tmp_path, grid):
    page = tmp_path / "labels.html"
    call = ["label", "Millpond copper green", "--version", "v3", "--page", page.name]
    label = glost(tmp_path, *call, *(["--grid", grid] if grid else []))
    dots_per_inch = 300
    pages = printed(page, dots_per_inch=dots_per_inch)
    codes = zxingcpp.read_barcodes(pages[0].image)
    assert [code.text for code in codes] == [label["printed"]["code"]]
    assert label["printed"]["code"].startswith("Millpond copper green v3, cone 6\nfeldspar C: 30\n")
    place = codes[0].position
    side = max(abs(place.top_right.x - place.top_left.x), abs(place.bottom_left.y - place.top_left.y)) / dots_per_inch * 25.4
    # The letters a code of this size holds say how many modules it has: 17 + 4 a version.
    finest = side / 0.4
    modules = [17 + 4 * version for version in range(1, 41) if capacity_m(version) >= len(codes[0].text.encode())][0]
    assert modules <= finest * 1.02, f"{side / modules:.2f} mm a module"


def capacity_m(version):
    """Bytes that a code of level M holds (ISO/IEC 18004, table 7)."""
    held = [14, 26, 42, 62, 84, 106, 122, 152, 180, 213, 251, 287, 331, 362, 412, 450, 504, 560, 624, 666]
    return held[version - 1] if version <= len(held) else 0


def test_a_drawing_of_its_own(tmp_path):
    page = tmp_path / "label.svg"
    glost(tmp_path, "label", "Millpond copper green", "--kind", "jar", "--page", page.name)
    pages = printed(page)
    assert pages[0].find("Not tested for food.")
    drawing = page.read_text(encoding="utf-8")
    assert 'width="186mm" height="255mm"' in drawing


def test_names_in_other_letters(tmp_path):
    (tmp_path / "own.yaml").write_text(
        "glaze: Émail bleu <n° 5> & „Größe“\ncone: 04\nwater: 5 3/4 cups/kg\nparts: { potash feldspar: 60, whiting: 20, silica: 20 }\n",
        encoding="utf-8",
    )
    page = tmp_path / "labels.html"
    glost(tmp_path, "label", "own.yaml", "--grid", "70 x 37 mm", "--page", page.name)
    pages = printed(page)
    assert_nothing_cut(page, pages)
    assert pages[0].find("Émail bleu <n° 5> & „Größe“")
    assert pages[0].find("1 kg to 5 3/4 cups")


@pytest.mark.parametrize("paper", PAPER)
def test_a_chart_and_the_limits_beside_it(tmp_path, paper):
    page = tmp_path / "chart.html"
    told = glost(tmp_path, "chart", "Lamplight clear", "--page", page.name)
    pages = printed(page, paper)
    assert len(pages) == 2, "the map, and the ranges of %d lists" % len(told["limits"])
    assert_nothing_cut(page, pages, margin=8)
    every = tmp_path / "all.html"
    glost(tmp_path, "chart", "--page", every.name)
    pages = printed(every, paper)
    assert len(pages) == 1
    assert_nothing_cut(every, pages, margin=8)


@pytest.mark.parametrize("paper", PAPER)
def test_a_year_is_a_page(tmp_path, paper):
    glost(tmp_path, "init", "studio", "--example")
    studio = ["--studio", "studio"]
    glost(tmp_path, *studio, "weigh", "Highfell clear", "--dry", "5 kg", "--commit")
    glost(tmp_path, *studio, "note", "Highfell clear", "--batch", "1", "--crazed", "2/5")
    page = tmp_path / "year.html"
    glost(tmp_path, *studio, "year", "--page", page.name)
    pages = printed(page, paper)
    assert len(pages) == 1
    assert_nothing_cut(page, pages, margin=8)
