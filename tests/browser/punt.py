"""A boat of twenty beams without readings, and a block of twenty by nine of them as a spreadsheet hands it over."""

from __future__ import annotations

from pathlib import Path

BEAMS = 20
PLACES = ["P 800", "P 600", "P 400", "P 200", "0", "S 200", "S 400", "S 600", "S 800"]
PASTE = """([label, text]) => {
    const input = document.querySelector(`input[aria-label="${label}"]`);
    const data = new DataTransfer();
    data.setData("text/plain", text);
    input.focus();
    input.dispatchEvent(new ClipboardEvent("paste", { clipboardData: data, bubbles: true, cancelable: true }));
}"""


def make_punt(folder: Path) -> None:
    """Write her files; there are no readings yet."""
    folder.mkdir()
    stations = "".join(f"{k},{1500 * k},{1000 - 40 * k + 5 * k * k},{900 + 60 * k - 9 * k * k}\n" for k in range(7))
    (folder / "boat.toml").write_text('name = "Punt"\nunits = "mm"\n[camber]\nfigure = "1:32"\n', encoding="utf-8")
    (folder / "offsets.csv").write_text("station,x,height,half_breadth\n" + stations, encoding="utf-8")
    beams = "".join(f"{k + 1},{600 + 400 * k}\n" for k in range(BEAMS))
    (folder / "beams.csv").write_text("beam,x\n" + beams, encoding="utf-8")


def block(high: int = 9, by: float = 6) -> str:
    """Heights of a fair deck, tab-separated, of which one beam stands high by so many millimetres."""
    rows = []
    for k in range(BEAMS):
        x = (600 + 400 * k) / 1500
        crown = 1000 - 40 * x + 5 * x * x + 50 + (by if k + 1 == high else 0)
        rows.append("\t".join(f"{crown - 50 * (y / 900) ** 2:.0f}" for y in range(-800, 801, 200)))
    return "\r\n".join(rows) + "\r\n"
