import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('planning', '0005_twice_the_buffer'),
    ]

    operations = [
        migrations.AlterField(
            model_name='crewnotice',
            name='version',
            field=models.ForeignKey(help_text='Empty: of no plan; the crew is lent as a helper.', null=True, on_delete=django.db.models.deletion.CASCADE, related_name='notices', to='planning.planversion'),
        ),
    ]
