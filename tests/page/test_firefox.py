"""The page in a plain Firefox: what a person does with it there, with real input."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import pytest
from firefox import DARK, FIREFOX, Firefox, Tab, firefox
from visiting import ROOT

from geometry.machine.layout_file import read_layout
from optimizer.evaluation.chain import evaluate

pytestmark = pytest.mark.skipif(
    FIREFOX is None, reason="no Firefox is installed (Debian package: firefox-esr)"
)

LANTERN = ROOT / "optimizer" / "page" / "lantern_layout.toml"
PITCH, TURNS = "#c-carrier-pitch_radius_mm", "#c-winding-turns"


@pytest.fixture(scope="session")
def fox(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Firefox]:
    """One Firefox for all tests of a process."""
    with firefox(tmp_path_factory.mktemp("firefox")) as driven:
        yield driven


def watched(tab: Tab) -> Iterator[Tab]:
    """The tab on a first visit; at the end nothing may have gone wrong or gone outside."""
    yield tab.open()
    assert tab.complaints() == []
    assert tab.outside() == []
    tab.close()


@pytest.fixture
def tab(fox: Firefox, address: str) -> Iterator[Tab]:
    """A first visit on a laptop."""
    yield from watched(Tab(fox, address))


@pytest.fixture
def phone(fox: Firefox, address: str) -> Iterator[Tab]:
    """A first visit on a phone's screen."""
    yield from watched(Tab(fox, address, 390, 844))


def volts(tab: Tab) -> float:
    """The voltage that the page shows."""
    return float(tab.text("#rms").split()[0])


def drawn(tab: Tab) -> str:
    return tab.of("#sheet", "it.innerHTML")


def small(tab: Tab) -> None:
    """A brief that is searched fast."""
    tab.fill("#b-space-outer_diameter_mm", "70")
    tab.fill("#b-magnets-1-quantity", "8")
    tab.press("Tab")


def focused(tab: Tab) -> str:
    """What has the focus: its id, or its words."""
    return tab.eval("document.activeElement.id || document.activeElement.innerText")


def test_first_visit_shows_the_lantern_and_its_voltage(tab: Tab):
    assert volts(tab) == pytest.approx(evaluate(read_layout(LANTERN)).emf_rms_V, rel=2e-3)
    assert tab.eval("document.querySelectorAll('#sheet .POCKETS_NORTH circle').length") == 8
    assert tab.text("#verdict") == "Fits."
    assert "Hand-spun lantern" in tab.eval("document.title")
    box = tab.of("#sheet svg", "[it.clientWidth, it.clientHeight]")
    assert min(box) > 350  # drawn at a size that can be read
    assert tab.eval("document.querySelector('.readout').getBoundingClientRect().bottom <= innerHeight")


def test_what_watches_can_see(fox: Firefox, address: str):
    tab = Tab(fox, address).open()
    tab.eval("console.error('so it is told')")
    assert tab.complaints() == ["error: so it is told"]
    tab.ask("browsingContext.navigate", url="about:blank", wait="complete")
    tab.eval("fetch('http://elsewhere.invalid/x', {mode: 'no-cors'}).catch(() => 'refused')")
    assert tab.outside() == ["http://elsewhere.invalid/x"]
    tab.close()


@pytest.mark.parametrize("name", ["carrier-magnet-diameter_mm", "operation-air_gap_mm"])
def test_a_dragged_slider_redraws_and_undo_brings_back(tab: Tab, name: str):
    slider = f"#c-{name}-slide"
    before, picture, at = tab.text("#figures"), drawn(tab), tab.value(f"#c-{name}")
    x, y = tab.spot(slider)
    tab.torque_law((x, y), (x + 10, y), (x + 30, y))
    tab.until("location.hash.length > 1")
    tab.settled()
    now = tab.value(f"#c-{name}")
    assert now != at
    assert float(now) == float(tab.value(slider))
    assert (tab.text("#figures"), drawn(tab)) != (before, picture)
    tab.click("#undo")
    tab.settled()
    assert (tab.value(f"#c-{name}"), tab.text("#figures"), drawn(tab)) == (at, before, picture)
    tab.click("#redo")
    tab.settled()
    assert tab.value(f"#c-{name}") == now


def test_a_misfit_is_told_beside_its_control_and_drawn(tab: Tab):
    tab.fill(PITCH, "50")
    tab.until("document.querySelectorAll('#misfits li').length === 1")
    words = "wall from magnet pocket to rim must be at least 2 mm, was −2.5 mm"
    assert words in tab.text("#misfits li")
    assert words in tab.text(f"{PITCH}-fault")
    assert tab.of(f"{PITCH}-fault", "getComputedStyle(it, '::before').content") == '"▲ "'
    assert tab.eval("document.querySelectorAll('#sheet .claimed').length") == 16
    assert tab.value(PITCH) == "50"
    tab.fill("#c-carrier-count", "7")
    tab.until("!document.querySelector('#c-carrier-count-fault').hidden")
    assert "even number of at least 2, was 7" in tab.text("#c-carrier-count-fault")


def test_the_rotor_turns_and_the_dot_runs(tab: Tab):
    def dot() -> float:
        return float(tab.of("#waveform .dot", "it.getAttribute('cx')"))

    start = dot()
    tab.spot("#angle")
    tab.of("#angle", "it.focus()")
    tab.press(*["ArrowRight"] * 11)
    assert tab.of("#sheet .POCKETS_NORTH", "it.getAttribute('transform')") == "rotate(-5.5)"
    assert tab.of("#sheet .COIL_OUTLINE", "it.getAttribute('transform')") is None
    assert dot() > start + 5
    x, y = tab.of("#sheet svg", "(m => [Math.round(m.e), Math.round(m.f)])(it.getScreenCTM())")
    tab.torque_law((x + 100, y), (x + 70, y - 70), (x, y - 100))
    assert float(tab.value("#angle")) == pytest.approx(95.5, abs=1.5)
    assert tab.eval("getSelection().toString()") == ""


def test_a_search_cancelled_reloaded_finished_and_picked_from(tab: Tab):
    before = tab.text("#rms")
    tab.click("#seek")
    tab.until("!document.querySelector('#cancel').hidden")
    assert focused(tab) == "cancel"
    tab.press("Enter")
    tab.until("document.querySelector('#search-words').innerText.includes('Cancelled')")
    assert tab.text("#rms") == before
    tab.click("#seek")
    tab.until("document.querySelector('#sofar svg')")  # the whole brief: there is time to see it
    small(tab)
    tab.reload()
    assert tab.eval("document.querySelector('#seek').disabled") is False
    assert tab.value("#b-space-outer_diameter_mm") == "70"
    tab.click("#seek")
    tab.until("document.querySelector('#found .card')")
    tab.settled()
    assert "layouts were considered" in tab.text("#search-words")
    assert "would bring" in tab.text("#why")
    tab.click("#found .card")
    tab.settled()
    assert tab.value("#c-carrier-count") == "2"
    tab.click("#undo")
    tab.settled()
    assert tab.value("#c-carrier-count") != "2"


@pytest.mark.parametrize("name", ["template.pdf", "layout.toml", "build_pack.zip"])
def test_files_equal_the_command_line_s(tab: Tab, written: Path, name: str):
    tab.fill(TURNS, "76")
    tab.press("Tab")
    tab.until("location.hash.includes('winding.turns=76')")
    tab.click(f"[data-file='{name}']")
    assert tab.downloaded(name) == (written / name).read_bytes()
    assert name in focused(tab)


def test_a_reload_loses_nothing(tab: Tab):
    tab.fill(TURNS, "70")
    tab.press("Tab")
    tab.until("location.hash.includes('winding.turns=70')")
    shown = tab.settled().text("#rms")
    tab.of("#angle", "it.focus()")
    tab.press("ArrowRight")
    tab.reload()
    assert (tab.text("#rms"), tab.value(TURNS)) == (shown, "70")
    assert (
        tab.value("#angle") == tab.text("#angle-words").split(".")[0]
    )  # not what Firefox remembers of the field
    tab.click("#undo")
    tab.settled()
    assert tab.value(TURNS) == "78"
    assert tab.eval("[localStorage.length, sessionStorage.length, document.cookie]") == [0, 0, ""]


def test_keyboard_alone(tab: Tab):
    tab.press("Tab")
    assert focused(tab) == "To the controls"
    assert tab.of(".skip", "it.getBoundingClientRect().x") >= 0
    tab.press("Enter", "Tab")
    seen = [focused(tab)]
    while seen[-1] != "c-winding-turns-slide":
        tab.press("Tab")
        seen.append(focused(tab))
        assert len(seen) < 60, seen
    assert seen[:2] == ["c-carrier-count-slide", "c-carrier-count"]
    assert tab.eval("getComputedStyle(document.activeElement).outlineStyle") == "solid"
    tab.press("ArrowRight")
    tab.until("location.hash.includes('winding.turns=79')")
    assert tab.value(TURNS) == "79"
    tab.press("Control+z")
    tab.until(f"document.querySelector('{TURNS}').value === '78'")
    tab.press("Control+Shift+z")
    tab.until(f"document.querySelector('{TURNS}').value === '79'")
    tab.press("Tab", "ArrowUp")
    tab.until("location.hash.includes('winding.turns=80')")


def test_the_way_to_a_part_keeps_the_design(tab: Tab):
    tab.fill(TURNS, "70")
    tab.press("Tab")
    tab.until("location.hash.includes('winding.turns=70')")
    address = tab.eval("location.href")
    for number, part in enumerate(("adjust", "search", "understand", "use", "take"), 1):
        tab.click(f"nav a:nth-child({number})")
        assert focused(tab) == part
        tab.until(f"(b => b.top < innerHeight / 2 && b.bottom > 60)({part}.getBoundingClientRect())")
    assert (tab.value(TURNS), tab.eval("location.href")) == ("70", address)


def test_a_phone_shows_drawing_and_slider_together(phone: Tab):
    fits = "document.documentElement.scrollWidth <= document.documentElement.clientWidth"
    assert phone.eval(fits)
    slider = "#c-operation-air_gap_mm-slide"
    before = volts(phone)
    x, y = phone.spot(slider)
    assert phone.of("#sheet svg", "it.getBoundingClientRect().y") >= 0
    assert phone.of("#sheet svg", "it.getBoundingClientRect().bottom") < y < 844
    phone.torque_law((x, y), (x + 20, y))
    phone.until("location.hash.length > 1")
    phone.settled()
    assert volts(phone) < before
    phone.click("nav a:nth-child(5)")
    title = "document.querySelector('#take-title').getBoundingClientRect()"
    phone.until(f"(y => y > stage.getBoundingClientRect().bottom && y < 0.7 * innerHeight)({title}.y)")
    phone.fill(PITCH, "51")
    phone.until("document.querySelector('#misfits li')")
    assert phone.eval(fits)


def test_three_phases_on_a_rig_beside_a_motor(tab: Tab):
    tab.click("#controls input[name=c-winding-phases][value='3']")
    tab.click("#controls input[value=arc]")
    tab.settled()
    for box in ("#u-hand", "#u-beside"):
        tab.click(box)
    tab.of("#u-mechanism", "{it.value = 'crank'; it.dispatchEvent(new Event('change'))}")
    tab.click("#u-rig-gear")
    tab.click("#u-go")
    tab.until("document.querySelector('#u-words').textContent === 'Done.'")
    words = tab.text("#u-answer").replace("\xa0", " ")
    for part in (
        "rms in each phase",
        "from the hand",
        "rewound for this load",
        "phases in star",
        "line rms",
    ):
        assert part in words
    shown = tab.eval("location.hash")
    tab.eval("void (location.hash = '#take')")
    tab.until("document.activeElement.id === 'take'")
    tab.until(f"location.hash === {json.dumps(shown)}")
    tab.reload()
    assert tab.value("#u-mechanism") == "crank"


def test_dark_where_the_person_wants_it_dark(address: str, tmp_path: Path):
    with firefox(tmp_path, DARK) as driven:
        for tab in watched(Tab(driven, address)):
            color = tab.eval("getComputedStyle(document.documentElement).backgroundColor")
            assert max(int(part) for part in color[4:-1].split(",")) < 60
            field = tab.of(TURNS, "getComputedStyle(it).color")
            assert min(int(part) for part in field[4:-1].split(",")) > 200
