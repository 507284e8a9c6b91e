"""The ways in which somebody works a page: a mouse, a thumb on a phone, or keys alone."""

from __future__ import annotations

from playwright.sync_api import Locator, Page

CLICKS, TOUCH, KEYS = "clicks", "touch", "keys"
_MOST_TABS = 250


class Hand:
    """One of them, on one page."""

    def __init__(self, page: Page, kind: str) -> None:
        self.page, self.kind = page, kind

    def press(self, what: Locator) -> None:
        """A link, a button, a box to tick, a summary."""
        if self.kind == TOUCH:
            what.tap()
        elif self.kind == CLICKS:
            what.click()
        else:
            self.reach(what)
            if what.evaluate("(one) => one.type === 'radio' && one.checked"):
                return  # the arrows have chosen it
            role = what.evaluate("(one) => one.matches('a, summary') ? 'Enter' : 'Space'")
            self.page.keyboard.press(role)

    def type(self, what: Locator, text: str) -> None:
        """Into a field, over what stands in it."""
        if self.kind == KEYS:
            self.reach(what)
            self.page.keyboard.press("ControlOrMeta+A")
            self.page.keyboard.type(text)
        else:
            what.fill(text)

    def reach(self, what: Locator) -> None:
        """By the tabulator, from wherever the keys are now; where it comes to rest must be seen."""
        what.wait_for()
        for _ in range(_MOST_TABS):
            if what.evaluate("(one) => one === document.activeElement || same(one, document.activeElement);"
                             " function same(a, b) { return a.type === 'radio' && b.type === 'radio'"
                             " && a.name === b.name && a.form === b.form; }"):  # fmt: skip
                break
            self.page.keyboard.press("Tab")
        else:
            raise AssertionError(f"no key leads to {what}")
        for _ in range(_MOST_TABS):  # among radio buttons by the arrows
            if what.evaluate("(one) => one === document.activeElement"):
                break
            self.page.keyboard.press("ArrowDown")
        seen = "(one) => [one, one.closest('label') ?? one].some((it) => getComputedStyle(it).outlineStyle !== 'none')"
        assert what.evaluate(seen), f"the focus is not seen on {what}"
