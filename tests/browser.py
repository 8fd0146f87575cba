"""Pages opened in headless Chromium: sizes, screenshots, print. Nothing is fetched: pages are files."""

from __future__ import annotations

import base64
import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

PROGRAM, DRIVER = shutil.which("chromium"), shutil.which("chromedriver")
OPTIONS = (
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--no-default-browser-check",
    "--disable-background-networking", "--disable-component-update", "--disable-sync", "--hide-scrollbars",
)  # fmt: skip
PHONE, DESK = (360, 800), (1280, 900)
SHEETS = {"A4": (8.27, 11.69), "Letter": (8.5, 11.0)}  # inches
SHOTS = "TCO_SCREENSHOTS"  # a folder in which screenshots are kept


def skipped() -> bool:
    """Whether tests in a browser are skipped: without Chromium, unless TCO_REQUIRE_CHROMIUM is set."""
    return (PROGRAM is None or DRIVER is None) and not os.environ.get("TCO_REQUIRE_CHROMIUM")


needs_chromium = pytest.mark.skipif(
    skipped(),
    reason="Chromium and its driver are not installed; set TCO_REQUIRE_CHROMIUM to fail instead of skipping",
)


@dataclass
class Browser:
    """A running Chromium."""

    driver: Any

    def open(self, page: Path, size: tuple[int, int]) -> None:
        """Show a file in a window of a size, in CSS pixels."""
        metrics = {"width": size[0], "height": size[1], "deviceScaleFactor": 1, "mobile": size == PHONE}
        self.driver.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", metrics)
        self.driver.get(page.as_uri())

    def run(self, script: str, *args: Any) -> Any:
        """What a script returns; the driver's, not the page's own."""
        return self.driver.execute_script(script, *args)

    def shot(self, place: Path) -> Path:
        """The whole page as a picture, in the folder of screenshots where one is named."""
        folder = Path(os.environ.get(SHOTS) or place.parent)
        folder.mkdir(parents=True, exist_ok=True)
        asked = {"format": "png", "captureBeyondViewport": True}
        data = self.driver.execute_cdp_cmd("Page.captureScreenshot", asked)["data"]
        (folder / place.name).write_bytes(base64.b64decode(data))
        return folder / place.name

    def printed(self, place: Path, sheet: str) -> Path:
        """The page as it is printed."""
        wide, tall = SHEETS[sheet]
        asked = {"paperWidth": wide, "paperHeight": tall, "preferCSSPageSize": False, "printBackground": False}
        data = self.driver.execute_cdp_cmd("Page.printToPDF", asked)["data"]
        place.write_bytes(base64.b64decode(data))
        return place


@contextmanager
def browser(profile: Path) -> Iterator[Browser]:
    """Chromium with an empty profile."""
    from selenium import webdriver
    from selenium.webdriver.chrome.options import Options
    from selenium.webdriver.chrome.service import Service

    options = Options()
    options.binary_location = PROGRAM or "chromium"
    for option in (*OPTIONS, f"--user-data-dir={profile}"):
        options.add_argument(option)
    driver = webdriver.Chrome(options=options, service=Service(DRIVER or "chromedriver"))
    try:
        yield Browser(driver)
    finally:
        driver.quit()
