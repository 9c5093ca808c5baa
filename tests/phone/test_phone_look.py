"""The phone page in a real browser: gloves, sun, and plain words."""

import pytest
from playwright.sync_api import expect

from tests.phone.house import arrived

pytestmark = pytest.mark.browser


def test_the_page_says_in_words_that_its_address_is_not_secure(browser, house):
    context = house.phone(browser, host="phone.example")
    page = context.new_page()
    page.goto("/phone/")

    expect(page.locator(".banner.bad")).to_contain_text("not secure (no https)")
    context.close()


CANCEL = ".sheet .acts button >> nth=0"
WALK = {
    "plumber": [
        *("[data-days]", "button.back", "button[data-lot]"),
        *("[data-put-up]", ".sheet [data-system=gas]", ".sheet [data-save]"),
        *("[data-test] .acts button >> nth=1", CANCEL),
        *("[data-test] .acts button >> nth=2", ".sheet .acts button >> nth=2"),
        *(".list > button.row", ".row.item .words >> nth=2"),
    ],
    "lead": [
        *("[data-days]", "button.back", "button[data-lot]"),
        *("[data-result]", ".sheet [data-result=no_access]", CANCEL),
        *("[data-result]", ".sheet [data-result=partly_passed]", CANCEL),
        *("button.wide", ".row.walk .acts button >> nth=1", ".sheet [data-owed=us]"),
        CANCEL,
    ],
}


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("who", ["Ann", "Lea"])
def test_every_target_is_large_enough_for_gloves(browser, house, who, language):
    house.office("notify", lot=house.world["lot"])
    context = house.phone(browser)
    page = house.enrol(context, who)
    if language == "es":
        page.get_by_role("button", name="Español").click()
    steps = WALK["plumber" if who == "Ann" else "lead"]
    seen = 0
    for step in [None, *steps, ".chip"]:
        if step:
            page.click(step)
        page.wait_for_timeout(100)
        small, count = page.evaluate(MEASURE)
        assert small == [], step
        seen += count
        wide = page.evaluate("document.documentElement.scrollWidth")
        assert wide <= 390, step
    assert seen > 15
    context.close()


MEASURE = """() => {
  const small = [];
  const all = [...document.querySelectorAll("button, input, textarea, .row")]
    .filter((one) => !one.matches(".camera") && one.checkVisibility());
  for (const one of all) {
    const { width, height } = one.getBoundingClientRect();
    const least = one.matches(".row") ? 96 : 72;
    if (height < least || width < 72) small.push([one.className, width, height]);
  }
  return [small, all.length];
}"""


def test_the_pad_takes_sixteenths_and_asks_why_when_out_of_tolerance(browser, house):
    context = house.phone(browser)
    page = house.enrol(context, "Ann")
    house.room(page)
    house.tick(page, "shower-head")
    sheet = page.locator("dialog.sheet")

    for digit in "78":
        sheet.get_by_role("button", name=digit, exact=True).click()
    sheet.get_by_role("button", name="1/2", exact=True).click()
    expect(sheet.locator(".reading")).to_have_text('78 1/2"')
    expect(sheet.locator(".verdict")).to_have_text(
        'Out of tolerance: 1 1/4" too little'
    )
    sheet.locator("[data-save]").click()
    expect(sheet.locator(".verdict")).to_have_text(
        "Give a reason or send a correction."
    )
    sheet.locator("textarea").fill("beam above")
    sheet.locator("[data-save]").click()

    arrived(page, house, ("measure", "Ann"))
    fact = house.truth()["facts"][-1]
    assert (fact["payload"]["value"], fact["payload"]["reason"]) == (1256, "beam above")
    assert house.state("shower-head") == "failed"
    context.close()
