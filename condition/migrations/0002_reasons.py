from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('condition', '0001_tables'),
        ('sites', '0001_tables'),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.RemoveConstraint(
            model_name='classrule',
            name='classrule_when_is_a_choice',
        ),
        migrations.AddField(
            model_name='classrule',
            name='needs',
            field=models.JSONField(blank=True, default=list, verbose_name='what the reason claims'),
        ),
        migrations.AddField(
            model_name='classrule',
            name='otherwise',
            field=models.CharField(blank=True, max_length=240, verbose_name='reason where that is not so'),
        ),
        migrations.AddField(
            model_name='finding',
            name='not_measured',
            field=models.CharField(blank=True, choices=[('not reached', 'Not measured: not reached')], max_length=16, verbose_name='not measured'),
        ),
        migrations.AddField(
            model_name='findingkind',
            name='counted',
            field=models.JSONField(blank=True, default=list),
        ),
        migrations.AddField(
            model_name='findingkind',
            name='danger_when_all',
            field=models.BooleanField(default=False, verbose_name='can hurt people where all that was counted is affected'),
        ),
        migrations.AlterField(
            model_name='classrule',
            name='when',
            field=models.CharField(blank=True, choices=[('', 'Always'), ('all of them', 'All of what was counted or judged is affected'), ('important part', 'A head, a hand, an inscription or a signature in the glass is affected'), ('can fall on people', 'It can hurt someone, and people pass below'), ('can fall', 'It can hurt someone'), ('water', 'Water comes in'), ('grown', 'It has grown by more than it can be measured'), ('one more lost', 'With one more fixing lost the rest do not carry it'), ('one more over people', 'With one more fixing lost the rest do not carry it, and people pass below'), ('with other damage', 'Folds, cracked glass, or failed joints, leads or ties stand on the same panel'), ('outstanding', 'Glass or paint of an outstanding window is affected')], max_length=20, verbose_name='when'),
        ),
        migrations.AlterField(
            model_name='findingkind',
            name='danger',
            field=models.BooleanField(default=False, verbose_name='can hurt people'),
        ),
        migrations.AddConstraint(
            model_name='classrule',
            constraint=models.CheckConstraint(condition=models.Q(('when__in', ['', 'all of them', 'important part', 'can fall on people', 'can fall', 'water', 'grown', 'one more lost', 'one more over people', 'with other damage', 'outstanding'])), name='classrule_when_is_a_choice'),
        ),
        migrations.AddConstraint(
            model_name='finding',
            constraint=models.CheckConstraint(condition=models.Q(('not_measured__in', ['', 'not reached'])), name='finding_not_measured_is_a_choice'),
        ),
    ]
