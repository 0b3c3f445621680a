"""A drafting table in a real browser, used as a learner uses it: by keys alone, by mouse alone, by touch."""

from __future__ import annotations

import json

from patternlib.assess.table.steps import inputs, written
from patternlib.assess.table.verbs import VERBS
from patternlib.assess.tasks.record import StepTaken
from tests import browser_tools as tools

CELL = 'from patternlib.assess import drafting_table\ndrafting_table("{id}", student="{student}")'

MORE = "n => document.querySelectorAll('.draft-table .dt-stepbutton').length > n"


class Table:
    """The table in the first output of an open notebook."""

    def __init__(self, page, lab, file: str, *, touch: bool = False) -> None:
        self.page, self.lab, self.file = page, lab, file
        self.root = page.locator(".draft-table").first
        self.touch = touch

    def press(self, what) -> None:
        """Click, or tap with a finger."""
        if self.touch:
            what.scroll_into_view_if_needed()
            tools.wait_still(what)  # as a finger waits
            what.tap()
        else:
            what.click()

    # -- by keys

    def reach(self) -> None:
        """Tab from the notebook's own controls to the table's sentence."""
        for _ in range(60):
            self.page.keyboard.press("Tab")
            if self.focused() == "verb":
                return
        raise AssertionError("the sentence is not reached with Tab")

    def focused(self) -> str:
        return self.page.evaluate("() => document.activeElement.dataset.place || ''")

    def type(self, verb: str, *texts: str) -> None:
        """A step by keys: its verb, then each place in order but the name; Enter after each."""
        self.fill(verb, *texts)
        self.enter()

    def enter(self, name: str = "") -> None:
        """Set the step whose name waits; with another name where one is given."""
        assert self.focused() == "name", (self.focused(), self.sentence(), self.said())
        steps = self.count()
        self.page.keyboard.type(name)
        self.page.keyboard.press("Enter")
        self.page.wait_for_function(MORE, arg=steps)

    def draw(self, step: StepTaken) -> None:
        """Any step by keys, each place as it is written in the step."""
        self.settle()  # what only Python draws is there before something hangs from it
        verb = VERBS[step.verb]
        texts = []
        for place in verb.places():
            if place.kind in ("points", "lines", "numbers"):
                texts.append("; ".join(inputs(step, place)))
            elif place.kind != "name":
                texts.append(written(step, place))
        steps = self.count()
        self.fill(verb.word, *texts)
        if verb.named:  # the last Enter sets it
            self.page.wait_for_function(MORE, arg=steps)
        else:
            self.enter(step.name)

    def fill(self, verb: str, *texts: str) -> None:
        now = self.root.locator("[data-place=verb]").input_value()
        if now != verb:
            for _ in range(14):
                if self.focused() == "verb":
                    break
                self.page.keyboard.press("Shift+Tab")
            self.page.keyboard.type(verb)
            self.page.keyboard.press("Enter")
        elif self.focused() == "verb":
            self.page.keyboard.press("Tab")
        for text in texts:
            self.page.keyboard.type(text)
            self.page.keyboard.press("Enter")

    # -- by mouse

    def spot(self, name: str, mark: str = "name") -> tuple[float, float]:
        """Where a point lies in the window, or with mark "handle" the handle of a curve."""
        self.root.locator(".dt-paper").evaluate("e => e.scrollIntoView({ block: 'start' })")
        return tuple(
            self.page.evaluate(
                "([name, mark]) => { const box = [...document.querySelectorAll('.dt-hitpoint')]"
                ".find((c) => c.dataset[mark] === name).getBoundingClientRect();"
                " return [box.x + box.width / 2, box.y + box.height / 2]; }",
                [name, mark],
            )
        )

    def tap(self, name: str) -> None:
        (self.page.touchscreen.tap if self.touch else self.page.mouse.click)(*self.spot(name))

    def offer(self, text: str) -> None:
        self.press(self.root.locator(f'xpath=//*[contains(@class, "dt-offer")][text()[1] = "{text}"]'))

    def number(self, name: str, share: str = "all") -> None:
        row = self.root.locator(".dt-row", has=self.page.get_by_text(name, exact=True)).first
        self.press(row.locator(".dt-share", has_text=share))

    def pad(self, *keys: str) -> None:
        for key in keys:
            self.press(self.root.locator(".dt-pad").get_by_text(key, exact=True))

    def take_up(self, hand: str, verb: str) -> None:
        self.press(self.root.get_by_role("button", name=hand, exact=True))
        self.press(self.root.locator(".dt-verbs").get_by_role("button", name=verb, exact=True))

    def set(self) -> None:
        steps = self.count()
        self.press(self.root.get_by_role("button", name="Set", exact=True))
        self.page.wait_for_function(
            "n => document.querySelectorAll('.draft-table .dt-stepbutton').length > n",
            arg=steps,
        )

    def pull(self, name: str, dx: float, dy: float, *, hold: bool = False, mark: str = "name") -> None:
        """Press on a point, or on a handle of a curve, and pull so many px."""
        x, y = self.spot(name, mark)
        self.page.mouse.move(x, y)
        self.page.mouse.down()
        for k in range(1, 11):
            self.page.mouse.move(x + dx * k / 10, y + dy * k / 10)
        if not hold:
            self.page.mouse.up()

    def pull_to(self, start: str, end: str) -> None:
        """Press on one point and pull to another, with the mouse or a finger."""
        x, y = self.spot(start)
        u, v = self.spot(end)
        path = [(x + (u - x) * k / 10, y + (v - y) * k / 10) for k in range(11)]
        if self.touch:
            self.swipe(path)
            return
        self.page.mouse.move(*path[0])
        self.page.mouse.down()
        for spot in path[1:]:
            self.page.mouse.move(*spot)
        self.page.mouse.up()

    def swipe(self, path) -> None:
        """A finger pulled along a path in the window."""
        session = self.page.context.new_cdp_session(self.page)
        for k, (x, y) in enumerate(path):
            kind = "touchMove" if k else "touchStart"
            session.send(
                "Input.dispatchTouchEvent", {"type": kind, "touchPoints": [{"x": x, "y": y, "id": 1}]}
            )
        session.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
        session.detach()

    # -- what is seen

    def count(self) -> int:
        return self.root.locator(".dt-stepbutton").count()

    def steps(self) -> list[str]:
        return self.root.locator(".dt-stepbutton").all_inner_texts()

    def sentence(self) -> list[str]:
        return [box.input_value() for box in self.root.locator(".dt-field").all()]

    def said(self) -> str:
        """What stands beside the place in work."""
        return self.root.locator(".dt-said").inner_text()

    def settle(self) -> None:
        """Wait until Python has answered the last change; its values are the page's own."""
        self.page.wait_for_selector('.draft-table[data-answered="true"]')
        assert self.root.get_attribute("data-disagreed") == ""

    def compare(self) -> tuple[str, list[str]]:
        """Compare with the rule: the mark, and a line for each thing asked."""
        self.settle()
        self.root.get_by_role("button", name="Compare with the rule").click()
        self.page.wait_for_function(
            "() => document.querySelector('.draft-table p.dt-mark').textContent !== ''"
        )
        return self.root.locator("p.dt-mark").inner_text(), self.root.locator(
            ".dt-asked li:not(.dt-askedpiece)"
        ).all_inner_texts()

    def saved(self) -> dict:
        """The saved notebook."""
        tools.save(self.page)
        return json.loads((self.lab.folder / self.file).read_text())


def open_table(
    lab, browser, id: str, *, student: str = "lena", width: int = 1280, touch: bool = False
) -> Table:
    """A fresh notebook with a table, run."""
    file = f"{id}-{student}-{width}.ipynb"
    url = lab.write(file, tools.notebook(CELL.format(id=id, student=student)))
    page = tools.open_page(browser, url, width=width, height=1000, touch=touch)
    tools.run_to_the_end(page)
    page.wait_for_selector(".draft-table .dt-field")
    return Table(page, lab, file, touch=touch)


def run_all_again(page) -> None:
    """Restart the kernel and run every cell."""
    old = page.locator(".draft-table").first.element_handle()
    tools.restart(page, "Restart Kernel and Run All Cells…")
    page.wait_for_function("e => !e.isConnected", arg=old)
    page.wait_for_selector(".draft-table .dt-field")
