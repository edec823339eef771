"""A small aeroplane for tests that need one: complete enough to check, plain enough to reason about."""

SMALL = """\
format = 1
name = "Sparrow on a stick"   # tests only

[rotor.main]
kind = "vaned"
section = "s-section"
span = "500 mm"
diameter = "120 mm"
mirror = true
position = ["180 mm", "330 mm", "60 mm"]
discs = { diameter = "180 mm", thickness = "3 mm", count = 2 }

[surface.tailplane]
span = "420 mm"
chord = "130 mm"
position = ["800 mm", "0 mm", "40 mm"]
control = { name = "elevator", chord_share = 0.35, travel = "25 deg" }

[body.stick]
length = "850 mm"
width = "40 mm"
height = "50 mm"
position = ["430 mm", "0 mm", "0 mm"]

[thruster.nose]
kind = "propeller"
propeller = "8x4"
motor = { speed_constant = "1100 rpm/V", resistance = "85 mohm", no_load_current = "0.8 A", mass = "60 g" }
battery = "main"

[battery.main]
cells = "3S"
capacity = "1300 mAh"
"""
