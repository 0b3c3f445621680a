"""A draft on paper, photographed, in a real JupyterLab: dropped, tapped, a line followed, compared.

- By mouse: the file is dropped; a point and a line are read, judged, kept in notebook and form.
- By keys alone: Tab goes through the crossings that were found, arrows move the mark by 0.1 mm.
- By touch alone, on a narrow page: nothing is smaller than a finger.

The photographs are simulated; no real pencil draft has been photographed for this.
"""

from __future__ import annotations

import base64
import hashlib
import re
from pathlib import Path

import pytest

from patternlib.assess.hand_ins.notebook import read_notebook
from patternlib.assess.tasks.record import read
from patternlib.geometry import Curve, Point
from patternlib.photo.reading import read_photograph
from tests import browser_tools as tools
from tests.drafted_pages import draft_of, drafted_pages, pages_of

pytestmark = pytest.mark.browser

ID, STUDENT = "02b", "lena"
CELLS = (
    f"from patternlib.assess import name_card\ncard = name_card('{STUDENT}')\ncard",
    f"card.paper('{ID}')",
)
FOCUSED = "() => document.activeElement.getAttribute('aria-label') || document.activeElement.textContent"
MOVED = f"before => ({FOCUSED})() !== before"
NEAR = 0.12
"""cm on the pattern, at half scale: 0.6 mm on the paper."""
DROP = """async (part, data) => {
  const bytes = Uint8Array.from(atob(data), (c) => c.charCodeAt(0));
  const carried = new DataTransfer();
  carried.items.add(new File([bytes], "draft.jpg", { type: "image/jpeg" }));
  for (const name of ["dragover", "drop"])
    part.dispatchEvent(new DragEvent(name, { dataTransfer: carried, bubbles: true, cancelable: true }));
}"""


@pytest.fixture(scope="module")
def photo() -> bytes:
    (data,) = drafted_pages(ID, STUDENT, only=0)
    return data


class Part:
    """The photograph part of a form on a page of the browser."""

    def __init__(self, lab, browser, photo: bytes, file: str, **window) -> None:
        self.page = tools.open_page(browser, lab.write(file, tools.notebook(*CELLS)), **window)
        tools.run_to_the_end(self.page)
        self.box, self.draft = read_photograph(photo).box, draft_of(ID, STUDENT)
        self.label = pages_of(ID, STUDENT).labels[0]
        self.form = self.page.locator(".paper-form")
        self.form.wait_for(state="attached")
        self.el = self.form.locator(".ph-part")
        self.svg = self.el.locator("svg.ph-flat")
        self.mark = self.el.locator(".ph-said")

    def open(self, press=lambda control: control.click()) -> None:
        for details in (self.form, self.el):
            if details.get_attribute("open") is None:
                press(details.locator("summary").first)

    def choose(self, photo: bytes, file: Path) -> None:
        file.write_bytes(photo)
        self.el.locator(".ph-file").set_input_files(file)
        self.el.locator(".ph-picture").wait_for()

    def told(self, words: str) -> None:
        said = "w => document.querySelector('.ph-told').textContent.includes(w)"
        self.page.wait_for_function(said, arg=words)

    def at(self, place: Point, off: float = 0.1) -> tuple[float, float]:
        """Where on the screen a place of the draft lies, tapped a little off."""
        x, y = self.label.on_page(place)
        x0, y0, x1, y1 = self.box
        seen = self.svg.bounding_box()
        return (
            seen["x"] + (x + off - x0) / (x1 - x0) * seen["width"],
            seen["y"] + (y1 - y - off) / (y1 - y0) * seen["height"],
        )

    def reading(self) -> Point:
        return Point(*map(float, re.findall(r"-?\d+\.\d+", self.mark.inner_text())))

    def confirm(self, place: Point, press=lambda control: control.click()) -> None:
        """Of several crossings take that which is seen to be meant; confirm the mark."""
        self.el.locator(".ph-enlarged").wait_for()
        choices = self.el.locator(".ph-choice").all()
        for choice in choices:
            press(choice)
            if self.reading().distance(place) < NEAR:
                break
        assert self.reading().distance(place) < NEAR
        press(self.el.get_by_role("button", name="This is it"))

    def tap(self, place: Point) -> None:
        self.svg.scroll_into_view_if_needed()
        self.page.mouse.click(*self.at(place))
        self.confirm(place)

    def row(self, name: str):
        return self.el.locator(f'.ph-row[data-row="{name}"]')


def test_a_photograph_is_dropped_read_compared_and_kept(lab, browser, photo):
    part = Part(lab, browser, photo, "photo.ipynb", height=1400)
    page, draft = part.page, part.draft
    part.open()
    part.el.evaluate(DROP, base64.b64encode(photo).decode())
    part.told("Tap where side hip is.")
    assert part.page.locator(".ph-frame path").count() > 4
    part.tap(draft["side hip"])
    part.told("Tap where back side waist is.")
    line = draft["back hip curve"]
    assert isinstance(line, Curve)
    part.row("back hip curve").click()
    part.tap(line.start)
    part.told("Tap the other end of back hip curve.")
    part.tap(line.end)
    part.told("The line in colour follows the pencil.")
    part.el.get_by_role("button", name="Take this line").click()
    assert "13 places" in part.row("back hip curve").inner_text()
    part.form.get_by_role("button", name="Compare with the rule").click()
    page.wait_for_function("() => document.querySelector('.pf-mark').textContent !== ''")
    for name in ("side hip", "back hip curve"):
        assert part.form.locator(f'.pf-row[data-row="{name}"]').get_attribute("data-verdict") == "right"
    tools.save(page)
    (record,) = (read(raw) for raw in read_notebook((lab.folder / "photo.ipynb").read_bytes()).records)
    assert (record.way, record.scale, record.student) == ("photograph", 2, STUDENT)
    assert record.photographs[0].sha256 == hashlib.sha256(photo).hexdigest()
    assert len(record.places["back hip curve"]) == 13 and len(photo) > 200_000
    assert len((lab.folder / "photo.ipynb").read_bytes()) < 100_000  # the photograph itself is not kept
    tools.run_to_the_end(page)
    page.wait_for_selector(".ph-part[open] .ph-row")
    assert f"{draft['side hip'].x:.0f}." in part.row("side hip").inner_text()
    part.row("side hip").click()
    part.told("Choose the photograph that shows side hip.")
    part.form.locator('[data-key="side hip|across"]').fill("27")
    assert "typed below" in part.row("side hip").inner_text()
    part.el.get_by_role("button", name="Take away back hip curve").click()
    assert "not read yet" in part.row("back hip curve").inner_text()
    page.context.close()


@pytest.mark.slow
def test_crossings_are_reached_by_keys_alone(lab, browser, photo, tmp_path):
    part = Part(lab, browser, photo, "keys.ipynb", height=1000)
    page, key = part.page, part.page.keyboard
    part.open(lambda control: control.press("Enter"))
    part.row("back side waist").press("Enter")
    part.choose(photo, tmp_path / "draft.jpg")
    part.told("Tap where back side waist is.")
    part.el.get_by_role("button", name="Nearer").focus()
    want = part.draft["back side waist"]
    before = page.evaluate(FOCUSED)
    for _ in range(40):
        key.press("Tab")  # where the next crossing is still being looked for, Tab waits for it
        page.wait_for_function(MOVED, arg=before)
        before = page.evaluate(FOCUSED)
        found = re.search(r"Crossing \d+, (-?[\d.]+) across, (-?[\d.]+) up", before)
        if found and Point(float(found[1]), float(found[2])).distance(want) < NEAR:
            break
    else:
        raise AssertionError("the crossing was not reached with Tab")
    key.press("Enter")
    part.el.locator(".ph-enlarged").wait_for()
    if part.el.locator(".ph-choice").count():
        key.press("1")
        page.locator(".ph-enlarged-view").focus()
    mark = part.reading()
    key.press("ArrowRight")
    assert part.reading().distance(mark + Point(0.02, 0)) < 0.011  # 0.1 mm on the paper, at half scale
    key.press("ArrowLeft")
    key.press("Enter")
    page.wait_for_function("() => document.querySelector('.ph-flat').contains(document.activeElement)")
    assert "across" in part.row("back side waist").inner_text()
    page.emulate_media(forced_colors="active")
    assert part.svg.locator(".ph-marks path").first.evaluate("e => getComputedStyle(e).stroke") != "none"
    page.context.close()


@pytest.mark.slow
def test_by_touch_alone_on_a_narrow_page(lab, browser, photo, tmp_path):
    part = Part(lab, browser, photo, "touch.ipynb", width=390, height=844, touch=True)
    part.open(lambda control: control.tap())
    part.choose(photo, tmp_path / "draft.jpg")
    part.row("back dart point").tap()
    part.el.get_by_role("button", name="Nearer").tap()
    want = part.draft["back dart point"]
    part.svg.evaluate(
        "(svg, [x, y]) => Object.assign(svg.parentElement, {scrollLeft: x - 100, scrollTop: y - 100})",
        [a - b for a, b in zip(part.at(want), (part.svg.bounding_box()[k] for k in "xy"), strict=True)],
    )
    part.page.touchscreen.tap(*part.at(want))
    part.el.locator(".ph-enlarged").wait_for()
    part.el.get_by_role("button", name="Up by 0.1 mm").tap()
    part.el.get_by_role("button", name="Down by 0.1 mm").tap()
    for control in part.el.locator("button:visible, input:visible, select:visible, summary:visible").all():
        assert control.bounding_box()["height"] >= 44
    part.confirm(want, lambda control: control.tap())
    assert "across" in part.row("back dart point").inner_text()
    assert part.form.evaluate("e => e.scrollWidth <= e.clientWidth")
    part.page.context.close()
