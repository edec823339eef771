"""The pages, in the order a maker meets them."""

from __future__ import annotations

from rotorwright.faces.web.frame import Page
from rotorwright.faces.web.pages.aeroplane import draw_aeroplane
from rotorwright.faces.web.pages.answer_page import answer_page
from rotorwright.faces.web.pages.balance import draw_balance
from rotorwright.faces.web.pages.change import draw_change
from rotorwright.faces.web.pages.launch import draw_launch
from rotorwright.faces.web.questions import handled, powered, rotors, shaken

PAGES = {
    page.name: page
    for page in (
        Page("aeroplane", "Aeroplane", draw_aeroplane),
        Page("balance", "Balance", draw_balance),
        Page("rotors", "Rotors", answer_page("Drum or vanes, driven or free", rotors)),
        Page("power", "Power", answer_page("Motors, packs and heat", powered)),
        Page("shake", "Shake", answer_page("Where the rotors shake", shaken)),
        Page("handling", "Handling", answer_page("What it is like to fly", handled)),
        Page("launch", "Launch and wind", draw_launch),
        Page("change", "Next change", draw_change),
    )
}
