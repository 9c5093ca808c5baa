"""The lead's acts in a real browser without signal: corrections and results with
pictures, tests on the pipe; and a page that dies while the camera is open."""

from zlib import crc32

import pytest
from playwright.sync_api import Page, expect

from tests.phone import pictures_made
from tests.phone.house import House, chip

pytestmark = pytest.mark.browser


@pytest.fixture
def picture(tmp_path, request):
    # Another one in each test: the server keeps the same bytes once, for whoever was
    # first.
    seed = crc32(request.node.name.encode())
    data = pictures_made.jpeg(seed=seed, size=(320, 240))
    file = tmp_path / "IMG_0007.jpg"
    file.write_bytes(data)
    return file


def aim(page: Page, picture, button) -> None:
    """Touch a button that opens the camera, and take the picture."""
    with page.expect_file_chooser() as chooser:
        button.click()
    chooser.value.set_files(picture)


def sha(picture) -> str:
    return pictures_made.sha(picture.read_bytes())


def spanish(page: Page) -> None:
    page.get_by_role("button", name="Español").click()


def of_kind(house: House, kind: str) -> list[dict]:
    return [one for one in house.truth()["facts"] if one["kind"] == kind]


def settled(page: Page, house: House, kind: str, count: int = 1) -> list[dict]:
    for _ in range(250):
        if len(of_kind(house, kind)) >= count:
            break
        page.wait_for_timeout(100)
    chip(page, "sent")
    return of_kind(house, kind)


def walk(page: Page, house: House):
    """The walk's question on the closet drain."""
    page.click("button[data-lot]")
    page.get_by_role("button", name="Walk").click()
    row = house.row(page, "closet-drain")
    row.get_by_role("button", name="Correction").click()
    return page.locator("dialog.sheet")


def test_a_correction_with_a_picture_survives_a_page_killed_in_the_camera(
    browser, house, picture
):
    context = house.phone(browser)
    page = house.enrol(context, "Lea")
    context.set_offline(True)
    sheet = walk(page, house)
    sheet.locator("[data-owed=electrician]").click()
    sheet.locator("textarea").fill("cable through the plate")
    aim(page, picture, sheet.locator(".photo"))
    expect(sheet.locator("img")).to_be_visible()
    # A second look through the camera, and the phone kills the page meanwhile.
    with page.expect_file_chooser():
        sheet.locator(".photo").click()
    page.close()

    page = context.new_page()
    page.goto("/phone/")  # the start address, still without signal
    sheet = page.locator("dialog.sheet")
    expect(sheet.locator("[data-owed=electrician]")).to_have_attribute(
        "aria-pressed", "true"
    )
    expect(sheet.locator("textarea")).to_have_value("cable through the plate")
    expect(sheet.locator(f"img[data-sha='{sha(picture)}']")).to_be_visible()
    sheet.get_by_role("button", name="Save").click()
    expect(page.locator(".chip")).to_have_text("1 on this phone")

    context.set_offline(False)
    [fact] = settled(page, house, "correction_opened")
    said = fact["payload"]
    assert (said["owed_by"], said["text"]) == ("electrician", "cable through the plate")
    assert said["photo"] == sha(picture)
    page.reload()
    expect(page.locator("dialog.sheet")).to_have_count(0)  # it was answered
    context.close()


def test_the_page_killed_in_the_camera_comes_back_to_its_item_with_earlier_photos(
    browser, house, picture
):
    context = house.phone(browser)
    page = house.enrol(context, "Ann")
    house.room(page)
    house.row(page, "tub-valve").locator(".words").click()
    context.set_offline(True)
    photo = page.get_by_role("button", name="Photo", exact=True)
    aim(page, picture, photo)
    expect(page.locator(f"img[data-sha='{sha(picture)}']")).to_be_visible()
    with page.expect_file_chooser():
        photo.click()
    page.close()

    page = context.new_page()
    page.goto("/phone/")

    expect(page.locator("h1")).to_have_text("tub valve")
    expect(page.locator(f"img[data-sha='{sha(picture)}']")).to_have_js_property(
        "naturalWidth", 320
    )
    context.set_offline(False)
    settled(page, house, "entry")
    assert house.truth()["photos"] == [sha(picture)]
    context.close()


def test_a_correction_is_put_right_with_a_picture_and_read_in_spanish(
    browser, house, picture
):
    leads = house.phone(browser)
    page = house.enrol(leads, "Lea")
    sheet = walk(page, house)
    sheet.get_by_role("button", name="Our crew").click()
    sheet.locator("[data-say=drain_loose]").click()
    settled(page, house, "correction_opened")
    leads.close()
    context = house.phone(browser)
    page = house.enrol(context, "Ann")
    spanish(page)
    page.click("button[data-lot]")
    row = page.locator("[data-correction]")
    expect(row).to_contain_text("Desagüe flojo por un golpe")
    context.set_offline(True)

    aim(page, picture, row.get_by_role("button", name="Corregido, con foto"))
    expect(row.locator("img")).to_be_visible()
    expect(page.locator(".chip")).to_have_text("1 en este teléfono")

    context.set_offline(False)
    [fact] = settled(page, house, "correction_done")
    assert fact["payload"]["photo"] == sha(picture)
    context.close()


def test_a_failed_inspection_is_entered_without_signal_in_spanish(
    browser, house, picture
):
    context = house.phone(browser)
    page = house.enrol(context, "Lea")
    spanish(page)
    page.click("button[data-lot]")
    context.set_offline(True)
    page.locator(f"[data-result='{house.world['phase']}']").click()
    sheet = page.locator("dialog.sheet")
    sheet.locator("[data-save]").click()
    expect(sheet.locator(".verdict.bad")).to_have_text("¿Qué dijo el inspector?")
    sheet.get_by_role("button", name="No pasó").click()
    sheet.locator("textarea").fill("Sin placa en el lavamanos\n\nVentilación baja")
    aim(page, picture, sheet.locator(".photo"))
    expect(sheet.locator("img")).to_be_visible()
    page.close()
    page = context.new_page()
    page.goto("/phone/")
    sheet = page.locator("dialog.sheet")
    expect(sheet.locator("textarea")).to_have_value(
        "Sin placa en el lavamanos\n\nVentilación baja"
    )
    sheet.locator("[data-save]").click()
    expect(page.locator(".chip")).to_have_text("1 en este teléfono")

    context.set_offline(False)
    facts = settled(page, house, "correction_opened", 2)

    assert [(one["payload"]["text"], one["payload"]["photo"]) for one in facts] == [
        ("Sin placa en el lavamanos", sha(picture)),
        ("Ventilación baja", ""),
    ]
    [result] = of_kind(house, "result")
    assert result["payload"]["result"] == "failed"
    context.close()


@pytest.mark.parametrize(
    ("language", "gas", "save", "leak", "kept"),
    [
        ("en", "Gas", "Save", "No leak", "On this phone"),
        ("es", "Gas", "Guardar", "Sin fuga", "En este teléfono"),
    ],
)
def test_a_test_on_the_pipe_is_made_without_signal(
    browser, house, picture, language, gas, save, leak, kept
):
    context = house.phone(browser)
    page = house.enrol(context, "Ann")
    if language == "es":
        spanish(page)
    page.click("button[data-lot]")
    context.set_offline(True)
    page.click("[data-put-up]")
    sheet = page.locator("dialog.sheet")
    sheet.get_by_role("button", name=gas, exact=True).click()
    for name, figure in (("start_psig", "20"), ("start_f", "60")):
        sheet.locator(f"[name={name}]").fill(figure)
    sheet.get_by_role("button", name=save).click()
    row = page.locator("[data-test]")
    expect(row.locator(".mark")).to_have_text(kept)
    aim(page, picture, row.locator(".acts button").first)
    row.locator(".acts button").nth(1).click()
    for name, figure in (("minutes", "15"), ("end_psig", "19,3"), ("end_f", "50")):
        sheet.locator(f"[name={name}]").fill(figure)
    expect(sheet.locator(".verdict").first).to_contain_text("19.3 psi")
    sheet.get_by_role("button", name=leak).click()
    sheet.get_by_role("button", name=save).click()
    expect(row).to_contain_text("20 psi, 60 °F → 19.3 psi, 50 °F · 15 min")
    page.close()
    page = context.new_page()
    page.goto("/phone/")
    expect(page.locator("[data-test]")).to_contain_text("19.3 psi")

    context.set_offline(False)
    facts = settled(page, house, "pipe_test", 3)

    said = [one["payload"]["event"] for one in facts]
    assert sorted(said) == ["photo", "put_up", "read"]
    assert sha(picture) in house.truth()["photos"]
    # The server's verdict takes the place of "not judged yet".
    expect(page.locator("[data-test] .state")).to_be_visible()
    context.close()
