"""Texts of the pages after final."""

# ruff: noqa: E501 (a text and its translation stand whole)

WORDS = {
    "After final": "Después del final",
    "Final passed": "Final aprobado",
    "Closed": "Escriturada",
    "Closed on": "Escriturado el",
    "Warranty until": "Garantía hasta",
    "no date": "sin fecha",
    "over": "vencida",
    "No house has passed its last phase yet. Finished houses stand here with their closing, warranty and call-backs.": "Ninguna casa ha pasado su última fase. Aquí estarán las casas terminadas con su escritura, garantía y llamados.",
    "Call-backs": "Llamados",
    "Call-back": "Llamado de garantía",
    "By crew": "Por cuadrilla",
    "By plan": "Por plano",
    "By item": "Por punto",
    "Houses": "Casas",
    "None so far.": "Ninguno hasta hoy.",
    "Wall record": "Registro de muros",
    "All finished houses": "Todas las casas terminadas",
    "Closing and warranty": "Escritura y garantía",
    "Found": "Encontrado",
    "On the builder's walk list": "A la lista del constructor",
    "Walk list and call-backs": "Lista del constructor y llamados",
    "Walk list": "Lista",
    "What is wrong": "Qué está mal",
    "Nothing found on this house.": "Nada encontrado en esta casa.",
}
