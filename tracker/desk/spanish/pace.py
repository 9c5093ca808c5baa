"""Texts of the crews that a pace needs, on the load page."""

# ruff: noqa: E501 (texts read better one a line)

WORDS = {
    "Crews for a pace": "Cuadrillas para un ritmo",
    "Houses a week": "Casas por semana",
    "or the last house passed by": "o la última casa aprobada para el",
    "Both empty: by the builders' dates.": "Los dos vacíos: según las fechas de los constructores.",
    "Work out the crews": "Calcular las cuadrillas",
    "{count} houses, the first passed on {first} by this plan, the last due on {last}: {rate} a week.": "{count} casas, la primera aprobada el {first} según este plan, la última con fecha límite el {last}: {rate} por semana.",
    "No pace does it: the first house passes on {first}, the last one by {last}.": "Ningún ritmo alcanza: la primera casa se aprueba el {first}, y la última sería para el {last}.",
    "The crews as they are keep up with {rate} a week; held there by: {phases}.": "Las cuadrillas como están dan para {rate} por semana; lo que las limita: {phases}.",
    "The crews as they are keep up with only {rate} a week; held there by: {phases}.": "Las cuadrillas como están dan solo para {rate} por semana; lo que las limita: {phases}.",
    "all phases together": "todas las fases juntas",
    "Crews that {rate} houses a week need": "Cuadrillas que piden {rate} casas por semana",
    "Crew-days a house": "Días de cuadrilla por casa",
    "Crews needed": "Cuadrillas necesarias",
    "Crews that can": "Cuadrillas que pueden",
    "Crews missing": "Cuadrillas que faltan",
    "All phases": "Todas las fases",
    "Crew-days a house are the mean of the open work, for crews as fast as those that can do it. A crew of several phases counts in each, but works only once; days off are not counted here.": "Los días de cuadrilla por casa son el promedio del trabajo abierto, con cuadrillas tan rápidas como las que pueden hacerlo. Una cuadrilla de varias fases cuenta en cada una, pero trabaja una sola vez; aquí no se cuentan los días libres.",
}
