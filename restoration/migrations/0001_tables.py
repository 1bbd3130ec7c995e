from decimal import Decimal

import django.core.validators
import django.db.models.deletion
import django.db.models.functions.comparison
import django.db.models.functions.text
import django.db.models.lookups
import django.utils.timezone
from django.conf import settings
from django.db import migrations, models

import sites.keys
import sites.rules.actor


class Migration(migrations.Migration):

    initial = True

    dependencies = [
        ('condition', '0001_tables'),
        ('sites', '0001_tables'),
    ]

    operations = [
        migrations.CreateModel(
            name='RateBook',
            fields=[
                ('id', models.UUIDField(default=sites.keys.uuid7, editable=False, primary_key=True, serialize=False)),
                ('studio', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='rate_books', to='sites.studio')),
                ('name', models.CharField(max_length=120, verbose_name='name')),
                ('currency', models.CharField(max_length=3, verbose_name='currency')),
                ('valid_from', models.DateField(verbose_name='valid from')),
                ('overhead', models.DecimalField(decimal_places=3, default=Decimal('0'), max_digits=6, validators=[django.core.validators.MinValueValidator(Decimal('0')), django.core.validators.MaxValueValidator(Decimal('100'))], verbose_name='overhead, %')),
                ('profit', models.DecimalField(decimal_places=3, default=Decimal('0'), max_digits=6, validators=[django.core.validators.MinValueValidator(Decimal('0')), django.core.validators.MaxValueValidator(Decimal('100'))], verbose_name='profit, %')),
                ('contingency', models.DecimalField(decimal_places=3, default=Decimal('0'), max_digits=6, validators=[django.core.validators.MinValueValidator(Decimal('0')), django.core.validators.MaxValueValidator(Decimal('100'))], verbose_name='contingency, %')),
                ('tax_name', models.CharField(blank=True, max_length=40, verbose_name='name of the tax')),
                ('tax', models.DecimalField(decimal_places=3, default=Decimal('0'), max_digits=6, validators=[django.core.validators.MinValueValidator(Decimal('0')), django.core.validators.MaxValueValidator(Decimal('100'))], verbose_name='tax, %')),
                ('payment_shares', models.JSONField(default=list, verbose_name='payment stages')),
                ('valid_days', models.PositiveSmallIntegerField(default=60, verbose_name='quotes stand for, days')),
            ],
            options={
                'ordering': ['-valid_from', 'name'],
                'constraints': [models.UniqueConstraint(fields=('studio', 'name'), name='rate_book_once'), models.CheckConstraint(condition=models.Q(('name', ''), _negated=True), name='ratebook_name_not_blank', violation_error_message='The name must not be empty.'), models.CheckConstraint(condition=django.db.models.lookups.Exact(django.db.models.functions.text.Length(models.F('currency')), 3), name='ratebook_currency_has_3_letters'), models.CheckConstraint(condition=models.Q(('overhead__gte', 0), ('overhead__lte', 100)), name='rate_book_overhead_0_to_100'), models.CheckConstraint(condition=models.Q(('profit__gte', 0), ('profit__lte', 100)), name='rate_book_profit_0_to_100'), models.CheckConstraint(condition=models.Q(('contingency__gte', 0), ('contingency__lte', 100)), name='rate_book_contingency_0_to_100'), models.CheckConstraint(condition=models.Q(('tax__gte', 0), ('tax__lte', 100)), name='rate_book_tax_0_to_100')],
            },
        ),
        migrations.CreateModel(
            name='LabourRate',
            fields=[
                ('id', models.UUIDField(default=sites.keys.uuid7, editable=False, primary_key=True, serialize=False)),
                ('rate_book', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='labour_rates', to='restoration.ratebook')),
                ('trade', models.CharField(max_length=40, verbose_name='trade')),
                ('hourly', models.DecimalField(decimal_places=4, max_digits=14, validators=[django.core.validators.MinValueValidator(Decimal('0'))], verbose_name='an hour')),
            ],
            options={
                'ordering': ['trade'],
                'constraints': [models.UniqueConstraint(fields=('rate_book', 'trade'), name='labour_rate_once'), models.CheckConstraint(condition=models.Q(('trade', ''), _negated=True), name='labourrate_trade_not_blank', violation_error_message='The trade must not be empty.'), models.CheckConstraint(condition=models.Q(('hourly__gte', 0)), name='labour_rate_not_negative')],
            },
        ),
        migrations.CreateModel(
            name='Material',
            fields=[
                ('id', models.UUIDField(default=sites.keys.uuid7, editable=False, primary_key=True, serialize=False)),
                ('rate_book', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='materials', to='restoration.ratebook')),
                ('code', models.SlugField(max_length=60)),
                ('name', models.CharField(max_length=120, verbose_name='name')),
                ('unit', models.CharField(max_length=24, verbose_name='unit')),
                ('price', models.DecimalField(decimal_places=4, max_digits=14, validators=[django.core.validators.MinValueValidator(Decimal('0'))], verbose_name='price of a unit')),
                ('waste', models.DecimalField(decimal_places=3, default=Decimal('0'), max_digits=6, validators=[django.core.validators.MinValueValidator(Decimal('0')), django.core.validators.MaxValueValidator(Decimal('100'))], verbose_name='waste, %')),
            ],
            options={
                'ordering': ['name'],
                'constraints': [models.UniqueConstraint(fields=('rate_book', 'code'), name='material_once'), models.CheckConstraint(condition=models.Q(('name', ''), _negated=True), name='material_name_not_blank', violation_error_message='The name must not be empty.'), models.CheckConstraint(condition=models.Q(('price__gte', 0), ('waste__gte', 0), ('waste__lte', 100)), name='material_price_and_waste_possible')],
            },
        ),
        migrations.CreateModel(
            name='Estimate',
            fields=[
                ('id', models.UUIDField(default=sites.keys.uuid7, editable=False, primary_key=True, serialize=False)),
                ('building', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='estimates', to='sites.building')),
                ('survey', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='estimates', to='condition.survey')),
                ('rate_book', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='estimates', to='restoration.ratebook')),
                ('title', models.CharField(max_length=160, verbose_name='title')),
                ('contingency', models.DecimalField(decimal_places=3, default=Decimal('0'), max_digits=6, validators=[django.core.validators.MinValueValidator(Decimal('0')), django.core.validators.MaxValueValidator(Decimal('100'))], verbose_name='contingency, %')),
                ('contingency_reason', models.CharField(blank=True, max_length=240, verbose_name='contingency because')),
                ('assumptions', models.TextField(blank=True, verbose_name='assumptions')),
                ('exclusions', models.TextField(blank=True, verbose_name='not included')),
                ('made_at', models.DateTimeField(auto_now_add=True)),
            ],
            options={
                'ordering': ['-made_at'],
                'constraints': [models.CheckConstraint(condition=models.Q(('title', ''), _negated=True), name='estimate_title_not_blank', violation_error_message='The title must not be empty.'), models.CheckConstraint(condition=models.Q(('contingency__gte', 0), ('contingency__lte', 100)), name='estimate_contingency_0_to_100')],
            },
        ),
        migrations.CreateModel(
            name='Norm',
            fields=[
                ('id', models.UUIDField(default=sites.keys.uuid7, editable=False, primary_key=True, serialize=False)),
                ('rate_book', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='norms', to='restoration.ratebook')),
                ('action_kind', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='norms', to='condition.actionkind')),
                ('labour_rate', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='norms', to='restoration.labourrate', verbose_name='trade')),
                ('hours_per_unit', models.DecimalField(decimal_places=4, max_digits=14, validators=[django.core.validators.MinValueValidator(Decimal('0'))], verbose_name='hours a unit')),
                ('setup_hours', models.DecimalField(decimal_places=4, max_digits=14, validators=[django.core.validators.MinValueValidator(Decimal('0'))], verbose_name='setting up, hours')),
            ],
            options={
                'ordering': ['action_kind__order', 'labour_rate__trade'],
                'constraints': [models.UniqueConstraint(fields=('action_kind', 'labour_rate'), name='norm_once_a_trade'), models.CheckConstraint(condition=models.Q(('hours_per_unit__gte', 0), ('setup_hours__gte', 0)), name='norm_hours_not_negative')],
            },
        ),
        migrations.CreateModel(
            name='NormMaterial',
            fields=[
                ('id', models.UUIDField(default=sites.keys.uuid7, editable=False, primary_key=True, serialize=False)),
                ('rate_book', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='norm_materials', to='restoration.ratebook')),
                ('action_kind', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='norm_materials', to='condition.actionkind')),
                ('material', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='uses', to='restoration.material')),
                ('quantity_per_unit', models.DecimalField(decimal_places=4, max_digits=14, validators=[django.core.validators.MinValueValidator(Decimal('0'))], verbose_name='quantity a unit')),
            ],
            options={
                'constraints': [models.UniqueConstraint(fields=('action_kind', 'material'), name='norm_material_once'), models.CheckConstraint(condition=models.Q(('quantity_per_unit__gte', 0)), name='norm_material_not_negative')],
            },
        ),
        migrations.CreateModel(
            name='SharedCost',
            fields=[
                ('id', models.UUIDField(default=sites.keys.uuid7, editable=False, primary_key=True, serialize=False)),
                ('estimate', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='shared_costs', to='restoration.estimate')),
                ('kind', models.CharField(choices=[('access', 'Access'), ('preliminaries', 'Preliminaries'), ('travel', 'Travel and lodging'), ('making safe', 'Making safe and temporary glazing'), ('other', 'Other')], max_length=16, verbose_name='kind')),
                ('description', models.CharField(max_length=240, verbose_name='what for')),
                ('amount', models.DecimalField(decimal_places=3, max_digits=14, validators=[django.core.validators.MinValueValidator(Decimal('0'))], verbose_name='cost to the studio')),
                ('phase', models.PositiveSmallIntegerField(default=1, verbose_name='phase')),
            ],
            options={
                'ordering': ['phase', 'id'],
                'constraints': [models.CheckConstraint(condition=models.Q(('description', ''), _negated=True), name='sharedcost_description_not_blank', violation_error_message='The description must not be empty.'), models.CheckConstraint(condition=models.Q(('kind__in', ['access', 'preliminaries', 'travel', 'making safe', 'other'])), name='sharedcost_kind_is_a_choice'), models.CheckConstraint(condition=models.Q(('amount__gte', 0), ('phase__gte', 1), ('phase__lte', 99)), name='shared_cost_amount_and_phase_possible')],
            },
        ),
        migrations.CreateModel(
            name='RepairAction',
            fields=[
                ('id', models.UUIDField(default=sites.keys.uuid7, editable=False, primary_key=True, serialize=False)),
                ('seen_at', models.DateTimeField(blank=True, editable=False, help_text='By the clock of the device it was recorded on; null where none said so.', null=True, verbose_name='seen')),
                ('seen_clock_ahead_s', models.IntegerField(blank=True, editable=False, help_text="How far that clock was ahead of the server's when it sent, in seconds.", null=True)),
                ('received_at', models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ('recorded_by', models.ForeignKey(blank=True, default=sites.rules.actor.acting_user, editable=False, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('opening', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='%(class)ss', to='sites.opening')),
                ('panel', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='%(class)ss', to='sites.panel')),
                ('attached_item', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='%(class)ss', to='sites.attacheditem')),
                ('subject_key', models.GeneratedField(db_index=True, db_persist=True, expression=django.db.models.functions.comparison.Coalesce(models.F('attached_item'), models.F('panel'), models.F('opening')), output_field=models.UUIDField())),
                ('estimate', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='actions', to='restoration.estimate')),
                ('kind', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='actions', to='condition.actionkind')),
                ('number', models.PositiveIntegerField(verbose_name='number')),
                ('quantity', models.DecimalField(blank=True, decimal_places=3, max_digits=10, null=True, validators=[django.core.validators.MinValueValidator(Decimal('0'))], verbose_name='quantity')),
                ('scope', models.TextField(blank=True, verbose_name='what will be done')),
                ('difficulty', models.DecimalField(decimal_places=2, default=Decimal('1'), max_digits=5, validators=[django.core.validators.MinValueValidator(Decimal('0.1')), django.core.validators.MaxValueValidator(Decimal('10'))], verbose_name='difficulty factor')),
                ('option', models.CharField(choices=[('must', 'Must be done'), ('advised', 'Advised'), ('if funds allow', 'If funds allow')], default='advised', max_length=16, verbose_name='option')),
                ('phase', models.PositiveSmallIntegerField(default=1, verbose_name='phase')),
                ('lump_sum', models.DecimalField(blank=True, decimal_places=3, max_digits=14, null=True, validators=[django.core.validators.MinValueValidator(Decimal('0'))], verbose_name='lump sum')),
                ('lump_sum_reason', models.CharField(blank=True, max_length=240, verbose_name='lump sum because')),
            ],
            options={
                'ordering': ['phase', 'opening__order', 'number'],
                'abstract': False,
                'constraints': [models.CheckConstraint(condition=models.Q(('panel__isnull', True), ('attached_item__isnull', True), _connector='OR'), name='repairaction_has_one_subject', violation_error_message='Name a panel or an attached item, not both.'), models.UniqueConstraint(fields=('estimate', 'number'), name='action_number_once'), models.CheckConstraint(condition=models.Q(('option__in', ['must', 'advised', 'if funds allow'])), name='repairaction_option_is_a_choice'), models.CheckConstraint(condition=models.Q(('quantity__isnull', True), ('quantity__gte', 0), _connector='OR'), name='action_quantity_not_negative'), models.CheckConstraint(condition=models.Q(('difficulty__gte', Decimal('0.1')), ('difficulty__lte', 10)), name='action_difficulty_possible'), models.CheckConstraint(condition=models.Q(('phase__gte', 1), ('phase__lte', 99)), name='action_phase_1_to_99'), models.CheckConstraint(condition=models.Q(models.Q(('lump_sum__isnull', True), ('lump_sum_reason', '')), models.Q(('lump_sum__gte', 0), ('lump_sum__isnull', False), models.Q(('lump_sum_reason', ''), _negated=True)), _connector='OR'), name='action_lump_sum_has_a_reason', violation_error_message='A lump sum needs its reason, and a reason its sum.')],
            },
        ),
        migrations.CreateModel(
            name='Quote',
            fields=[
                ('id', models.UUIDField(default=sites.keys.uuid7, editable=False, primary_key=True, serialize=False)),
                ('studio', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='%(class)ss', to='sites.studio')),
                ('building', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='%(class)ss', to='sites.building')),
                ('number', models.CharField(max_length=24, verbose_name='number')),
                ('version', models.PositiveSmallIntegerField(default=1, verbose_name='version')),
                ('supersedes', models.OneToOneField(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='superseded_by', to='restoration.quote')),
                ('dated', models.DateField(verbose_name='dated')),
                ('issued_at', models.DateTimeField(verbose_name='issued')),
                ('issued_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('snapshot', models.JSONField()),
                ('snapshot_sha256', models.CharField(max_length=64)),
                ('pdf', models.FileField(max_length=200, upload_to='')),
                ('pdf_sha256', models.CharField(max_length=64, verbose_name='SHA-256')),
                ('pdf_bytes', models.PositiveIntegerField()),
                ('pages', models.PositiveIntegerField()),
                ('estimate', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='quotes', to='restoration.estimate')),
                ('valid_until', models.DateField(verbose_name='stands until')),
                ('currency', models.CharField(max_length=3, verbose_name='currency')),
                ('total', models.DecimalField(decimal_places=4, max_digits=16, verbose_name='total')),
            ],
            options={
                'verbose_name': 'repair quote',
                'ordering': ['-dated', '-number', '-version'],
                'abstract': False,
                'base_manager_name': 'objects',
                'constraints': [models.UniqueConstraint(fields=('studio', 'number', 'version'), name='quote_number_once'), models.CheckConstraint(condition=django.db.models.lookups.Exact(django.db.models.functions.text.Length(models.F('pdf_sha256')), 64), name='quote_pdf_sha256_has_64_letters'), models.CheckConstraint(condition=django.db.models.lookups.Exact(django.db.models.functions.text.Length(models.F('snapshot_sha256')), 64), name='quote_snapshot_sha256_has_64_letters'), models.CheckConstraint(condition=models.Q(models.Q(('supersedes__isnull', True), ('version', 1)), models.Q(('supersedes__isnull', False), ('version__gt', 1)), _connector='OR'), name='quote_names_what_it_supersedes')],
            },
        ),
        migrations.CreateModel(
            name='ActionFinding',
            fields=[
                ('id', models.UUIDField(default=sites.keys.uuid7, editable=False, primary_key=True, serialize=False)),
                ('seen_at', models.DateTimeField(blank=True, editable=False, help_text='By the clock of the device it was recorded on; null where none said so.', null=True, verbose_name='seen')),
                ('seen_clock_ahead_s', models.IntegerField(blank=True, editable=False, help_text="How far that clock was ahead of the server's when it sent, in seconds.", null=True)),
                ('received_at', models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ('recorded_by', models.ForeignKey(blank=True, default=sites.rules.actor.acting_user, editable=False, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('action', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='finding_links', to='restoration.repairaction')),
                ('finding', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='action_links', to='condition.finding')),
            ],
            options={
                'ordering': ['id'],
                'constraints': [models.UniqueConstraint(fields=('action', 'finding'), name='action_finding_once')],
            },
        ),
        migrations.CreateModel(
            name='QuoteEvent',
            fields=[
                ('id', models.UUIDField(default=sites.keys.uuid7, editable=False, primary_key=True, serialize=False)),
                ('quote', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='events', to='restoration.quote')),
                ('decision', models.CharField(choices=[('sent', 'Sent'), ('accepted', 'Accepted'), ('declined', 'Declined'), ('withdrawn', 'Withdrawn')], max_length=12, verbose_name='what happened')),
                ('day', models.DateField(verbose_name='on')),
                ('by_whom', models.CharField(max_length=160, verbose_name='by whom')),
                ('authority', models.CharField(blank=True, help_text='Minute, resolution or consent, with its date.', max_length=240, verbose_name='with what authority')),
                ('note', models.TextField(blank=True, verbose_name='note')),
                ('recorded_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('recorded_at', models.DateTimeField(auto_now_add=True)),
            ],
            options={
                'ordering': ['recorded_at'],
                'constraints': [models.CheckConstraint(condition=models.Q(('decision__in', ['sent', 'accepted', 'declined', 'withdrawn'])), name='quoteevent_decision_is_a_choice')],
            },
        ),
        migrations.AddField(
            model_name='RepairAction',
            name='findings',
            field=models.ManyToManyField(blank=True, related_name='actions', through='restoration.ActionFinding', to='condition.finding'),
        ),
    ]
