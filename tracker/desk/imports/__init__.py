"""Lot lists in: looked at first, applied in one transaction, undone while unbuilt."""
