"""Launch and wind, Next change: the main task of each page in a real browser, saved and there after reopening."""

from __future__ import annotations

from faces.web.browser import Server
from faces.web.test_in_browser import (  # noqa: F401  (fixtures of the browser and the server)
    NAME,
    Tab,
    chromium,
    patient,
    server,
    tab,
    verdict,
    wait_long,
)

FORECAST = "09:00 2 m/s gust 3 m/s 20 deg\n14:00 14 m/s gust 19 m/s 230 deg"


def test_a_flight_is_seen_scrubbed_asked_otherwise_and_remembered(server: Server, tab: Tab) -> None:  # noqa: F811
    page = tab.page
    page.goto(f"{server.address}/{NAME}/launch")
    told = page.locator(".rw-told")
    patient(told).to_contain_text("0.0 s")
    slider = page.get_by_label("Time of the flight")
    slider.press("End")
    patient(told).not_to_contain_text("0.0 s: ")
    page.get_by_label("Seen").select_option("whole")
    page.get_by_role("button", name="Play").click()
    patient(page.get_by_role("button", name="Pause")).to_be_visible()
    page.locator("summary", has_text="Wind, launch").click()
    page.fill("#the-flight-wind", "wild")
    page.press("#the-flight-wind", "Tab")
    patient(page.locator(".rw-wrong-words:visible")).to_contain_text("m/s")
    page.fill("#the-flight-wind", "3 m/s")
    page.press("#the-flight-wind", "Tab")
    patient(page.locator("p", has_text="in a wind of 3 m/s")).to_be_visible()
    page.reload()
    patient(page.locator("#the-flight-wind")).to_have_value("3 m/s")
    patient(page.locator("p", has_text="in a wind of 3 m/s")).to_be_visible()


def test_a_forecast_is_judged_by_the_hour_and_remembered(server: Server, tab: Tab) -> None:  # noqa: F811
    page = tab.page
    page.goto(f"{server.address}/{NAME}/launch")
    page.fill("#the-strip-forecast", FORECAST)
    page.press("#the-strip-forecast", "Tab")
    hours = page.locator("h2", has_text="Hour by hour")
    patient(hours).to_contain_text("1 no")
    page.reload()
    patient(page.locator("#the-strip-forecast")).to_have_value(FORECAST)
    patient(hours).to_contain_text("1 no")
    page.set_input_files(
        "#forecast-file",
        files=[{"name": "hours.csv", "mimeType": "text/csv", "buffer": b"time,wind [m/s]\n10:00,15\n11:00,16\n"}],
    )
    patient(hours).to_contain_text("2 no")


def test_counted_flights_go_on_over_a_reload(server: Server, tab: Tab) -> None:  # noqa: F811
    page = tab.page
    page.goto(f"{server.address}/{NAME}/launch")
    page.get_by_role("button", name="Fly them").click()
    patient(page.get_by_text("256 first flights.")).to_contain_text("leave this page")
    page.reload()
    patient(page.get_by_text("256 first flights. Done")).to_be_visible()
    patient(page.locator("h2", has_text="What became of them")).to_be_visible()
    assert list((server.folder / ".rotorwright").glob("first-flights-*.nc")), "kept for a restart"


def test_a_step_is_made_compared_and_taken_back(server: Server, tab: Tab) -> None:  # noqa: F811
    page, path = tab.page, server.folder / f"{NAME}.toml"
    before = path.read_text(encoding="utf-8")
    page.goto(f"{server.address}/{NAME}/change")
    page.get_by_role("button", name="Make it:").first.click()
    patient(page.locator("#since")).to_contain_text("as found")
    assert path.read_text(encoding="utf-8") != before
    page.locator("#since").select_option(index=1)
    patient(page.locator("h2", has_text="Small print")).to_be_visible()
    page.get_by_role("button", name="Take back").click()
    patient(page.get_by_role("button", name="Take back")).to_be_disabled()
    assert path.read_text(encoding="utf-8") == before


def test_another_size_becomes_an_aeroplane_of_its_own(server: Server, tab: Tab) -> None:  # noqa: F811
    page = tab.page
    page.goto(f"{server.address}/{NAME}/change")
    page.locator("#size").press("ArrowRight")
    patient(page.get_by_text("1.55 times as long")).to_be_visible()
    page.get_by_role("button", name="Keep this size").click()
    page.wait_for_url("**/thistledown-x1-55/change")
    patient(verdict(page)).to_contain_text("%")
    assert (server.folder / "thistledown-x1-55.toml").is_file()


def test_a_map_is_drawn_as_long_work(server: Server, tab: Tab) -> None:  # noqa: F811
    page = tab.page
    page.goto(f"{server.address}/{NAME}/change")
    page.get_by_role("button", name="Look around").click()
    patient(page.get_by_text("Map. Done")).to_be_visible()
    patient(page.locator("h2", has_text="What was looked at")).to_be_visible()
