"""Pure checks of drainage, vents, water, gas, condensate, framing and supports.

Nothing here knows Django. Every figure comes from a table cell under `data/`, which
keeps its code book, edition, section and provenance. The results are aids: the adopted
code with its local amendments and a licensed person decide.
"""
