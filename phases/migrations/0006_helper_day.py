from datetime import date

from django.db import migrations, models


def fill_days(apps, schema_editor):
    """Helpers lent before: the day of their fact, else the one on which it was said.

    Crews without such a fact did the work before another one and keep no day.
    """
    Fact = apps.get_model("phases", "Fact")
    PhaseHelper = apps.get_model("phases", "PhaseHelper")
    lent = {}
    for fact in Fact.objects.filter(kind="helper_lent").order_by("no"):
        said = fact.payload.get("on")
        day = date.fromisoformat(said) if said else fact.happened_at.date()
        crew = fact.payload.get("crew")
        lent.setdefault((fact.lot_phase_id, crew), set()).add(day)
    for row in PhaseHelper.objects.filter(on=None):
        first, *more = sorted(lent.get((row.lot_phase_id, row.crew_id), ())) or (None,)
        if first is None:
            continue
        row.on = first
        row.save(update_fields=["on"])
        PhaseHelper.objects.bulk_create(
            PhaseHelper(lot_phase_id=row.lot_phase_id, crew_id=row.crew_id, on=day)
            for day in more
        )


class Migration(migrations.Migration):

    dependencies = [
        ('phases', '0005_following'),
    ]

    operations = [
        migrations.AddField(
            model_name='phasehelper',
            name='on',
            field=models.DateField(help_text='The day lent for; empty: did the work before another crew.', null=True),
        ),
        migrations.RemoveConstraint(
            model_name='phasehelper',
            name='one_helper_row_a_crew',
        ),
        migrations.AddConstraint(
            model_name='phasehelper',
            constraint=models.UniqueConstraint(fields=('lot_phase', 'crew', 'on'), name='one_helper_row_a_crew_and_day'),
        ),
        migrations.AddConstraint(
            model_name='phasehelper',
            constraint=models.UniqueConstraint(condition=models.Q(('on', None)), fields=('lot_phase', 'crew'), name='one_former_crew_row'),
        ),
        # Last: PostgreSQL alters no table that has rows of the same transaction to check.
        migrations.RunPython(fill_days, migrations.RunPython.noop),
    ]
