"""The tables of this room."""

from decimal import Decimal

import django.core.validators
import django.db.models.deletion
import django.db.models.functions.comparison
import django.db.models.functions.text
import django.db.models.lookups
from django.conf import settings
from django.db import migrations, models

import condition.models.photograph
import sites.keys


class Migration(migrations.Migration):
    initial = True

    dependencies = [
        ("sites", "0001_tables"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name="FindingKind",
            fields=[
                (
                    "id",
                    models.UUIDField(
                        default=sites.keys.uuid7, editable=False, primary_key=True, serialize=False
                    ),
                ),
                ("code", models.SlugField(max_length=60)),
                ("group", models.CharField(max_length=24, verbose_name="group")),
                ("name", models.CharField(max_length=80, verbose_name="name")),
                ("plain", models.TextField(verbose_name="in plain words")),
                (
                    "measure",
                    models.CharField(blank=True, max_length=240, verbose_name="what to measure"),
                ),
                ("units", models.JSONField(default=list)),
                (
                    "actions",
                    models.JSONField(
                        default=list, help_text="Codes of usual action kinds, mildest first."
                    ),
                ),
                (
                    "danger",
                    models.BooleanField(default=False, verbose_name="can drop something on people"),
                ),
                ("order", models.PositiveSmallIntegerField(default=0)),
                (
                    "studio",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="finding_kinds",
                        to="sites.studio",
                    ),
                ),
            ],
            options={
                "ordering": ["order", "name"],
            },
        ),
        migrations.CreateModel(
            name="Finding",
            fields=[
                (
                    "id",
                    models.UUIDField(
                        default=sites.keys.uuid7, editable=False, primary_key=True, serialize=False
                    ),
                ),
                (
                    "subject_key",
                    models.GeneratedField(
                        db_index=True,
                        db_persist=True,
                        expression=django.db.models.functions.comparison.Coalesce(
                            models.F("attached_item"), models.F("panel"), models.F("opening")
                        ),
                        output_field=models.UUIDField(),
                    ),
                ),
                ("number", models.PositiveIntegerField(verbose_name="number")),
                (
                    "side",
                    models.CharField(
                        choices=[
                            ("inside", "Inside"),
                            ("outside", "Outside"),
                            ("both", "Both sides"),
                            ("unknown", "Not said"),
                        ],
                        default="inside",
                        max_length=8,
                        verbose_name="side",
                    ),
                ),
                (
                    "extent",
                    models.CharField(
                        choices=[
                            ("isolated", "Isolated"),
                            ("grouped", "Grouped"),
                            ("along one line", "Along one line"),
                            ("throughout", "Throughout"),
                        ],
                        default="isolated",
                        max_length=16,
                        verbose_name="extent",
                    ),
                ),
                (
                    "amount",
                    models.DecimalField(
                        blank=True,
                        decimal_places=2,
                        max_digits=10,
                        null=True,
                        validators=[django.core.validators.MinValueValidator(Decimal("0"))],
                        verbose_name="amount",
                    ),
                ),
                (
                    "unit",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("count", "in number"),
                            ("mm", "mm"),
                            ("percent of pieces", "% of pieces"),
                            ("percent of area", "% of area"),
                            ("mm out of plane", "mm out of plane"),
                        ],
                        max_length=20,
                        verbose_name="unit",
                    ),
                ),
                ("of_total", models.PositiveIntegerField(blank=True, null=True, verbose_name="of")),
                (
                    "position",
                    models.CharField(blank=True, max_length=240, verbose_name="where on it"),
                ),
                ("note", models.TextField(blank=True, verbose_name="note")),
                ("hazard", models.BooleanField(default=False, verbose_name="can hurt someone")),
                (
                    "made_safe",
                    models.CharField(blank=True, max_length=240, verbose_name="made safe by"),
                ),
                (
                    "condition_class",
                    models.PositiveSmallIntegerField(
                        blank=True,
                        choices=[
                            (0, "No symptoms"),
                            (1, "Minor symptoms"),
                            (2, "Moderately strong symptoms"),
                            (3, "Major symptoms"),
                        ],
                        null=True,
                        verbose_name="condition class",
                    ),
                ),
                (
                    "urgency_class",
                    models.PositiveSmallIntegerField(
                        blank=True,
                        choices=[
                            (0, "Long term"),
                            (1, "Intermediate term"),
                            (2, "Short term"),
                            (3, "Urgent and immediate"),
                        ],
                        null=True,
                        verbose_name="urgency class",
                    ),
                ),
                (
                    "recommendation_class",
                    models.PositiveSmallIntegerField(
                        blank=True,
                        choices=[
                            (0, "No measures"),
                            (1, "Maintenance and preventive care"),
                            (2, "Moderate repair or further investigation"),
                            (3, "Major intervention based on a diagnosis"),
                        ],
                        null=True,
                        verbose_name="recommendation class",
                    ),
                ),
                (
                    "attached_item",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="%(class)ss",
                        to="sites.attacheditem",
                    ),
                ),
                (
                    "continues",
                    models.OneToOneField(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="continued_by",
                        to="condition.finding",
                    ),
                ),
                (
                    "opening",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="%(class)ss",
                        to="sites.opening",
                    ),
                ),
                (
                    "panel",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="%(class)ss",
                        to="sites.panel",
                    ),
                ),
                (
                    "kind",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="findings",
                        to="condition.findingkind",
                    ),
                ),
            ],
            options={
                "ordering": ["opening__order", "opening__number", "number"],
                "abstract": False,
            },
        ),
        migrations.CreateModel(
            name="Photograph",
            fields=[
                (
                    "id",
                    models.UUIDField(
                        default=sites.keys.uuid7, editable=False, primary_key=True, serialize=False
                    ),
                ),
                (
                    "original",
                    models.FileField(
                        max_length=200, upload_to=condition.models.photograph.original_path
                    ),
                ),
                ("sha256", models.CharField(max_length=64, verbose_name="SHA-256")),
                ("bytes", models.PositiveIntegerField()),
                ("format", models.CharField(max_length=8)),
                (
                    "name",
                    models.CharField(
                        blank=True, max_length=240, verbose_name="its name as received"
                    ),
                ),
                ("caption", models.CharField(blank=True, max_length=240, verbose_name="caption")),
                ("width", models.PositiveIntegerField()),
                ("height", models.PositiveIntegerField()),
                ("taken_at", models.DateTimeField(blank=True, null=True, verbose_name="taken")),
                (
                    "taken_local",
                    models.CharField(
                        blank=True,
                        help_text="As the camera wrote it; empty where unknown.",
                        max_length=25,
                    ),
                ),
                ("camera", models.CharField(blank=True, max_length=120)),
                ("had_position", models.BooleanField(default=False)),
                (
                    "state",
                    models.CharField(
                        choices=[
                            ("received", "Being prepared"),
                            ("ready", "Ready"),
                            ("damaged", "Damaged, kept as received"),
                        ],
                        default="received",
                        max_length=8,
                    ),
                ),
                ("problem", models.CharField(blank=True, max_length=240)),
                ("received_at", models.DateTimeField(auto_now_add=True)),
                (
                    "building",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="photographs",
                        to="sites.building",
                    ),
                ),
                (
                    "finding",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="photographs",
                        to="condition.finding",
                    ),
                ),
                (
                    "opening",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="photographs",
                        to="sites.opening",
                    ),
                ),
                (
                    "received_from",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "ordering": ["taken_local", "id"],
            },
        ),
        migrations.CreateModel(
            name="Rendition",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "size",
                    models.PositiveSmallIntegerField(
                        help_text="The longer side it was fitted to, in pixels."
                    ),
                ),
                (
                    "file",
                    models.FileField(
                        max_length=200, upload_to=condition.models.photograph.rendition_path
                    ),
                ),
                ("width", models.PositiveSmallIntegerField()),
                ("height", models.PositiveSmallIntegerField()),
                (
                    "photograph",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="renditions",
                        to="condition.photograph",
                    ),
                ),
            ],
            options={
                "ordering": ["size"],
            },
        ),
        migrations.CreateModel(
            name="Survey",
            fields=[
                (
                    "id",
                    models.UUIDField(
                        default=sites.keys.uuid7, editable=False, primary_key=True, serialize=False
                    ),
                ),
                ("day", models.DateField(verbose_name="day of the visit")),
                ("surveyors", models.CharField(max_length=240, verbose_name="surveyors")),
                ("client", models.CharField(blank=True, max_length=160, verbose_name="for whom")),
                ("purpose", models.CharField(blank=True, max_length=240, verbose_name="purpose")),
                ("method", models.TextField(blank=True, verbose_name="method")),
                ("access", models.TextField(blank=True, verbose_name="access on the day")),
                ("weather", models.CharField(blank=True, max_length=160, verbose_name="weather")),
                (
                    "limits",
                    models.TextField(
                        blank=True, help_text="What this look cannot tell.", verbose_name="limits"
                    ),
                ),
                (
                    "building",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="surveys",
                        to="sites.building",
                    ),
                ),
            ],
            options={
                "ordering": ["-day", "-id"],
            },
        ),
        migrations.AddField(
            model_name="photograph",
            name="survey",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="photographs",
                to="condition.survey",
            ),
        ),
        migrations.CreateModel(
            name="Look",
            fields=[
                (
                    "id",
                    models.UUIDField(
                        default=sites.keys.uuid7, editable=False, primary_key=True, serialize=False
                    ),
                ),
                (
                    "subject_key",
                    models.GeneratedField(
                        db_index=True,
                        db_persist=True,
                        expression=django.db.models.functions.comparison.Coalesce(
                            models.F("attached_item"), models.F("panel"), models.F("opening")
                        ),
                        output_field=models.UUIDField(),
                    ),
                ),
                (
                    "side",
                    models.CharField(
                        choices=[
                            ("inside", "Inside"),
                            ("outside", "Outside"),
                            ("both", "Both sides"),
                            ("unknown", "Not said"),
                        ],
                        default="inside",
                        max_length=8,
                        verbose_name="side",
                    ),
                ),
                (
                    "outcome",
                    models.CharField(
                        choices=[
                            ("nothing found", "Looked at, nothing found"),
                            ("not inspected", "Not inspected"),
                        ],
                        max_length=16,
                        verbose_name="outcome",
                    ),
                ),
                (
                    "seen_from",
                    models.CharField(
                        choices=[
                            ("floor", "From the floor"),
                            ("ladder", "From a ladder"),
                            ("tower", "From a tower"),
                            ("lift", "From a lift"),
                            ("other", "Otherwise"),
                        ],
                        default="floor",
                        max_length=8,
                        verbose_name="seen from",
                    ),
                ),
                ("reason", models.CharField(blank=True, max_length=240, verbose_name="because")),
                (
                    "attached_item",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="%(class)ss",
                        to="sites.attacheditem",
                    ),
                ),
                (
                    "opening",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="%(class)ss",
                        to="sites.opening",
                    ),
                ),
                (
                    "panel",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="%(class)ss",
                        to="sites.panel",
                    ),
                ),
                (
                    "survey",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="looks",
                        to="condition.survey",
                    ),
                ),
            ],
            options={
                "ordering": ["opening__order", "opening__number"],
                "abstract": False,
            },
        ),
        migrations.AddField(
            model_name="finding",
            name="survey",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT,
                related_name="findings",
                to="condition.survey",
            ),
        ),
        migrations.CreateModel(
            name="ConditionReport",
            fields=[
                (
                    "id",
                    models.UUIDField(
                        default=sites.keys.uuid7, editable=False, primary_key=True, serialize=False
                    ),
                ),
                ("number", models.CharField(max_length=24, verbose_name="number")),
                ("version", models.PositiveSmallIntegerField(default=1, verbose_name="version")),
                ("dated", models.DateField(verbose_name="dated")),
                ("issued_at", models.DateTimeField(verbose_name="issued")),
                ("snapshot", models.JSONField()),
                ("snapshot_sha256", models.CharField(max_length=64)),
                ("pdf", models.FileField(max_length=200, upload_to="")),
                ("pdf_sha256", models.CharField(max_length=64, verbose_name="SHA-256")),
                ("pdf_bytes", models.PositiveIntegerField()),
                ("pages", models.PositiveIntegerField()),
                (
                    "building",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="%(class)ss",
                        to="sites.building",
                    ),
                ),
                (
                    "issued_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "studio",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="%(class)ss",
                        to="sites.studio",
                    ),
                ),
                (
                    "supersedes",
                    models.OneToOneField(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="superseded_by",
                        to="condition.conditionreport",
                    ),
                ),
                (
                    "survey",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="reports",
                        to="condition.survey",
                    ),
                ),
            ],
            options={
                "verbose_name": "condition report",
                "ordering": ["-dated", "-number", "-version"],
                "abstract": False,
            },
        ),
        migrations.AddConstraint(
            model_name="findingkind",
            constraint=models.UniqueConstraint(fields=("studio", "code"), name="finding_kind_once"),
        ),
        migrations.AddConstraint(
            model_name="findingkind",
            constraint=models.CheckConstraint(
                condition=models.Q(("code", ""), _negated=True),
                name="findingkind_code_not_blank",
                violation_error_message="The code must not be empty.",
            ),
        ),
        migrations.AddConstraint(
            model_name="findingkind",
            constraint=models.CheckConstraint(
                condition=models.Q(("name", ""), _negated=True),
                name="findingkind_name_not_blank",
                violation_error_message="The name must not be empty.",
            ),
        ),
        migrations.AddConstraint(
            model_name="findingkind",
            constraint=models.CheckConstraint(
                condition=models.Q(("plain", ""), _negated=True),
                name="findingkind_plain_not_blank",
                violation_error_message="The plain must not be empty.",
            ),
        ),
        migrations.AddConstraint(
            model_name="rendition",
            constraint=models.UniqueConstraint(
                fields=("photograph", "size"), name="rendition_once_a_size"
            ),
        ),
        migrations.AddConstraint(
            model_name="survey",
            constraint=models.CheckConstraint(
                condition=models.Q(("surveyors", ""), _negated=True),
                name="survey_surveyors_not_blank",
                violation_error_message="The surveyors must not be empty.",
            ),
        ),
        migrations.AddConstraint(
            model_name="photograph",
            constraint=models.UniqueConstraint(
                fields=("building", "sha256"),
                name="photograph_once_a_building",
                violation_error_message="This very photograph is already here.",
            ),
        ),
        migrations.AddConstraint(
            model_name="photograph",
            constraint=models.CheckConstraint(
                condition=django.db.models.lookups.Exact(
                    django.db.models.functions.text.Length(models.F("sha256")), 64
                ),
                name="photograph_sha256_has_64_letters",
            ),
        ),
        migrations.AddConstraint(
            model_name="photograph",
            constraint=models.CheckConstraint(
                condition=models.Q(("bytes__gte", 1), ("height__gte", 1), ("width__gte", 1)),
                name="photograph_has_a_size",
            ),
        ),
        migrations.AddConstraint(
            model_name="photograph",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("finding__isnull", True),
                    models.Q(("opening__isnull", False), ("survey__isnull", False)),
                    _connector="OR",
                ),
                name="photograph_of_a_finding_has_its_survey",
            ),
        ),
        migrations.AddConstraint(
            model_name="photograph",
            constraint=models.CheckConstraint(
                condition=models.Q(("state__in", ["received", "ready", "damaged"])),
                name="photograph_state_is_a_choice",
            ),
        ),
        migrations.AddConstraint(
            model_name="look",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("panel__isnull", True), ("attached_item__isnull", True), _connector="OR"
                ),
                name="look_has_one_subject",
                violation_error_message="Name a panel or an attached item, not both.",
            ),
        ),
        migrations.AddConstraint(
            model_name="look",
            constraint=models.UniqueConstraint(
                fields=("survey", "subject_key", "side"), name="look_once_a_side"
            ),
        ),
        migrations.AddConstraint(
            model_name="look",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("outcome", "not inspected"), _negated=True),
                    models.Q(("reason", ""), _negated=True),
                    _connector="OR",
                ),
                name="look_not_inspected_has_a_reason",
                violation_error_message="Say why it was not inspected.",
            ),
        ),
        migrations.AddConstraint(
            model_name="look",
            constraint=models.CheckConstraint(
                condition=models.Q(("side__in", ["inside", "outside", "both", "unknown"])),
                name="look_side_is_a_choice",
            ),
        ),
        migrations.AddConstraint(
            model_name="look",
            constraint=models.CheckConstraint(
                condition=models.Q(("outcome__in", ["nothing found", "not inspected"])),
                name="look_outcome_is_a_choice",
            ),
        ),
        migrations.AddConstraint(
            model_name="look",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("seen_from__in", ["floor", "ladder", "tower", "lift", "other"])
                ),
                name="look_seen_from_is_a_choice",
            ),
        ),
        migrations.AddIndex(
            model_name="finding",
            index=models.Index(fields=["survey", "hazard"], name="finding_hazards"),
        ),
        migrations.AddConstraint(
            model_name="finding",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("panel__isnull", True), ("attached_item__isnull", True), _connector="OR"
                ),
                name="finding_has_one_subject",
                violation_error_message="Name a panel or an attached item, not both.",
            ),
        ),
        migrations.AddConstraint(
            model_name="finding",
            constraint=models.UniqueConstraint(
                fields=("survey", "number"), name="finding_number_once"
            ),
        ),
        migrations.AddConstraint(
            model_name="finding",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("amount__isnull", True), ("unit", "")),
                    models.Q(
                        ("amount__gte", 0),
                        ("amount__isnull", False),
                        models.Q(("unit", ""), _negated=True),
                    ),
                    _connector="OR",
                ),
                name="finding_amount_has_a_unit",
                violation_error_message="An amount needs its unit, and a unit its amount.",
            ),
        ),
        migrations.AddConstraint(
            model_name="finding",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("of_total__isnull", True),
                    models.Q(
                        ("amount__isnull", False),
                        ("of_total__gte", models.F("amount")),
                        ("unit", "count"),
                    ),
                    _connector="OR",
                ),
                name="finding_count_within_its_total",
                violation_error_message="The count cannot be above the total it is out of.",
            ),
        ),
        migrations.AddConstraint(
            model_name="finding",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("unit__startswith", "percent"), _negated=True),
                    ("amount__lte", 100),
                    _connector="OR",
                ),
                name="finding_share_within_100",
                violation_error_message="A share cannot be above 100 %.",
            ),
        ),
        migrations.AddConstraint(
            model_name="finding",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("condition_class__isnull", True), ("condition_class__lte", 3), _connector="OR"
                ),
                name="finding_condition_class_0_to_3",
            ),
        ),
        migrations.AddConstraint(
            model_name="finding",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("urgency_class__isnull", True), ("urgency_class__lte", 3), _connector="OR"
                ),
                name="finding_urgency_class_0_to_3",
            ),
        ),
        migrations.AddConstraint(
            model_name="finding",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("recommendation_class__isnull", True),
                    ("recommendation_class__lte", 3),
                    _connector="OR",
                ),
                name="finding_recommendation_class_0_to_3",
            ),
        ),
        migrations.AddConstraint(
            model_name="finding",
            constraint=models.CheckConstraint(
                condition=models.Q(("side__in", ["inside", "outside", "both", "unknown"])),
                name="finding_side_is_a_choice",
            ),
        ),
        migrations.AddConstraint(
            model_name="finding",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("extent__in", ["isolated", "grouped", "along one line", "throughout"])
                ),
                name="finding_extent_is_a_choice",
            ),
        ),
        migrations.AddConstraint(
            model_name="conditionreport",
            constraint=models.UniqueConstraint(
                fields=("studio", "number", "version"), name="conditionreport_number_once"
            ),
        ),
        migrations.AddConstraint(
            model_name="conditionreport",
            constraint=models.CheckConstraint(
                condition=django.db.models.lookups.Exact(
                    django.db.models.functions.text.Length(models.F("pdf_sha256")), 64
                ),
                name="conditionreport_pdf_sha256_has_64_letters",
            ),
        ),
        migrations.AddConstraint(
            model_name="conditionreport",
            constraint=models.CheckConstraint(
                condition=django.db.models.lookups.Exact(
                    django.db.models.functions.text.Length(models.F("snapshot_sha256")), 64
                ),
                name="conditionreport_snapshot_sha256_has_64_letters",
            ),
        ),
        migrations.AddConstraint(
            model_name="conditionreport",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("supersedes__isnull", True), ("version", 1)),
                    models.Q(("supersedes__isnull", False), ("version__gt", 1)),
                    _connector="OR",
                ),
                name="conditionreport_names_what_it_supersedes",
            ),
        ),
    ]
