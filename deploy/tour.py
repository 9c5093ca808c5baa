"""Takes the pictures of README.md from a running demo.

Run from the top of the project while the demo runs: `python -m deploy.tour [ADDRESS
[NAME...]]`.
It signs in as the demo's people with the password that the demo prints, lets one phone
in and makes one builder's link, and writes deploy/tour/*.png, few colours each.
"""

import io
import shutil
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

from PIL import Image
from playwright.sync_api import Browser, Page, sync_playwright

from tracker.desk.demo.scenario import CREWS, PASSWORD

ADDRESS = "http://127.0.0.1:8000"
FOLDER = Path(__file__).resolve().parent / "tour"
DESK, PHONE = (1440, 900), (390, 844)
MOST_BYTES = 250_000
LOTS_LOOKED_AT = 40
CREW_LEAD = CREWS[3][4][0][1]  # one who reads English
ARGS = ["--disable-gpu", "--no-first-run", "--disable-background-networking"]
WORTH = """() => [...document.querySelectorAll("[data-item]")].slice(0, 4)
  .reduce((sum, row) => sum + (row.querySelector(".target:not(:empty)") ? 1 : 0)
    + (row.querySelector(".prove:not(.done)") ? 1 : 0), 0)"""
# Asked from a page of the office, as its own scripts do.
CODE = """async (member) => {
  const token = JSON.parse(document.body.getAttribute("hx-headers"))["x-csrftoken"];
  const answer = await fetch("/api/v1/enrol-codes/", {method: "POST",
    headers: {"Content-Type": "application/json", "X-CSRFToken": token},
    body: JSON.stringify({member})});
  return (await answer.json()).code;
}"""


def save(page: Page, name: str) -> None:
    """One picture in 128 colours, so that the whole tour stays light."""
    page.wait_for_load_state("networkidle")
    with Image.open(io.BytesIO(page.screenshot())) as shot:
        few = shot.convert("RGB").quantize(128, dither=Image.Dither.NONE)
    FOLDER.mkdir(exist_ok=True)
    file = FOLDER / f"{name}.png"
    few.save(file, optimize=True)
    size = file.stat().st_size
    print(f"{name}.png {size // 1000} kB")
    if size > MOST_BYTES:
        raise SystemExit(f"{name}.png has more than {MOST_BYTES // 1000} kB.")


def go(page: Page, path: str) -> None:
    answer = page.goto(path)
    if answer is None or answer.status != 200:
        raise SystemExit(f"{path} answers {answer and answer.status}.")


def signed_in(browser: Browser, base: str, who: str) -> Page:
    width, height = DESK
    context = browser.new_context(
        base_url=base, viewport={"width": width, "height": height}, locale="en-US"
    )
    page = context.new_page()
    go(page, "/sign-in/")
    page.fill("[name=username]", who)
    page.fill("[name=password]", PASSWORD)
    page.click("main form button")
    page.wait_for_url(lambda address: "/sign-in/" not in address)
    return page


def links(page: Page, start: str) -> list[str]:
    """Addresses on the page that begin so and name one thing, each once."""
    found = page.eval_on_selector_all(
        "a[href]", "all => all.map(one => one.getAttribute('href'))"
    )
    plain = (address.partition("?")[0].partition("#")[0] for address in found)
    rests = {a: a.removeprefix(start).strip("/") for a in plain if a.startswith(start)}
    return [address for address, rest in rests.items() if rest.isdigit()]


def busiest(page: Page, paths: list[str], worth: Callable[[str], int]) -> str:
    """The page of these that has most to show."""
    found = {path: worth(page.request.get(path).text()) for path in paths}
    return max(found, key=lambda path: found[path])


def today(page: Page) -> None:
    go(page, "/")


def street(page: Page) -> None:
    go(page, "/streets/")
    go(page, busiest(page, links(page, "/streets/"), len))


def lot(page: Page) -> None:
    street(page)
    lots = links(page, "/lots/")[:LOTS_LOOKED_AT]
    go(page, busiest(page, lots, under_way))


def under_way(text: str) -> int:
    """Photos on the page of a house; a house that is done shows less of the work."""
    return 0 if "Close the house" in text else text.count("/thumbnail/")


def plan_check(page: Page) -> None:
    go(page, "/plans/")
    go(page, f"{links(page, '/plans/')[0]}check/")


def call_in(page: Page) -> None:
    go(page, "/inspections/")


def look_ahead(page: Page) -> None:
    go(page, "/look-ahead/")


OFFICE: dict[str, Callable[[Page], None]] = {
    "today": today,
    "street": street,
    "lot": lot,
    "plan-check": plan_check,
    "call-in": call_in,
    "look-ahead": look_ahead,
}
NAMES = (*OFFICE, "phone", "builder")


def phone(browser: Browser, base: str, office: Page) -> None:
    go(office, "/people/")
    who = office.locator("tr", has_text=CREW_LEAD).locator("a[href^='/people/']").first
    member = (who.get_attribute("href") or "").strip("/").split("/")[-1]
    code = office.evaluate(CODE, int(member))
    width, height = PHONE
    context = browser.new_context(
        base_url=base,
        viewport={"width": width, "height": height},
        has_touch=True,
        locale="en-US",
    )
    page = context.new_page()
    go(page, f"/phone/#enrol={code}")
    page.click("form button[type=submit]")
    page.wait_for_selector("button[data-lot]")
    open_a_room_with_work(page)
    save(page, "phone")
    context.close()


def open_a_room_with_work(page: Page) -> None:
    """The room whose first rows have most targets and most still to do."""
    lots = page.locator("button[data-lot]")
    rooms = page.locator(".list > button.row")
    found: dict[tuple[int, int], int] = {}
    for lot in range(lots.count()):
        lots.nth(lot).click()
        rooms.first.wait_for()
        for room in range(rooms.count()):
            rooms.nth(room).click()
            page.locator("[data-item]").first.wait_for()
            found[lot, room] = page.evaluate(WORTH)
            page.click("button.back")
        page.click("button.back")
    lot, room = max(found, key=lambda place: found[place])
    lots.nth(lot).click()
    rooms.nth(room).click()
    page.locator("[data-item]").first.wait_for()


def builder(browser: Browser, base: str, office: Page) -> None:
    go(office, "/links/")
    office.select_option("[name=builder]", index=1)
    office.click("main form:has([name=builder]) button:not([value])")
    address: Any = office.locator(".address").first.inner_text()
    width, height = DESK
    context = browser.new_context(
        viewport={"width": width, "height": height}, locale="en-US"
    )
    page = context.new_page()
    go(page, f"{base}/b/{address.strip('/').split('/')[-1]}/")
    save(page, "builder")
    context.close()


def main(base: str, wanted: list[str]) -> int:
    if unknown := set(wanted) - set(NAMES):
        print(f"Pictures are: {', '.join(NAMES)}; not {', '.join(sorted(unknown))}.")
        return 2
    with sync_playwright() as play:
        browser = play.chromium.launch(
            executable_path=shutil.which("chromium"), args=ARGS
        )
        office = signed_in(browser, base, "office")
        for name in wanted or NAMES:
            if name == "phone":
                phone(browser, base, office)
            elif name == "builder":
                builder(browser, base, office)
            else:
                OFFICE[name](office)
                save(office, name)
        browser.close()
    return 0


if __name__ == "__main__":
    given = sys.argv[1:] or [ADDRESS]
    sys.exit(main(given[0].rstrip("/"), given[1:]))
