"""Answers to the conditions of the `when` column, for one fixture in its room."""

from collections.abc import Iterable, Mapping

from phases.catalogue.conditions import Clause
from phases.catalogue.house import BASEMENT, GROUND, Fixture, Room, over_slab
from phases.catalogue.survey import Survey, house_answer


def holds(clauses: Iterable[Clause], answers: "Answers") -> bool:
    """Whether all clauses hold."""
    return all(clause.holds(answers) for clause in clauses)


class Answers:
    """Answers the conditions of the `when` column for one fixture in its room."""

    def __init__(
        self,
        fixture: Fixture,
        *,
        room: Room,
        survey: Survey,
        params: Mapping[str, str],
        needs: frozenset[str],
    ) -> None:
        house, place = survey.house, (room.key, fixture.key)
        partner = survey.partners.get(place)
        self.survey = survey
        self.in_room = frozenset(other.kind for other in room.fixtures)
        self.needs = needs
        self.known = {
            **params,
            "below": "slab" if over_slab(room, house=house) else "framed",
            "floor": _floor_word(room.floor),
            "above": "yes" if room.floor < house.storeys else "no",
            "position": fixture.position,
            "served": str(survey.served.get(place, 0)),
            "beside": partner[1].kind if partner else "none",
        }

    def __call__(self, name: str) -> str:
        if name in self.known:
            return self.known[name]
        if name.startswith("with."):
            return "yes" if name.removeprefix("with.") in self.in_room else "no"
        if name.startswith("needs."):
            return "yes" if name.removeprefix("needs.") in self.needs else "no"
        seen = self.survey
        return house_answer(name, house=seen.house, facts=seen.facts, kinds=seen.kinds)


def _floor_word(floor: int) -> str:
    if floor == BASEMENT:
        return "basement"
    return "ground" if floor == GROUND else "upper"
