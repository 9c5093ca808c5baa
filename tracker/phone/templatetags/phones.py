"""What office pages show of the phones."""

from django import template

from tracker.phone import queries

register = template.Library()


@register.simple_tag
def entries_set_aside() -> list[dict[str, object]]:
    """Refused entries by member: `{"member": name, "count": n, "since": moment}`."""
    return queries.set_aside_by_member()
