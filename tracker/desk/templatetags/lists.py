"""Template filters of the import pages."""

from django import template

from tracker.desk.imports.forms import FIELD_NAMES
from tracker.desk.imports.sentences import say
from tracker.desk.templatetags.desk import reader_language, w

register = template.Library()


@register.filter
def list_said(text: str) -> str:
    """What the reader of lists said, in the reader's language."""
    return say(str(text), reader_language())


@register.filter
def list_field(name: str) -> str:
    """The name of a field of a list."""
    return w(FIELD_NAMES.get(name, name))
