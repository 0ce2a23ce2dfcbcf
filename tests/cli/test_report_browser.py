"""The page in a real browser: nothing spills over, nothing fails, light and dark, on paper."""

from __future__ import annotations

import html
import json
import re
import shutil
import subprocess
from pathlib import Path

import pytest

BROWSER = next(filter(None, map(shutil.which, ("chromium", "chromium-browser"))), None)
pytestmark = pytest.mark.skipif(
    BROWSER is None, reason="no Chromium here; the distribution's package brings it"
)
QUIET = (
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
    "--hide-scrollbars",
)  # fmt: skip
DARK = "--blink-settings=preferredColorScheme=0"
MEASURE = """
<script>
const shown = e => e.getClientRects().length > 0;
const box = e => e.getBoundingClientRect();
const errors = [];
window.addEventListener("error", e => errors.push(String(e.message)));
const found = {
  inner: window.innerWidth,
  page: document.documentElement.scrollWidth,
  spills: [...document.querySelectorAll("h1,h2,p,li,figure,nav a,dd,summary")]
    .filter(e => shown(e) && box(e).right > window.innerWidth + 1)
    .map(e => e.textContent.slice(0, 60)),
  narrow: [...document.querySelectorAll(".narrow")].filter(shown).length,
  wide: [...document.querySelectorAll(".wide")].filter(shown).length,
  flat: [...document.querySelectorAll("figure svg")]
    .filter(e => shown(e) && box(e).height < 80).length,
  smallest: Math.min(...[...document.querySelectorAll("figure svg text")].filter(shown)
    .map(e => box(e)).map(b => Math.min(b.width, b.height)).filter(v => v > 0)),
  ground: getComputedStyle(document.body).backgroundColor,
  ink: getComputedStyle(document.body).color,
  bar: getComputedStyle(document.querySelector("#ports figure svg text")).fill,
  requests: performance.getEntriesByType("resource").map(e => e.name),
  errors: errors,
};
parent.document.getElementById("found").textContent = JSON.stringify(found);
</script>
"""


@pytest.fixture
def page(pump_page: tuple[Path, dict]) -> Path:
    """Cast against tubular."""
    return pump_page[0]


def browse(page: Path, folder: Path, *arguments: str) -> str:
    """What the browser prints of a page."""
    assert BROWSER is not None
    done = subprocess.run(
        [BROWSER, *QUIET, f"--user-data-dir={folder / 'profile'}", *arguments, page.as_uri()],
        capture_output=True, text=True, timeout=60, check=True,
    )  # fmt: skip
    return done.stdout


def measured(page: Path, folder: Path, width: int, *arguments: str) -> dict:
    """The page's own measure of itself; only this copy of it may run a script."""
    text = page.read_text(encoding="utf-8")
    text = re.sub(r'<meta http-equiv="Content-Security-Policy"[^>]*>', "", text)
    inner = html.escape(text.replace("</body>", f"{MEASURE}</body>"), quote=True)
    frame = folder / "frame.html"  # a window is never narrower than 500 px, a frame in it may be
    frame.write_text(
        f'<iframe style="width:{width}px;height:900px;border:0" srcdoc="{inner}"></iframe>'
        '<pre id="found"></pre>', encoding="utf-8",
    )  # fmt: skip
    dom = browse(frame, folder, "--window-size=1400,1000", "--dump-dom", *arguments)
    found = json.loads(html.unescape(re.findall(r'<pre id="found">(.*?)</pre>', dom, re.S)[-1]))
    assert found["inner"] == width
    return found


@pytest.mark.parametrize("width", [1200, 390])
def test_nothing_spills_over_or_fails(page: Path, tmp_path: Path, width: int) -> None:
    found = measured(page, tmp_path, width)
    assert found["page"] <= width
    assert found["spills"] == []
    assert found["errors"] == []
    assert found["requests"] == []
    assert found["flat"] == 0
    phone = width < 640
    assert bool(found["narrow"]) is phone
    assert bool(found["wide"]) is not phone
    # 6 px of box height is about 5 px of x-height at twice the pixels of a telephone: still read
    assert found["smallest"] >= 6.0


def test_a_dark_page_is_dark_with_its_pictures(page: Path, tmp_path: Path) -> None:
    light, dark = measured(page, tmp_path, 1200), measured(page, tmp_path, 1200, DARK)
    assert light["ground"] == "rgb(255, 255, 255)"
    assert max(map(int, re.findall(r"\d+", dark["ground"]))) < 40
    assert dark["bar"] == dark["ink"] != light["ink"]


def test_the_page_itself_runs_without_a_fetch_or_script(page: Path, tmp_path: Path) -> None:
    dom = browse(page, tmp_path, "--window-size=1200,900", "--dump-dom")
    assert "<script" not in dom
    assert "Cautions" in dom


def test_it_prints(page: Path, tmp_path: Path) -> None:
    printed = tmp_path / "page.pdf"
    browse(page, tmp_path, f"--print-to-pdf={printed}", "--no-pdf-header-footer", DARK)
    data = printed.read_bytes()
    assert data.startswith(b"%PDF")
    # an answer, two designs' pictures and tables and the readings do not fit on two sheets
    assert len(re.findall(rb"/Type\s*/Page\b", data)) > 2
