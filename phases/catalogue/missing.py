"""Where a list cannot be made: markers that keep the gate shut, with the reason."""

from collections.abc import Iterator, Mapping

from phases.catalogue.demand import Demand
from phases.catalogue.house import Fixture, House, Room
from phases.catalogue.loading import Catalogue
from phases.catalogue.survey import PARTNERS, Survey

NO_LIST = "no_list"


def why_no_list(
    fixture: Fixture, *, room: Room, survey: Survey, catalogue: Catalogue
) -> tuple[str, str, str] | None:
    """Why nothing can be asked for a fixture: string code, what in en, what in es."""
    kind = catalogue.kinds.get(fixture.kind)
    if kind is None:
        return "no_list.kind", fixture.kind, fixture.kind
    if said := _strange_param(fixture, allowed=kind.params):
        return "no_list.param", said, said
    if "gas" in kind.outlets and survey.facts.get("fuel") == "none":
        return "no_list.fuel", kind.name_en, kind.name_es
    partner = survey.partners.get((room.key, fixture.key))
    if fixture.beside and partner is None:
        return "no_list.beside", kind.name_en, kind.name_es
    needs_lavatory = fixture.kind == "ac_condensate" and (
        fixture.params.get("into", kind.params["into"][0]) == "lavatory"
    )
    if needs_lavatory and (
        partner is None or partner[1].kind not in PARTNERS[fixture.kind]
    ):
        return "no_list.unplaced", kind.name_en, kind.name_es
    return None


def _strange_param(
    fixture: Fixture, *, allowed: Mapping[str, tuple[str, ...]]
) -> str | None:
    for name, value in fixture.params.items():
        if value not in allowed.get(name, ()):
            return f"{name}={value}"
    return None


def house_markers(house: House, *, catalogue: Catalogue) -> Iterator[Demand]:
    """Markers for a house without rooms or with a fact the catalogue lacks."""
    place = Room(key="house", kind="house", order=91)
    if not house.rooms:
        yield from markers("no_list.house", room=place, catalogue=catalogue)
    strange = [
        f"{name}={value}"
        for name, value in sorted(house.facts.items())
        if name not in catalogue.facts or value not in catalogue.facts[name].values
    ]
    if strange:
        said = ", ".join(strange)
        yield from markers(
            "no_list.fact",
            room=place,
            catalogue=catalogue,
            key="fact",
            what=(said, said),
        )


def markers(
    code: str,
    *,
    room: Room,
    catalogue: Catalogue,
    key: str = "",
    what: tuple[str, str] = ("", ""),
) -> Iterator[Demand]:
    """One concealed item a phase that nobody can prove: absence opens no gate."""
    words = catalogue.strings[code]
    head = catalogue.strings["proof.no_list"]
    name_en, name_es = room_names(room, catalogue=catalogue)
    place = "/".join(part for part in (room.key, key, NO_LIST) if part)
    for phase in catalogue.phases:
        yield Demand(
            key=f"{place}.{phase}",
            phase=phase,
            room=room.key,
            room_en=name_en,
            room_es=name_es,
            fixture=key,
            kind="",
            outlet=NO_LIST,
            text_en=f"{head.en}. {words.en.format(what=what[0])}",
            text_es=f"{head.es}. {words.es.format(what=what[1])}",
            quantity=1,
            size="",
            targets=(),
            concealed=True,
            proof=NO_LIST,
            measure="",
            unit="",
            least=None,
            most=None,
            minutes=0,
            photos=0,
            handoff="",
            advisory=False,
            source="",
            walk=(room.floor, room.order, 0, 0, 0),
        )


def room_names(room: Room, *, catalogue: Catalogue) -> tuple[str, str]:
    """The room's own names, else its kind's words; a kind unknown is shown as it is."""
    words = catalogue.room_kinds.get(room.kind)
    return (
        room.name_en or (words.en if words else room.kind),
        room.name_es or (words.es if words else room.name_en or room.kind),
    )
