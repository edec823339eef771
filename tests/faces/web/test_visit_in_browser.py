"""What a newcomer meets, in a real browser: the first visit and a file brought in."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, expect, sync_playwright

from faces.web.browser import EXAMPLES, FLAGS, PATIENCE, Server, browser_path
from rotorwright.design.file_text import LARGEST_FILE
from rotorwright.faces.web.visit import STOPS

NAME = "thistledown"
PHONE = {"width": 390, "height": 844}


@pytest.fixture(scope="module")
def chromium() -> Iterator[Browser]:
    expect.set_options(timeout=PATIENCE * 1000.0)
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


def test_the_first_visit_goes_by_keyboard_and_is_offered_once(server: Server, chromium: Browser) -> None:
    page = chromium.new_page(viewport={"width": 1280, "height": 860})
    page.goto(f"{server.address}/{NAME}/aeroplane")
    page.get_by_role("button", name="Show me round").press("Enter")
    for number, stop in enumerate(STOPS):
        expect(page.locator(".rw-visit h2")).to_have_text(stop.title)
        expect(page.locator(".rw-visit .rw-main")).to_be_focused()
        expect(page.locator(".rw-shown")).to_have_count(1)
        assert page.url.endswith(stop.page)
        if number == 0:
            found = Axe().run(page)
            assert found.violations_count == 0, found.generate_report()
        page.keyboard.press("Enter")
    expect(page.locator(".rw-visit")).to_have_count(0)
    expect(page.locator(".rw-shown")).to_have_count(0)
    page.goto(f"{server.address}/{NAME}/aeroplane")
    expect(page.locator(".rw-answer")).to_contain_text("fly")
    expect(page.get_by_role("button", name="Show me round")).to_have_count(0)
    page.goto(server.address)
    page.get_by_role("button", name="Show me round again").click()
    page.get_by_role("button", name="Show me round").click()
    expect(page.locator(".rw-visit .rw-main")).to_be_focused()
    page.keyboard.press("Escape")
    expect(page.locator(".rw-visit")).to_have_count(0)
    page.close()


def test_a_file_is_brought_in_and_a_bad_or_huge_one_refused(server: Server, chromium: Browser) -> None:
    page = chromium.new_page(viewport=PHONE)
    page.goto(server.address)
    wrong = page.locator("[role=alert]:visible")

    def give(name: str, raw: bytes) -> None:
        page.set_input_files("#bring", {"name": name, "mimeType": "application/toml", "buffer": raw})

    give("huge.toml", b"#" * (LARGEST_FILE + 1))
    expect(wrong).to_contain_text("too large for an aircraft file")
    give("bad.toml", b"\xff\xfe")
    expect(wrong).to_contain_text("is not UTF-8 text")
    assert [path.name for path in server.folder.glob("*.toml")] == [f"{NAME}.toml"]
    give("Second One.toml", (EXAMPLES / f"{NAME}.toml").read_bytes())
    page.wait_for_url("**/second-one/aeroplane")
    assert (server.folder / "second-one.toml").is_file()
    page.close()
