"""The page in a real browser: edit, see, save, reopen; phone; offline; accessibility; two tabs; a lost server."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect, sync_playwright

from faces.web.browser import EXAMPLES, FLAGS, PATIENCE, Server, browser_path
from rotorwright.faces.web.pages import PAGES

SPAN = "#f-rotor-left-span"
NAME = "thistledown"
PHONE = {"width": 390, "height": 844}
LAPTOP = {"width": 1280, "height": 860}


@pytest.fixture(scope="module")
def chromium() -> Iterator[Browser]:
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=browser_path(), args=list(FLAGS))
        yield browser
        browser.close()


@pytest.fixture
def server(tmp_path: Path) -> Iterator[Server]:
    shutil.copy(EXAMPLES / f"{NAME}.toml", tmp_path)
    found = Server(tmp_path)
    found.start()
    yield found
    found.stop()


class Tab:
    """A tab that fails its test on any request to elsewhere and on any fault in the page's own code."""

    def __init__(self, browser: Browser, size: Any = None, **more: Any) -> None:
        self.context = browser.new_context(viewport=size or LAPTOP, **more)
        self.context.set_default_timeout(PATIENCE * 1000.0)
        self.page: Page = self.context.new_page()
        self.faults: list[str] = []
        self.outside: list[str] = []
        self.page.on("pageerror", lambda fault: self.faults.append(str(fault)))
        self.page.on("request", self._seen)

    def _seen(self, request: Any) -> None:
        if not request.url.startswith(("http://127.0.0.1:", "ws://127.0.0.1:", "data:", "blob:")):
            self.outside.append(request.url)

    def close(self) -> None:
        self.context.close()
        assert not self.faults
        assert not self.outside


@pytest.fixture
def tab(chromium: Browser) -> Iterator[Tab]:
    found = Tab(chromium)
    yield found
    found.close()


def verdict(page: Page) -> Any:
    return page.locator(".rw-answer")


def open_part(page: Page, part: str) -> None:
    page.locator("summary", has_text=part).click()


def patient(locator: Any) -> Any:
    return expect(locator)


@pytest.fixture(autouse=True, scope="module")
def wait_long() -> None:
    expect.set_options(timeout=PATIENCE * 1000.0)


def test_an_edit_is_seen_saved_taken_back_and_there_after_reopening(server: Server, tab: Tab) -> None:
    page = tab.page
    page.goto(f"{server.address}/{NAME}/aeroplane")
    patient(verdict(page)).to_contain_text("Should fly (")
    before = verdict(page).inner_text()
    open_part(page, "Rotor left")
    page.fill(SPAN, "300 mm")
    patient(verdict(page)).to_contain_text("At first sight")
    assert 'span = "380 mm"' in (server.folder / f"{NAME}.toml").read_text(encoding="utf-8"), "only tried so far"
    page.press(SPAN, "Tab")
    patient(verdict(page)).to_contain_text("%")
    assert 'span = "300 mm"' in (server.folder / f"{NAME}.toml").read_text(encoding="utf-8")
    assert verdict(page).inner_text() != before
    page.goto(f"{server.address}/last")
    open_part(page, "Rotor left")
    patient(page.locator(SPAN)).to_have_value("300 mm")
    page.get_by_role("button", name="Take back").click()
    patient(page.locator(SPAN)).to_have_value("380 mm")
    patient(verdict(page)).to_have_text(before)


def test_a_wrong_value_is_said_beside_its_field_and_not_written(server: Server, tab: Tab) -> None:
    page = tab.page
    page.goto(f"{server.address}/{NAME}/aeroplane")
    open_part(page, "Rotor left")
    page.fill(SPAN, "380")
    page.press(SPAN, "Tab")
    patient(page.locator(".rw-wrong-words:visible")).to_contain_text("mm")
    assert 'span = "380 mm"' in (server.folder / f"{NAME}.toml").read_text(encoding="utf-8")
    page.fill(SPAN, "390 mm")
    page.press(SPAN, "Tab")
    patient(page.locator(".rw-wrong-words:visible")).to_have_count(0)


def test_a_hand_edit_appears_and_a_lost_file_is_put_back(server: Server, tab: Tab) -> None:
    page, path = tab.page, server.folder / f"{NAME}.toml"
    page.goto(f"{server.address}/{NAME}/aeroplane")
    patient(page.locator(".rw-name")).to_have_text("Thistledown")
    path.write_text(path.read_text(encoding="utf-8").replace('"Thistledown"', '"By hand"'), encoding="utf-8")
    patient(page.locator(".rw-name")).to_have_text("By hand")
    path.unlink()
    page.get_by_role("button", name="Put it back").click()
    patient(page.get_by_role("button", name="Put it back")).to_have_count(0)
    assert "By hand" in path.read_text(encoding="utf-8")


def test_two_tabs_show_the_same(server: Server, tab: Tab, chromium: Browser) -> None:
    other = Tab(chromium)
    for each in (tab, other):
        each.page.goto(f"{server.address}/{NAME}/aeroplane")
        open_part(each.page, "Rotor left")
    tab.page.fill(SPAN, "350 mm")
    tab.page.press(SPAN, "Tab")
    patient(other.page.locator(SPAN)).to_have_value("350 mm")
    other.close()


def test_the_page_comes_back_with_the_server(server: Server, tab: Tab) -> None:
    page = tab.page
    page.goto(f"{server.address}/{NAME}/aeroplane")
    patient(verdict(page)).to_contain_text("%")
    server.stop()
    server.start()
    page.reload()
    patient(verdict(page)).to_contain_text("%")


def test_every_page_answers_is_accessible_and_fits_a_phone(server: Server, tab: Tab, chromium: Browser) -> None:
    phone = Tab(chromium, PHONE, has_touch=True, is_mobile=True)
    for look in ("light", "dark"):
        for name in PAGES:
            for each in (tab, phone):
                each.page.goto(f"{server.address}/{NAME}/{name}")
                patient(each.page.locator("h1").first).to_be_visible()
                patient(each.page.locator("main h2").first).to_be_visible()
            wide = phone.page.evaluate("document.documentElement.scrollWidth")
            assert wide <= PHONE["width"], f"{name} is {wide} pixels wide on a phone"
            found = Axe().run(tab.page)
            assert found.violations_count == 0, f"{name}, {look}: {found.generate_report()}"
        if look == "light":
            tab.page.get_by_role("button", name="Light / dark").click()
            tab.page.wait_for_function("document.body && document.body.classList.contains('body--dark')")
    phone.close()


def test_a_number_says_what_stands_behind_it(server: Server, tab: Tab) -> None:
    page = tab.page
    page.goto(f"{server.address}/{NAME}/balance")
    page.locator(".rw-number").first.click()
    patient(page.locator(".rw-panel")).to_contain_text("Formula")
    page.get_by_text("Close", exact=True).click()
    patient(page.locator(".rw-panel")).to_be_hidden()


def test_the_slider_moves_the_four_forces(server: Server, tab: Tab) -> None:
    page = tab.page
    page.goto(f"{server.address}/{NAME}/balance")
    slider = page.locator("#airspeed")
    patient(slider).to_be_visible()
    before = page.locator("p.rw-lead[role=status]").inner_text()
    slider.press("End")
    patient(page.locator("p.rw-lead[role=status]")).not_to_have_text(before)
    patient(page.locator("p.rw-lead[role=status]")).to_contain_text("short of the drag")


def test_a_newcomer_makes_an_aeroplane_from_five_numbers(server: Server, tab: Tab) -> None:
    page = tab.page
    page.goto(server.address)
    page.fill("#new-name", "First try")
    page.fill("#new-mass", "much")
    page.get_by_role("button", name="Make it").click()
    patient(page.locator("[role=alert]:visible")).to_contain_text("kg")
    page.fill("#new-mass", "900 g")
    page.get_by_role("button", name="Make it").click()
    page.wait_for_url("**/first-try/aeroplane")
    patient(verdict(page)).to_contain_text("%")
    assert (server.folder / "first-try.toml").is_file()
