"""What a newcomer meets, in a real browser: the first visit, a brief, a file brought in, other units, the phone."""

from __future__ import annotations

import re
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
NEAR = "127.0.0.2"
"""Stands for this machine's address in the local network: the gate holds it for another place than home."""


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
    found = Server(tmp_path, "--share-at", NEAR)
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


def test_every_number_changes_its_units_and_the_file_keeps_its_own(server: Server, chromium: Browser) -> None:
    page = chromium.new_page(viewport={"width": 1280, "height": 860})
    before = (server.folder / f"{NAME}.toml").read_bytes()
    page.goto(f"{server.address}/{NAME}/balance")
    number = page.locator("main .rw-number, #page .rw-number").first
    expect(number).to_be_visible()
    assert re.search(r"m/s", page.locator("#page").inner_text())
    page.select_option("#units", "imperial")
    expect(page.locator("#page")).to_contain_text("mph")
    shown = page.locator("#page").inner_text()
    assert not re.search(r"\d (m/s|mm|g|kg|N|km/h)\b", shown), shown
    page.goto(f"{server.address}/{NAME}/aeroplane")
    expect(page.locator("#f-rotor-left-span")).to_have_value("380 mm")
    page.select_option("#units", "as in the file")
    expect(page.locator("#units")).to_have_value("as in the file")
    assert (server.folder / f"{NAME}.toml").read_bytes() == before
    page.close()


def test_a_phone_pairs_by_code_and_is_cut_off_when_sharing_stops(server: Server, chromium: Browser) -> None:
    home = chromium.new_page(viewport={"width": 1280, "height": 860})
    home.goto(f"{server.address}/share")
    code = home.locator(".rw-code").inner_text()
    for look in ("here", "there"):
        found = Axe().run(home)
        assert found.violations_count == 0, f"{look}: {found.generate_report()}"
    phone = chromium.new_context(viewport=PHONE, has_touch=True, is_mobile=True).new_page()
    phone.goto(f"http://{NEAR}:{server.port}/{NAME}/aeroplane")
    asked = Axe().run(phone)
    assert asked.violations_count == 0, asked.generate_report()
    phone.fill("#code", "1234")
    phone.get_by_role("button", name="Open the page").click()
    expect(phone.locator("[role=status]")).to_contain_text("not the code")
    phone.fill("#code", code)
    phone.get_by_role("button", name="Open the page").click()
    expect(phone.locator(".rw-name")).to_have_text("Thistledown")
    expect(phone.locator(".rw-answer")).to_contain_text("fly")
    assert "pair" not in phone.url
    assert phone.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
    phone.goto(f"http://{NEAR}:{server.port}/share")
    expect(phone.locator("#c4, body")).to_contain_text("on the computer that serves this page")
    expect(phone.get_by_role("button", name="Stop sharing")).to_have_count(0)
    home.get_by_role("button", name="Stop sharing").click()
    expect(home.locator("[role=status]")).to_contain_text("only this machine")
    with pytest.raises(Exception, match="REFUSED"):
        phone.goto(f"http://{NEAR}:{server.port}/{NAME}/aeroplane")
    phone.context.close()
    home.close()


def test_a_brief_becomes_a_file_of_its_own(server: Server, chromium: Browser) -> None:
    page = chromium.new_page(viewport=PHONE)
    page.goto(server.address)
    page.get_by_text("From what you have and wish").click()
    page.fill("#brief-mass", "1200")
    page.get_by_role("button", name="Find designs").click()
    expect(page.locator("[role=alert]:visible")).to_contain_text('Write "1200 g"')
    page.fill("#brief-mass", "2.5 kg")
    page.fill("#brief-span", "2 m")
    page.fill("#brief-cells", "4S")
    page.select_option("#brief-propellers", "ducted fans only")
    page.get_by_role("button", name="Find designs").click()
    expect(page.locator("[role=status]").first).to_contain_text("Sizing designs")
    expect(page.get_by_role("heading", name="What was found")).to_be_visible()
    page.reload()
    expect(page.get_by_role("heading", name="What was found")).to_be_visible()
    expect(page.locator("#brief-mass")).to_have_value("2.5 kg")
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
    found = Axe().run(page)
    assert found.violations_count == 0, found.generate_report()
    page.close()
