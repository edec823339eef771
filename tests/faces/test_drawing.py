"""``--picture FILE`` in every command: refused before the work if it cannot be drawn, saved after it."""

from pathlib import Path

import altair as alt
import pytest

from rotorwright.base.errors import InputProblems
from rotorwright.faces import cli
from rotorwright.faces.cli.drawing import drawing

COMMANDS = sorted(Path(cli.__file__).parent.glob("*.py"))
CHART = alt.Chart(alt.Data(values=[{"x": 1.0, "y": 2.0}])).mark_point().encode(x="x:Q", y="y:Q")


def test_nothing_is_drawn_unasked() -> None:
    assert drawing(None) is None


@pytest.mark.parametrize("name", ["flight.pdf", "flight", "flight.svg.exe"])
def test_another_ending_is_refused_before_any_work(tmp_path: Path, name: str) -> None:
    with pytest.raises(InputProblems, match=r"\.svg"):
        drawing(str(tmp_path / name))
    assert not list(tmp_path.iterdir())


def test_one_chart_gets_the_name_and_several_get_their_own(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    draw = drawing(str(tmp_path / "one.svg"))
    assert draw is not None
    draw(CHART)
    assert (tmp_path / "one.svg").read_text(encoding="utf-8").startswith("<svg")
    assert not capsys.readouterr().err
    draw({"path": CHART, "speed": CHART})
    said = capsys.readouterr().err
    for name in ("one-path.svg", "one-speed.svg"):
        assert (tmp_path / name).is_file()
        assert name in said


@pytest.mark.parametrize(
    "path",
    [path for path in COMMANDS if '"--picture", metavar' in path.read_text(encoding="utf-8")],
    ids=lambda path: path.stem,
)
def test_every_command_that_draws_refuses_first(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert "drawing(picture)" in text
    assert "save_picture" not in text
    assert text.index("drawing(picture)") < text.index("draw(")
