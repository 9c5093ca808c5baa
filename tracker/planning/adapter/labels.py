"""The label of a lot in a plan: made here, and put into a reader's language here.

Plans are kept with the English label, by which their jobs are named.
"""

from tracker.sites.models import Lot

BLOCK = {"en": " block ", "es": " manzana "}


class Label(str):
    """A label in a sentence of `tracker.words`."""

    __slots__ = ()

    def in_language(self, language: str) -> str:
        """`14 block 6, Lantern Hill`, or `14 manzana 6, Lantern Hill`."""
        return self.replace(BLOCK["en"], BLOCK[language])

    @property
    def short(self) -> str:
        """The lot without its subdivision: `14·6`."""
        return self.split(",")[0].replace(BLOCK["en"], "·")


def label_of(lot: Lot, place: str) -> str:
    """A readable name: `14 block 6, Lantern Hill`."""
    block = f"{BLOCK['en']}{lot.block}" if lot.block else ""
    unit = f" {lot.unit}" if lot.unit else ""
    return f"{lot.label or lot.address}{unit}{block}, {place}"
