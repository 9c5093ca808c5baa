"""Papers that leave the house: the stop notice and the inspection sheet, as PDF."""
