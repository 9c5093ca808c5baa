"""A made-up house for the tests: two storeys, two and a half baths."""

from phases.sizing.outline.guess import guess
from phases.sizing.outline.site import Placed, Site
from phases.sizing.tables import Book

SITE = Site(storeys=2)
ROOMS = (
    Placed(2, "hall-bath", "closet"),
    Placed(2, "hall-bath", "lavatory"),
    Placed(2, "hall-bath", "tub_shower"),
    Placed(2, "owner-bath", "closet"),
    Placed(2, "owner-bath", "lavatory_double"),
    Placed(2, "owner-bath", "shower"),
    Placed(1, "powder", "closet"),
    Placed(1, "powder", "lavatory"),
    Placed(1, "kitchen", "kitchen_sink"),
    Placed(1, "kitchen", "dishwasher"),
    Placed(1, "kitchen", "ice_maker"),
    Placed(1, "kitchen", "gas_range"),
    Placed(1, "laundry", "washer_box"),
    Placed(1, "garage", "tank_gas"),
    Placed(1, "attic", "gas_furnace"),
    Placed(1, "outside", "hose_bibb", 2),
)


def guessed(code="IRC", rooms=ROOMS, site=SITE):
    """The guess of the house in a book of 2021."""
    return guess(rooms, site=site, book=Book(code))
