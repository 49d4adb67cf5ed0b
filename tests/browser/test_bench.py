"""Journeys over the bench's pages, in a real browser, at a phone's size and a desk's."""

import io

import pytest
from PIL import Image
from playwright.sync_api import sync_playwright

from bench import DESK, PHONE, Bench, visiting
from printing import ROOT, read_pdf

SIZES = pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
PAGES = [
    "/",
    "/more",
    "/mix",
    "/mix?glaze=Lamplight+clear&dry=5+kg&into=5+bottles&jar=500+ml+%3D+760+g",
    "/look",
    "/kiln",
    "/glazes",
    "/glaze/Lamplight%20clear",
    "/shelf",
    "/shelf?material=whiting",
    "/rules",
    "/rule/limits/cone-6",
    "/missing",
    "/change",
    "/tiles",
    "/plan?plan=row",
    "/clay?clay=buff+stoneware",
    "/rescue",
    "/recall",
    "/batches",
    "/cost?glaze=Lamplight+clear",
    "/phones",
    "/?q=clear",
]
AXE = ROOT / "target" / "browser" / "axe.min.js"


@pytest.fixture(scope="module")
def playwright():
    with sync_playwright() as running:
        yield running


@pytest.fixture
def bench(tmp_path):
    open_bench = Bench(tmp_path)
    yield open_bench
    open_bench.process.kill()


def answer(page):
    return page.locator(".answer").first.inner_text()


def test_day_one_by_keyboard_alone(playwright, tmp_path):
    bench = Bench(tmp_path, empty=True)
    with visiting(playwright, bench.way_in, PHONE) as page:
        assert page.locator("h1").inner_text() == "Your first day"
        page.get_by_label("Which powder do you buy?").focus()
        for text in ["bought clear", "white earthenware", "1060 C", "5 3/4 cups", "0.1 g up to 2 kg", "1 kg"]:
            page.keyboard.type(text)
            page.keyboard.press("Tab")
        page.keyboard.press("Enter")
        page.wait_for_url("**/start")
        assert "bought clear: 1 kg" in page.locator("main").inner_text()
        page.goto(bench.address + "/look")
        page.get_by_label("Pieces looked at", exact=True).focus()
        page.keyboard.type("5")
        page.get_by_label("of them crazed", exact=True).fill("1")
        page.get_by_role("button", name="Note it").focus()
        page.keyboard.press("Enter")
        page.wait_for_selector(".answer")
        assert page.locator("h1").inner_text() == "Noted"
    assert bench.lines("notes.jsonl")[0]["crazed"] == 1
    bench.close()


@SIZES
def test_five_kilos_into_five_bottles_with_an_interruption(playwright, bench, size):
    ticket = "/mix?glaze=Lamplight+clear&dry=5+kg&into=5+bottles"
    with visiting(playwright, bench.way_in, size) as page:
        page.click("text=Mix a bucket")
        page.get_by_label("Which glaze?").select_option("Lamplight clear")
        page.get_by_label("How much powder?").fill("5 kg")
        page.get_by_label("Into what?").fill("5 bottles")
        page.click("text=Show the ticket")
        page.get_by_label("feldspar A").check()
        page.get_by_label("whiting").check()
        page.get_by_role("button", name="one more: Half cups added since").click()
        page.locator("[data-kept]", has_text="kept").wait_for()
    # The phone slept; the bench was closed and opened again.
    bench.close()
    bench.open()
    with visiting(playwright, bench.way_in, size) as page:
        assert "2 in the bowl" in page.locator("main").inner_text()
        page.goto(bench.address + ticket)
        assert page.get_by_label("feldspar A").is_checked() and page.get_by_label("whiting").is_checked()
        assert not page.get_by_label("silica").is_checked()
        assert page.get_by_label("Half cups added since", exact=True).input_value() == "1"
        page.get_by_label("Who mixed it?").fill("Ann")
        page.click("text=Book it")
        assert answer(page).startswith("Batch 1 of Lamplight clear is in the book")
        page.reload()
        assert answer(page).startswith("Batch 1 of Lamplight clear")
        page.click("text=This is its water now")
        assert "takes" in answer(page)
    booked = [line for line in bench.lines("batches.jsonl") if "glaze" in line]
    assert len(booked) == 1 and booked[0]["by"] == "Ann"


@SIZES
def test_a_kiln_is_opened_and_its_pieces_are_noted_with_a_photo(playwright, bench, size, tmp_path):
    for batch in range(12):
        bench.glost("weigh", "Lamplight clear", "--dry", f"{batch + 1} kg", "--commit", "--on", "2026-10-01")
    puts = [word for batch in range(12) for word in ("--put", f"{batch + 1} = 6")]
    bench.glost("kiln", "load", "--cone", "9", "--on", "2026-10-02", *puts, today="2026-10-02")
    exif = Image.Exif()
    exif[0x0112], exif[0x013B] = 6, "Ann"
    exif.get_ifd(0x8825)[1] = "N"
    shot = tmp_path / "shot.jpg"
    Image.new("RGB", (64, 48), (150, 90, 60)).save(shot, exif=exif)
    bench.close()
    bench.open(today="2026-10-04")
    with visiting(playwright, bench.way_in, size) as page:
        page.click("text=Kiln opened")
        page.get_by_label("Which cone bent?").fill("9")
        page.click("text=It is open")
        assert "To look at" in page.locator("main").inner_text()
    bench.close()
    bench.open(today="2026-11-24")
    with visiting(playwright, bench.way_in, size) as page:
        for count in range(12):
            page.goto(bench.address + "/look")
            card = page.locator(".card").first
            assert card.get_by_label("Pieces looked at", exact=True).input_value() == "6"
            card.get_by_role("button", name="one more: of them crazed").click()
            if count == 0:
                card.get_by_label("A photo?").set_input_files(shot)
            card.get_by_role("button", name="Note it").click()
            page.wait_for_selector(".answer")
            assert page.locator("h1").inner_text() == "Noted"
        page.goto(bench.address + "/glaze/Lamplight%20clear")
        assert page.locator(".photos img").count() == 1
        # It is fetched when it comes into sight.
        page.locator(".photos img").scroll_into_view_if_needed()
        page.locator(".photos img").evaluate("image => image.complete || new Promise(done => (image.onload = done))")
        assert page.locator(".photos img").evaluate("image => image.naturalWidth") > 0
    notes = bench.lines("notes.jsonl")
    assert len(notes) == 12 and all(note["crazed"] == 1 and note["pieces"] == 6 for note in notes)
    kept = [note["photo"] for note in notes if note.get("photo")]
    bare = (bench.studio / kept[0]).read_bytes()
    assert b"Ann" not in bare
    told = Image.open(io.BytesIO(bare)).getexif()
    assert dict(told) == {0x0112: 6}


@SIZES
def test_feldspar_gone_to_a_three_step_blend(playwright, bench, size):
    with visiting(playwright, bench.way_in, size) as page:
        page.goto(bench.address + "/missing?out=feldspar+A")
        page.click("text=What now?")
        page.click("text=Without it: Lamplight clear")
        assert "Use feldspar B" in page.locator("main").inner_text()
        page.click("text=Plan the three steps")
        assert page.get_by_label("End 1").input_value() == "Lamplight clear"
        page.get_by_label("End 2").fill("Highfell clear")
        page.get_by_label("How many steps?").fill("3")
        page.get_by_label("Keep it under a name?").fill("steps")
        page.click("text=Plan the tiles")
        assert "3 tiles from Lamplight clear" in page.locator("main").inner_text()
    assert bench.glost("plan", "steps")["kind"] == "line"


@SIZES
def test_make_it_fit(playwright, bench, size):
    with visiting(playwright, bench.way_in, size) as page:
        page.goto(bench.address + "/change?glaze=Lamplight+clear")
        page.get_by_label("I want it").first.select_option("expansion <= ")
        page.get_by_label("how much, or which material").first.fill("6.0")
        # While it is filled in, and by the key.
        page.locator("[data-answer]", has_text="The least change that does it").wait_for()
        page.click("text=What would it take?")
        assert "The least change that does it" in page.locator("main").inner_text()
        assert 'adjust "Lamplight clear" "expansion <= 6.0"' in page.locator("footer").inner_text()


@SIZES
def test_a_triangle_of_tiles_is_planned_graded_and_read(playwright, bench, size):
    with visiting(playwright, bench.way_in, size) as page:
        page.goto(bench.address + "/tiles")
        page.get_by_label("Which plan?").select_option("triaxial")
        for end, glaze in enumerate(["Lamplight clear", "Highfell clear", "Driftstone satin matt"]):
            page.get_by_label(f"End {end + 1}").fill(glaze)
        page.get_by_label("How many steps?").fill("2")
        page.get_by_label("Keep it under a name?").fill("tri")
        page.click("text=Plan the tiles")
        page.get_by_role("link", name="tri", exact=True).click()
        for code, grade in {"A1": 4, "B1": 3, "B2": 2, "C1": 5, "C2": 1, "C3": 0}.items():
            page.get_by_label(code, exact=True).select_option(str(grade))
        page.click("text=Note the grades")
        assert "Noted: A1, B1, B2, C1, C2, C3" in answer(page)
        assert "Most gloss" in page.locator("main").inner_text()
    assert len(bench.lines("notes.jsonl")) == 6


@SIZES
def test_a_price_is_changed(playwright, bench, size):
    with visiting(playwright, bench.way_in, size) as page:
        page.goto(bench.address + "/shelf")
        page.get_by_role("link", name="whiting", exact=True).click()
        page.get_by_label("What changed?").select_option("price")
        page.get_by_label("It is now").fill("2.10 EUR/kg")
        page.click("text=Change it")
        assert "is now 2.10 EUR/kg" in answer(page)
    assert bench.glost("materials", "whiting")["price"]["per_kg"] == 2.1


def test_a_class_of_eight(playwright, tmp_path):
    bench = Bench(tmp_path, options=["--phone", "127.0.0.2", "--class"])
    bench.glost("blend", "line", "Lamplight clear", "Highfell clear", "--steps", "8", "--save", "row")
    with visiting(playwright, bench.way_in, DESK) as page:
        page.goto(bench.address + "/phones")
        way_in = page.locator("code", has_text="?once=").last.inner_text()
    for pupil in range(8):
        with visiting(playwright, way_in, PHONE) as page:
            page.get_by_label("What stands on your tile?").fill(f"row/A{pupil + 1}")
            page.get_by_label("Your initials").fill(f"k{pupil}")
            page.get_by_role("button", name="one more: Pieces looked at").first.click()
            page.get_by_role("button", name="Note it").first.click()
            assert page.locator("h1").inner_text() == "Noted"
    assert len(bench.lines("notes.jsonl")) == 8
    bench.close()


@pytest.mark.parametrize("scheme", ["light", "dark"])
@SIZES
def test_every_page_is_accessible_and_fits(playwright, bench, size, scheme):
    bench.glost("blend", "line", "Lamplight clear", "Highfell clear", "--steps", "4", "--save", "row")
    axe = AXE.read_text(encoding="utf-8")
    # The checker is put into the page, which the page's own policy forbids.
    with visiting(playwright, bench.way_in, size, color_scheme=scheme, bypass_csp=True) as page:
        for path in PAGES:
            page.goto(bench.address + path)
            page.evaluate("for (const part of document.querySelectorAll('details')) part.open = true")
            page.evaluate(axe)
            found = page.evaluate("axe.run()")["violations"]
            assert not found, (path, [(one["id"], one["nodes"][0]["html"]) for one in found])
            assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), path
            page.evaluate("document.documentElement.style.fontSize = '200%'")
            assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), f"{path} at 200 %"


def test_keys_are_wide_enough_for_a_thumb(playwright, bench):
    with visiting(playwright, bench.way_in, PHONE) as page:
        page.goto(bench.address + "/look")
        # 12 mm at 96 dots an inch are 45.4 dots.
        for box in [key.bounding_box() for key in page.locator("button:visible").all()]:
            assert box["width"] >= 45.4 and box["height"] >= 45.4, box


def test_a_ticket_prints_without_its_keys(playwright, bench, tmp_path):
    with visiting(playwright, bench.way_in, DESK) as page:
        page.goto(bench.address + "/mix?glaze=Lamplight+clear&dry=5+kg")
        page.pdf(path=tmp_path / "ticket.pdf", format="A4")
    text = " ".join(sheet.text() for sheet in read_pdf(tmp_path / "ticket.pdf"))
    assert "1900.0" in text and "crystalline silica" in text
    for key in ["Book it", "Keep where I am", "Kiln opened", "At a terminal"]:
        assert key not in text
