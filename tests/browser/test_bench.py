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


def answered(page, words):
    """Waits for it: the page that is left may still hold an answer to what was typed."""
    page.locator(".answer", has_text=words).first.wait_for()


def shows(page, words):
    """Waits until the page holds it: the one that is left may still stand there."""
    for _ in range(300):
        if words in page.locator("main").inner_text():
            return
        page.wait_for_timeout(100)
    assert words in page.locator("main").inner_text()


def to(page, control):
    """Goes there by the keyboard alone."""
    for _ in range(500):
        if control.evaluate("control => control === document.activeElement"):
            return
        page.keyboard.press("Tab")
    raise AssertionError(f"no way to {control} by the keyboard")


def hit(page, name, role="button", nth=0):
    to(page, page.get_by_role(role, name=name, exact=True).nth(nth))
    page.keyboard.press("Enter")


def fill(page, label, text, nth=0):
    to(page, page.get_by_label(label, exact=True).nth(nth))
    page.keyboard.press("Control+A")
    page.keyboard.type(text)


def choose(page, label, option, nth=0):
    control = page.get_by_label(label, exact=True).nth(nth)
    to(page, control)
    page.keyboard.type(option)
    chosen = control.evaluate("control => control.selectedOptions[0].textContent")
    assert chosen.startswith(option), (label, option, chosen)


def unfold(page, words):
    summary = page.locator("summary", has_text=words).first
    to(page, summary)
    page.keyboard.press("Enter")


@SIZES
def test_day_one(playwright, tmp_path, size):
    bench = Bench(tmp_path, empty=True)
    with visiting(playwright, bench.way_in, size) as page:
        assert page.locator("h1").inner_text() == "Your first day"
        fill(page, "Which powder do you buy?", "bought clear")
        for text in ["white earthenware", "1060 C", "5 3/4 cups", "0.1 g up to 2 kg", "1 kg"]:
            page.keyboard.press("Tab")
            page.keyboard.type(text)
        page.keyboard.press("Enter")
        page.wait_for_url("**/start")
        shows(page, "bought clear: 1 kg")
        hit(page, "Book it")
        answered(page, "Batch 1 of bought clear is in the book")
        shows(page, "NOT A DRINK")
        hit(page, "Look at pieces", role="link")
        fill(page, "Pieces looked at", "5")
        fill(page, "of them crazed", "1")
        hit(page, "Note it")
        page.wait_for_selector(".answer")
        assert page.locator("h1").inner_text() == "Noted"
    assert bench.lines("notes.jsonl")[0]["crazed"] == 1
    bench.close()


@SIZES
def test_five_kilos_into_five_bottles_with_an_interruption(playwright, bench, size):
    with visiting(playwright, bench.way_in, size) as page:
        hit(page, "Mix a bucket", role="link")
        choose(page, "Which glaze?", "Lamplight clear")
        fill(page, "How much powder?", "5 kg")
        fill(page, "Into what?", "5 bottles")
        # While it is filled in, and by the key.
        page.locator("[data-answer]", has_text="Fill 5 bottles").wait_for()
        hit(page, "Show the ticket")
        page.wait_for_url("**/mix?glaze*")
        ticket = page.url
        for powder in ["feldspar A", "whiting"]:
            to(page, page.get_by_label(powder, exact=True))
            page.keyboard.press("Space")
        hit(page, "one more: Half cups added since")
        page.locator("[data-kept]", has_text="kept").wait_for()
        unfold(page, "Start a clock")
        hit(page, "Start")
        shows(page, "15 min to go")
    # The phone slept; the bench was closed and opened again.
    bench.close()
    bench.open()
    with visiting(playwright, bench.way_in, size) as page:
        home = page.locator("main").inner_text()
        assert "2 in the bowl" in home and "Lamplight clear soaks: 15 min to go" in home
        hit(page, "Lamplight clear, 5 kg", role="link")
        assert page.get_by_label("feldspar A").is_checked() and page.get_by_label("whiting").is_checked()
        assert not page.get_by_label("silica").is_checked()
        assert page.get_by_label("Half cups added since", exact=True).input_value() == "1"
        fill(page, "What does a jar of it weigh?", "500 ml = 760 g")
        page.locator("[data-answer=jar]", has_text="Too thick: 1.52, yours is 1.48. Add").wait_for()
        fill(page, "Who mixed it?", "Ann")
        hit(page, "Book it")
        answered(page, "Batch 1 of Lamplight clear is in the book")
        page.reload()
        answered(page, "Batch 1 of Lamplight clear")
        hit(page, "This is its water now")
        answered(page, "takes")
        page.goto(ticket)
        assert not page.get_by_label("feldspar A").is_checked()
    booked = [line for line in bench.lines("batches.jsonl") if "glaze" in line]
    assert len(booked) == 1 and booked[0]["by"] == "Ann"


@SIZES
def test_a_kiln_is_opened_and_twelve_batches_are_noted_one_with_a_photo(playwright, bench, size, tmp_path):
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
        hit(page, "Kiln opened", role="link")
        fill(page, "Which cone bent?", "9")
        hit(page, "It is open")
        shows(page, "To look at")
    bench.close()
    bench.open(today="2026-11-24")
    with visiting(playwright, bench.way_in, size) as page:
        # The browser hands choosers over once somebody listens: who begins with the key may be late.
        page.on("filechooser", lambda chooser: None)
        hit(page, "Look at pieces", role="link")
        for count in range(12):
            assert page.get_by_label("Pieces looked at", exact=True).first.input_value() == "6"
            hit(page, "one more: of them crazed")
            if count == 0:
                to(page, page.get_by_label("A photo?").first)
                with page.expect_file_chooser() as chooser:
                    page.keyboard.press("Space")
                chooser.value.set_files(shot)
            hit(page, "Note it")
            page.wait_for_selector(".answer")
            assert page.locator("h1").inner_text() == "Noted"
            hit(page, "The next pieces", role="link")
            page.wait_for_url("**/look")
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
        hit(page, "I’ve run out", role="link")
        choose(page, "What is gone?", "feldspar A")
        hit(page, "What now?")
        hit(page, "Without it: Lamplight clear")
        shows(page, "Use feldspar B")
        fill(page, "Call the new one", "Lamplight B")
        page.keyboard.press("Enter")
        page.wait_for_url("**/tiles/try")
        answered(page, "three tiles are planned")
        assert "feldspar B" in page.locator(".said").inner_text()
        hit(page, "Grade these tiles", role="link")
        page.get_by_label("A3", exact=True).wait_for()
    assert bench.glost("plan", "Lamplight B steps")["ends"] == ["Lamplight clear", "Lamplight B"]


@SIZES
def test_make_it_fit(playwright, bench, size):
    with visiting(playwright, bench.way_in, size) as page:
        hit(page, "Change a glaze", role="link")
        choose(page, "Which glaze?", "Lamplight clear")
        choose(page, "I want it", "craze less")
        fill(page, "how much, or which material", "6.1")
        # While it is filled in, by its keys, and by the key of the form.
        page.locator("[data-answer]", has_text="The least change that does it").wait_for()
        hit(page, "one less: how much, or which material")
        assert page.get_by_label("how much, or which material", exact=True).first.input_value() == "6.0"
        hit(page, "What would it take?")
        shows(page, "The least change that does it")
        assert 'adjust "Lamplight clear" "expansion <= 6.0"' in page.locator("footer").inner_text()


@SIZES
def test_a_triangle_of_tiles_is_planned_graded_and_read(playwright, bench, size):
    with visiting(playwright, bench.way_in, size) as page:
        hit(page, "Test tiles", role="link")
        choose(page, "Which plan?", "a triangle between three")
        for end, glaze in enumerate(["Lamplight clear", "Highfell clear", "Driftstone satin matt"]):
            fill(page, f"End {end + 1}", glaze)
            # The list of names below the field.
            page.keyboard.press("Escape")
        fill(page, "How many steps?", "2")
        fill(page, "Keep it under a name?", "tri")
        assert not bench.lines("plans"), "nothing is kept before its key is hit"
        hit(page, "Plan the tiles")
        hit(page, "tri", role="link")
        for code, grade in {"A1": 4, "B1": 3, "B2": 2, "C1": 5, "C2": 1, "C3": 0}.items():
            choose(page, code, str(grade))
        hit(page, "Note the grades")
        answered(page, "Noted: A1, B1, B2, C1, C2, C3")
        shows(page, "Most gloss")
    assert len(bench.lines("notes.jsonl")) == 6


@SIZES
def test_a_price_is_changed(playwright, bench, size):
    with visiting(playwright, bench.way_in, size) as page:
        hit(page, "The shelf", role="link")
        hit(page, "whiting", role="link")
        choose(page, "What changed?", "price")
        fill(page, "It is now", "2.10 EUR/kg")
        page.keyboard.press("Enter")
        page.wait_for_url("**/shelf/set")
        answered(page, "is now 2.10 EUR/kg")
    assert bench.glost("materials", "whiting")["price"]["per_kg"] == 2.1


@SIZES
def test_a_class_of_eight(playwright, tmp_path, size):
    bench = Bench(tmp_path, options=["--phone", "127.0.0.2", "--class"])
    bench.glost("blend", "line", "Lamplight clear", "Highfell clear", "--steps", "8", "--save", "row")
    with visiting(playwright, bench.way_in, DESK) as page:
        hit(page, "Phones", role="link")
        way_in = page.locator("code", has_text="?once=").last.inner_text()
    for pupil in range(8):
        with visiting(playwright, way_in, size) as page:
            fill(page, "What stands on your tile?", f"row/A{pupil + 1}")
            fill(page, "Your initials", f"k{pupil}")
            # One piece is counted already.
            hit(page, "Note it")
            page.wait_for_selector(".answer")
            assert page.locator("h1").inner_text() == "Noted"
    notes = bench.lines("notes.jsonl")
    assert [note["text"] for note in notes] == [f"pupil {pupil + 1}" for pupil in range(8)]
    bench.close()
    bench.open()
    with visiting(playwright, bench.way_in, size) as page:
        hit(page, "Phones", role="link")
        shows(page, "pupil 8: K7")
        hit(page, "Wipe all initials")
        assert "K7" not in page.locator("main").inner_text()
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
            assert not cut_off(page), f"{path} at 200 %"
            found = page.evaluate("axe.run()")["violations"]
            assert not found, (path, "at 200 %", [(one["id"], one["nodes"][0]["html"]) for one in found])


def cut_off(page):
    """Text that its own box hides."""
    return page.evaluate(
        """[...document.querySelectorAll('main *')].filter((part) => {
            const style = getComputedStyle(part);
            return style.overflowX === 'hidden' && part.scrollWidth > part.clientWidth + 1;
        }).map((part) => part.outerHTML.slice(0, 80))"""
    )


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_every_page_is_accessible_in_print(playwright, bench, scheme):
    bench.glost("blend", "line", "Lamplight clear", "Highfell clear", "--steps", "4", "--save", "row")
    axe = AXE.read_text(encoding="utf-8")
    with visiting(playwright, bench.way_in, DESK, color_scheme=scheme, bypass_csp=True) as page:
        page.emulate_media(media="print")
        for path in PAGES:
            page.goto(bench.address + path)
            page.evaluate(axe)
            found = page.evaluate("axe.run()")["violations"]
            assert not found, (path, [(one["id"], one["nodes"][0]["html"]) for one in found])


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
