"""A server restored from a backup, and new releases of the page over a full outbox."""

import contextlib
import shutil
import sqlite3
from uuid import uuid4

import pytest
from playwright.sync_api import expect

from tests.phone.house import House, arrived, chip
from tests.phone.sim.run import Server

pytestmark = pytest.mark.browser


def backed_up(folder, name: str) -> None:
    with (
        contextlib.closing(sqlite3.connect(folder / "sim.sqlite3")) as live,
        contextlib.closing(sqlite3.connect(folder / name)) as copy,
    ):
        live.backup(copy)


def restored(folder, name: str) -> None:
    """The backup in place of the database, with an epoch of its own."""
    for end in ("", "-wal", "-shm"):
        (folder / f"sim.sqlite3{end}").unlink(missing_ok=True)
    shutil.copy(folder / name, folder / "sim.sqlite3")
    with contextlib.closing(sqlite3.connect(folder / "sim.sqlite3")) as live, live:
        live.execute("UPDATE phases_feed SET epoch = ?", [uuid4().hex])


def test_a_restored_server_gets_again_what_it_lost_and_nobody_enters_a_thing(
    browser, migrated, tmp_path
):
    folder = tmp_path / "restored"
    folder.mkdir()
    shutil.copy(migrated, folder / "sim.sqlite3")
    with Server(folder) as server:
        house = House(server)
        context = house.phone(browser)
        page = house.enrol(context, "Ann")
        house.room(page)
        house.tick(page, "closet-drain")
        arrived(page, house, ("tick", "Ann"))
        backed_up(folder, "backup.sqlite3")
        house.tick(page, "lavatory-drain")
        arrived(page, house, ("tick", "Ann"), ("tick", "Ann"))

        server.stop()
        restored(folder, "backup.sqlite3")
        server.start()
        assert house.entries() == [("tick", "Ann")]
        page.evaluate("window.dispatchEvent(new Event('online'))")

        arrived(page, house, ("tick", "Ann"), ("tick", "Ann"))
        assert house.state("lavatory-drain") == "proven"
        page.click(".chip")
        expect(page.locator(".entry[data-state=sent]")).to_have_count(2)
        context.close()


# In the page itself: a route of the browser may miss what passes a service worker that
# has just taken over.
NO_SENDING = """
const real = window.fetch;
window.fetch = (what, ...rest) =>
  localStorage.noSending && String(what?.url ?? what).includes("/operations/")
    ? Promise.reject(new TypeError("no signal"))
    : real(what, ...rest);
"""


def test_three_releases_over_a_full_outbox_lose_nothing(browser, house):
    context = house.phone(browser)
    page = house.enrol(context, "Ann")
    house.room(page)
    page.add_init_script(NO_SENDING)
    page.evaluate("localStorage.noSending = 1")
    page.reload()
    house.tick(page, "closet-drain")
    expect(page.locator(".chip")).to_have_text("1 on this phone")

    for number in range(3):
        house.office("release", name=f"release-{number}")
        page.reload()
        page.get_by_role("button", name="New version").click(timeout=20_000)
        expect(page.get_by_role("button", name="New version")).to_have_count(0)
        expect(page.locator(".chip")).to_have_text("1 on this phone")
        kept = page.evaluate("caches.keys()")
        assert kept == [f"phone-files-release-{number}"]

    assert house.entries() == []
    page.evaluate("delete localStorage.noSending")
    page.evaluate("window.dispatchEvent(new Event('online'))")
    arrived(page, house, ("tick", "Ann"))
    context.close()


def test_a_lead_rejects_a_proof_on_the_phone_and_it_is_to_do_again(browser, house):
    plumber, lead = house.phone(browser), house.phone(browser)
    page = house.enrol(plumber, "Ann")
    house.room(page)
    house.tick(page, "closet-drain")
    arrived(page, house, ("tick", "Ann"))
    page = house.enrol(lead, "Lea")
    house.room(page)
    lead.set_offline(True)
    house.row(page, "closet-drain").locator(".words").click()
    page.get_by_role("button", name="Reject this proof").click()
    page.locator("dialog.sheet textarea").fill("strap is loose")
    page.locator("dialog.sheet").get_by_role("button", name="Save").click()
    expect(page.get_by_role("button", name="Reject this proof")).to_have_count(0)

    lead.set_offline(False)
    arrived(page, house, ("tick", "Ann"), ("reject", "Lea"))
    assert house.state("closet-drain") == "rejected"
    chip(page, "sent")
    for context in (plumber, lead):
        context.close()
