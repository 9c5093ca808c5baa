"""A plan with a kept outline, for the tests of the check and material pages."""

import re
import subprocess

from phases.actions.outlines import accept_outline, keep_guess
from phases.sizing.tables import Book
from tests.desk.scene import Street
from tests.factories import NOW, make_option

FIXTURES = ("closet", "lavatory", "tub_shower", "gas_range", "tank_gas", "hose_bibb")
IRC = Book("IRC", 2021)


class Checked(Street):
    """A street whose plan has an option, and an outline where one is asked for."""

    def __init__(self, lots=1, *, accepted=True, guessed=True, fixtures=FIXTURES):
        super().__init__(lots=0, fixtures=fixtures)
        self.option = make_option(self.plan, ["bidet"], code="BID")
        self.outline = None
        if guessed:
            self.outline = keep_guess(self.plan, [], book=IRC, who=self.office, now=NOW)
        if guessed and accepted:
            self.outline = accept_outline(
                self.outline, name="Wren Quill", who=self.office, now=NOW
            )
        self.lots = [self.lot() for _ in range(lots)]


def paper_text(response):
    """What a PDF says, on one line."""
    assert response["Content-Type"] == "application/pdf"
    made = subprocess.run(
        ["pdftotext", "-layout", "-", "-"],
        input=response.content,
        capture_output=True,
        check=True,
    )
    return re.sub(r"\s+", " ", made.stdout.decode())
