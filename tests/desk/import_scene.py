"""Lists handed in, decided and applied without a page."""

from tests.factories import (
    NOW,
)
from tracker.desk.imports.actions import (
    apply_import,
    decide,
    receive_list,
)

LIST = (
    b"Lot,Block,Subdivision,Address,Permit\n"
    b"1,A,Heron,12 Elm St,P1\n2,A,Heron,14 Elm St,P2\n3,A,HERON ADD,16 Elm St,P3\n"
)


def received(data, builder, who, **told):
    return receive_list(
        data, file_name="list.csv", builder=builder, who=who, now=NOW, **told
    )


def decided(lot_import, who, **words):
    words = {
        "sheet": "",
        "mapping": {},
        "joins": {},
        "otherwise": "",
        "remember": False,
    } | words
    return decide(lot_import, who=who, **words)


def applied(data, builder, who, **words):
    lot_import = received(data, builder, who)
    decided(lot_import, who, **words)
    return apply_import(lot_import, who=who, now=NOW)


def counts(lot_import):
    return {k: v for k, v in lot_import.counts.items() if v}
