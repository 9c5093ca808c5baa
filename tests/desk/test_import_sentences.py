"""What the reader of lists says is said in Spanish on the pages."""

import ast
import re
from pathlib import Path

import pytest

from tracker.desk.imports.sentences import SENTENCES, in_spanish, say
from tracker.sites.lotlist import Unreadable, read_bytes

SOURCE = Path(__file__).resolve().parents[2] / "tracker" / "sites" / "lotlist"
# Patterns, headers and values of cells, which are no sentences to a person.
NO_SENTENCE = {
    "no address assigned",
    "to be assigned",
    "{} OF {}",
    "What to do",
    "Rows to correct",
    "lot block lot_block block_lot unit address description house_number street",
}


def skeleton(node: ast.AST) -> str | None:
    if isinstance(node, ast.Constant):
        return node.value if isinstance(node.value, str) else None
    if isinstance(node, ast.JoinedStr):
        return "".join(skeleton(part) or "{}" for part in node.values)
    return None


def sentences_of(path: Path) -> set[str]:
    """Every text of three words or more, values as `{}`; no docstring, no pattern."""
    tree = ast.parse(path.read_text())
    silent = {id(n.value) for n in ast.walk(tree) if isinstance(n, ast.Expr)}
    for node in ast.walk(tree):
        if isinstance(node, ast.JoinedStr):
            silent |= {id(part) for part in node.values}
    found = {skeleton(n) for n in ast.walk(tree) if id(n) not in silent}
    return {
        text
        for text in found
        if text
        and len(text.split()) >= 3
        and re.match(r"[A-Za-z{]", text)
        and not re.search(r"\\|\(\?|\||%", text)
    }


@pytest.mark.parametrize(
    "path",
    [p for p in SOURCE.glob("*.py") if p.name not in ("__main__.py", "legal_words.py")],
    ids=lambda path: path.stem,
)
def test_every_sentence_of_the_reader_has_its_spanish(path):
    assert sentences_of(path) - NO_SENTENCE - set(SENTENCES) == set()


@pytest.mark.parametrize("english", SENTENCES)
def test_both_languages_put_the_same_values(english):
    assert SENTENCES[english].count("{}") == english.count("{}")


def test_a_value_is_put_where_it_belongs_and_a_sentence_in_a_sentence_too():
    assert in_spanish("Not a house: Work Type says 'Pool'.") == (
        "No es casa: Work Type dice 'Pool'."
    )
    with pytest.raises(Unreadable) as caught:
        read_bytes(b"%PDF-1.7 lots")
    assert say(str(caught.value), "es").startswith(
        "Esto es un documento PDF, no una lista de lotes. Ábralo en su programa"
    )
    assert say(str(caught.value), "en") == str(caught.value)


def test_a_text_of_somebody_else_stays_as_it_is():
    assert in_spanish("Heron Ridge, see Ann") == "Heron Ridge, see Ann"
