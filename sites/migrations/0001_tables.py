"""The tables of this room."""

import django.db.models.deletion
import django.db.models.functions.text
import django.db.models.lookups
from django.conf import settings
from django.db import migrations, models

import sites.keys


class Migration(migrations.Migration):
    initial = True

    dependencies = [
        ("auth", "0012_alter_user_first_name_max_length"),
    ]

    operations = [
        migrations.CreateModel(
            name="AttachedItem",
            fields=[
                (
                    "id",
                    models.UUIDField(
                        default=sites.keys.uuid7, editable=False, primary_key=True, serialize=False
                    ),
                ),
                ("number", models.CharField(max_length=24, verbose_name="number")),
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("plaque", "Dedication plaque"),
                            ("ventilator", "Ventilator"),
                            ("guard", "Guard"),
                            ("lamp", "Lamp"),
                            ("sensor", "Sensor"),
                            ("other", "Other"),
                        ],
                        default="plaque",
                        max_length=12,
                        verbose_name="kind",
                    ),
                ),
                (
                    "material",
                    models.CharField(
                        choices=[
                            ("unknown", "Not known"),
                            ("brass", "Brass"),
                            ("bronze", "Bronze"),
                            ("copper", "Copper"),
                            ("aluminium", "Aluminium"),
                            ("stainless steel", "Stainless steel"),
                            ("magnesium", "Magnesium"),
                            ("zinc", "Zinc"),
                            ("enamelled steel", "Enamelled steel"),
                            ("other", "Other"),
                        ],
                        default="unknown",
                        max_length=16,
                        verbose_name="material",
                    ),
                ),
                ("width_typed", models.CharField(blank=True, default="", max_length=40)),
                (
                    "width_mm",
                    models.DecimalField(
                        blank=True, decimal_places=6, editable=False, max_digits=12, null=True
                    ),
                ),
                ("height_typed", models.CharField(blank=True, default="", max_length=40)),
                (
                    "height_mm",
                    models.DecimalField(
                        blank=True, decimal_places=6, editable=False, max_digits=12, null=True
                    ),
                ),
                ("thickness_typed", models.CharField(blank=True, default="", max_length=40)),
                (
                    "thickness_mm",
                    models.DecimalField(
                        blank=True, decimal_places=6, editable=False, max_digits=12, null=True
                    ),
                ),
                (
                    "inscription",
                    models.TextField(
                        blank=True,
                        help_text="Letter by letter, line by line, as it stands.",
                        verbose_name="inscription",
                    ),
                ),
                (
                    "memorial_of",
                    models.CharField(blank=True, max_length=240, verbose_name="in memory of"),
                ),
                ("donors", models.CharField(blank=True, max_length=240, verbose_name="given by")),
                (
                    "installed",
                    models.CharField(
                        blank=True,
                        help_text="A year, c. 1931, 1890s, a day.",
                        max_length=80,
                        verbose_name="installed",
                    ),
                ),
                ("installed_edtf", models.CharField(blank=True, editable=False, max_length=80)),
            ],
            options={
                "ordering": ["number"],
            },
        ),
        migrations.CreateModel(
            name="Building",
            fields=[
                (
                    "id",
                    models.UUIDField(
                        default=sites.keys.uuid7, editable=False, primary_key=True, serialize=False
                    ),
                ),
                ("name", models.CharField(max_length=160, verbose_name="name")),
                ("place", models.CharField(max_length=120, verbose_name="town or village")),
                ("address", models.TextField(blank=True, verbose_name="address")),
                (
                    "country",
                    models.CharField(
                        blank=True,
                        help_text="Two letters, as in ISO 3166.",
                        max_length=2,
                        verbose_name="country",
                    ),
                ),
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("church", "Church"),
                            ("chapel", "Chapel"),
                            ("memorial hall", "Memorial hall"),
                            ("synagogue", "Synagogue"),
                            ("other", "Other"),
                        ],
                        default="church",
                        max_length=16,
                        verbose_name="kind",
                    ),
                ),
                (
                    "dedication",
                    models.CharField(blank=True, max_length=160, verbose_name="dedication"),
                ),
                ("built", models.CharField(blank=True, max_length=80, verbose_name="built")),
                (
                    "protection",
                    models.CharField(
                        blank=True,
                        help_text="Listing or designation, with its grade and reference.",
                        max_length=240,
                        verbose_name="protection status",
                    ),
                ),
                (
                    "consent_body",
                    models.CharField(
                        blank=True,
                        help_text="Consent comes before work on a protected building.",
                        max_length=240,
                        verbose_name="who gives consent",
                    ),
                ),
                (
                    "access",
                    models.TextField(
                        blank=True,
                        help_text="Keys, parking, floors, heights, hours.",
                        verbose_name="access",
                    ),
                ),
                (
                    "currency",
                    models.CharField(default="USD", max_length=3, verbose_name="currency"),
                ),
                (
                    "time_zone",
                    models.CharField(default="UTC", max_length=64, verbose_name="time zone"),
                ),
                (
                    "language",
                    models.CharField(
                        default="en", max_length=8, verbose_name="language of documents"
                    ),
                ),
                (
                    "paper",
                    models.CharField(
                        choices=[("A4", "A4"), ("Letter", "Letter")],
                        default="A4",
                        max_length=8,
                        verbose_name="paper",
                    ),
                ),
                (
                    "units",
                    models.CharField(
                        choices=[("metric", "Millimetres"), ("inch", "Inches")],
                        default="metric",
                        max_length=8,
                        verbose_name="lengths in",
                    ),
                ),
            ],
            options={
                "ordering": ["name", "place"],
            },
        ),
        migrations.CreateModel(
            name="User",
            fields=[
                ("password", models.CharField(max_length=128, verbose_name="password")),
                (
                    "last_login",
                    models.DateTimeField(blank=True, null=True, verbose_name="last login"),
                ),
                (
                    "is_superuser",
                    models.BooleanField(
                        default=False,
                        help_text="Designates that this user has all permissions without explicitly assigning them.",
                        verbose_name="superuser status",
                    ),
                ),
                (
                    "id",
                    models.UUIDField(
                        default=sites.keys.uuid7, editable=False, primary_key=True, serialize=False
                    ),
                ),
                (
                    "email",
                    models.EmailField(max_length=254, unique=True, verbose_name="e-mail address"),
                ),
                ("name", models.CharField(max_length=120, verbose_name="name")),
                (
                    "units",
                    models.CharField(
                        choices=[("metric", "Millimetres"), ("inch", "Inches")],
                        default="metric",
                        max_length=8,
                        verbose_name="lengths in",
                    ),
                ),
                ("is_active", models.BooleanField(default=True)),
                ("joined_at", models.DateTimeField(auto_now_add=True)),
                (
                    "groups",
                    models.ManyToManyField(
                        blank=True,
                        help_text="The groups this user belongs to. A user will get all permissions granted to each of their groups.",
                        related_name="user_set",
                        related_query_name="user",
                        to="auth.group",
                        verbose_name="groups",
                    ),
                ),
                (
                    "user_permissions",
                    models.ManyToManyField(
                        blank=True,
                        help_text="Specific permissions for this user.",
                        related_name="user_set",
                        related_query_name="user",
                        to="auth.permission",
                        verbose_name="user permissions",
                    ),
                ),
            ],
        ),
        migrations.CreateModel(
            name="BuildingPerson",
            fields=[
                (
                    "id",
                    models.UUIDField(
                        default=sites.keys.uuid7, editable=False, primary_key=True, serialize=False
                    ),
                ),
                ("name", models.CharField(max_length=120, verbose_name="name")),
                ("role", models.CharField(max_length=80, verbose_name="role")),
                (
                    "email",
                    models.EmailField(blank=True, max_length=254, verbose_name="e-mail address"),
                ),
                ("phone", models.CharField(blank=True, max_length=40, verbose_name="telephone")),
                (
                    "building",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="people",
                        to="sites.building",
                    ),
                ),
            ],
            options={
                "ordering": ["role", "name"],
            },
        ),
        migrations.CreateModel(
            name="Change",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("table", models.CharField(max_length=64)),
                ("row", models.CharField(max_length=40)),
                ("deed", models.CharField(max_length=6)),
                ("before", models.JSONField()),
                ("actor", models.CharField(blank=True, max_length=80)),
                ("at", models.DateTimeField()),
            ],
            options={
                "indexes": [models.Index(fields=["table", "row"], name="change_of_a_row")],
            },
        ),
        migrations.CreateModel(
            name="Fixing",
            fields=[
                (
                    "id",
                    models.UUIDField(
                        default=sites.keys.uuid7, editable=False, primary_key=True, serialize=False
                    ),
                ),
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("soldered tab", "Soldered tab"),
                            ("strap", "Strap"),
                            ("silicone bead", "Silicone bead"),
                            ("screw", "Screw"),
                            ("wire", "Wire"),
                            ("other", "Other"),
                        ],
                        max_length=16,
                        verbose_name="kind",
                    ),
                ),
                ("count", models.PositiveSmallIntegerField(default=1, verbose_name="how many")),
                (
                    "state",
                    models.CharField(
                        choices=[
                            ("sound", "Sound"),
                            ("failed", "Failed"),
                            ("new and curing", "New and still curing"),
                            ("not seen", "Not seen"),
                        ],
                        max_length=16,
                        verbose_name="state",
                    ),
                ),
                (
                    "holds_on_to",
                    models.CharField(
                        choices=[
                            ("lead", "Lead came"),
                            ("saddle bar", "Saddle bar"),
                            ("frame", "Frame"),
                            ("stone", "Stone"),
                            ("timber", "Timber"),
                            ("unknown", "Not known"),
                        ],
                        max_length=12,
                        verbose_name="holds on to",
                    ),
                ),
                (
                    "host_state",
                    models.CharField(
                        choices=[
                            ("sound", "Sound"),
                            ("weak", "Weak"),
                            ("failed", "Failed"),
                            ("not seen", "Not seen"),
                        ],
                        default="not seen",
                        max_length=12,
                        verbose_name="state of what it holds on to",
                    ),
                ),
                (
                    "item",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="fixings",
                        to="sites.attacheditem",
                    ),
                ),
            ],
            options={
                "ordering": ["kind", "state"],
            },
        ),
        migrations.CreateModel(
            name="Opening",
            fields=[
                (
                    "id",
                    models.UUIDField(
                        default=sites.keys.uuid7, editable=False, primary_key=True, serialize=False
                    ),
                ),
                ("number", models.CharField(max_length=24, verbose_name="number")),
                ("order", models.CharField(default="", editable=False, max_length=64)),
                (
                    "title",
                    models.CharField(
                        blank=True, max_length=200, verbose_name="subject of the window"
                    ),
                ),
                (
                    "wall",
                    models.CharField(
                        choices=[
                            ("east", "East"),
                            ("north", "North"),
                            ("south", "South"),
                            ("west", "West"),
                            ("other", "Elsewhere"),
                        ],
                        default="other",
                        max_length=8,
                        verbose_name="wall",
                    ),
                ),
                (
                    "level",
                    models.CharField(
                        choices=[
                            ("ground", "Main level"),
                            ("triforium", "Triforium"),
                            ("clerestory", "Clerestory"),
                            ("other", "Other"),
                        ],
                        default="ground",
                        max_length=12,
                        verbose_name="level",
                    ),
                ),
                ("width_typed", models.CharField(blank=True, default="", max_length=40)),
                (
                    "width_mm",
                    models.DecimalField(
                        blank=True, decimal_places=6, editable=False, max_digits=12, null=True
                    ),
                ),
                ("height_typed", models.CharField(blank=True, default="", max_length=40)),
                (
                    "height_mm",
                    models.DecimalField(
                        blank=True, decimal_places=6, editable=False, max_digits=12, null=True
                    ),
                ),
                ("sill_height_typed", models.CharField(blank=True, default="", max_length=40)),
                (
                    "sill_height_mm",
                    models.DecimalField(
                        blank=True, decimal_places=6, editable=False, max_digits=12, null=True
                    ),
                ),
                (
                    "head",
                    models.CharField(
                        choices=[
                            ("rectangle", "Square head"),
                            ("semicircular", "Round head"),
                            ("segmental", "Segmental head"),
                            ("two-centred", "Two-centred (pointed) head"),
                            ("four-centred", "Four-centred head"),
                            ("roundel", "Roundel"),
                            ("other", "Other"),
                        ],
                        default="other",
                        max_length=16,
                        verbose_name="head",
                    ),
                ),
                ("lights", models.PositiveSmallIntegerField(default=1, verbose_name="lights")),
                ("made", models.CharField(blank=True, max_length=80, verbose_name="glass made")),
                ("made_edtf", models.CharField(blank=True, editable=False, max_length=80)),
                ("maker", models.CharField(blank=True, max_length=160, verbose_name="maker")),
                (
                    "protective_glazing",
                    models.CharField(
                        choices=[
                            ("unknown", "Not known"),
                            ("none", "None"),
                            ("vented", "Vented"),
                            ("unvented", "Not vented"),
                        ],
                        default="unknown",
                        max_length=10,
                        verbose_name="protective glazing",
                    ),
                ),
                (
                    "people_below",
                    models.BooleanField(default=False, verbose_name="people pass or sit below"),
                ),
                ("access", models.TextField(blank=True, verbose_name="access")),
                (
                    "building",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="openings",
                        to="sites.building",
                    ),
                ),
            ],
            options={
                "ordering": ["order", "number"],
            },
        ),
        migrations.CreateModel(
            name="OlderNumber",
            fields=[
                (
                    "id",
                    models.UUIDField(
                        default=sites.keys.uuid7, editable=False, primary_key=True, serialize=False
                    ),
                ),
                ("number", models.CharField(max_length=40, verbose_name="older number")),
                ("system", models.CharField(max_length=120, verbose_name="whose number")),
                (
                    "opening",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="older_numbers",
                        to="sites.opening",
                    ),
                ),
            ],
            options={
                "ordering": ["system", "number"],
            },
        ),
        migrations.AddField(
            model_name="attacheditem",
            name="opening",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT,
                related_name="attached_items",
                to="sites.opening",
            ),
        ),
        migrations.CreateModel(
            name="Panel",
            fields=[
                (
                    "id",
                    models.UUIDField(
                        default=sites.keys.uuid7, editable=False, primary_key=True, serialize=False
                    ),
                ),
                ("number", models.CharField(max_length=24, verbose_name="number")),
                ("order", models.CharField(default="", editable=False, max_length=64)),
                ("width_typed", models.CharField(blank=True, default="", max_length=40)),
                (
                    "width_mm",
                    models.DecimalField(
                        blank=True, decimal_places=6, editable=False, max_digits=12, null=True
                    ),
                ),
                ("height_typed", models.CharField(blank=True, default="", max_length=40)),
                (
                    "height_mm",
                    models.DecimalField(
                        blank=True, decimal_places=6, editable=False, max_digits=12, null=True
                    ),
                ),
                (
                    "pieces",
                    models.PositiveIntegerField(
                        blank=True, null=True, verbose_name="pieces of glass"
                    ),
                ),
                (
                    "subject",
                    models.CharField(blank=True, max_length=200, verbose_name="what it shows"),
                ),
                (
                    "opening",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="panels",
                        to="sites.opening",
                    ),
                ),
            ],
            options={
                "ordering": ["order", "number"],
            },
        ),
        migrations.AddField(
            model_name="attacheditem",
            name="panel",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="attached_items",
                to="sites.panel",
            ),
        ),
        migrations.CreateModel(
            name="Studio",
            fields=[
                (
                    "id",
                    models.UUIDField(
                        default=sites.keys.uuid7, editable=False, primary_key=True, serialize=False
                    ),
                ),
                ("name", models.CharField(max_length=160, unique=True, verbose_name="name")),
                ("address", models.TextField(blank=True, verbose_name="address")),
                (
                    "email",
                    models.EmailField(blank=True, max_length=254, verbose_name="e-mail address"),
                ),
                ("phone", models.CharField(blank=True, max_length=40, verbose_name="telephone")),
                (
                    "registration",
                    models.CharField(
                        blank=True, max_length=160, verbose_name="registration or accreditation"
                    ),
                ),
                (
                    "paper",
                    models.CharField(
                        choices=[("A4", "A4"), ("Letter", "Letter")],
                        default="A4",
                        max_length=8,
                        verbose_name="paper",
                    ),
                ),
                (
                    "reliance",
                    models.TextField(
                        default="This report was written for the client named on its cover. It records what could be seen on the day of the visit and should be read again after five years, or sooner after a storm, a fire or building work.",
                        verbose_name="who may rely on a report",
                    ),
                ),
            ],
            options={
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("name", ""), _negated=True),
                        name="studio_name_not_blank",
                        violation_error_message="The name must not be empty.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("paper__in", ["A4", "Letter"])),
                        name="studio_paper_is_a_choice",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Membership",
            fields=[
                (
                    "id",
                    models.UUIDField(
                        default=sites.keys.uuid7, editable=False, primary_key=True, serialize=False
                    ),
                ),
                (
                    "role",
                    models.CharField(
                        choices=[
                            ("owner", "Owner"),
                            ("estimator", "Estimator"),
                            ("surveyor", "Surveyor"),
                            ("bench", "Bench"),
                            ("committee", "Committee"),
                            ("reader", "Reader"),
                        ],
                        max_length=12,
                    ),
                ),
                (
                    "building",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="memberships",
                        to="sites.building",
                    ),
                ),
                (
                    "user",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="memberships",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "studio",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="memberships",
                        to="sites.studio",
                    ),
                ),
            ],
        ),
        migrations.CreateModel(
            name="Job",
            fields=[
                (
                    "id",
                    models.UUIDField(
                        default=sites.keys.uuid7, editable=False, primary_key=True, serialize=False
                    ),
                ),
                ("task", models.CharField(max_length=80)),
                (
                    "key",
                    models.CharField(
                        help_text="Asked for twice, it is one job.", max_length=120, unique=True
                    ),
                ),
                ("arguments", models.JSONField(default=dict)),
                (
                    "state",
                    models.CharField(
                        choices=[
                            ("waiting", "Waiting"),
                            ("running", "Under way"),
                            ("done", "Done"),
                            ("failed", "Did not succeed"),
                        ],
                        default="waiting",
                        max_length=8,
                    ),
                ),
                ("step", models.CharField(blank=True, max_length=160)),
                ("done", models.PositiveIntegerField(default=0)),
                ("total", models.PositiveIntegerField(default=0)),
                ("attempts", models.PositiveSmallIntegerField(default=0)),
                ("worker", models.CharField(blank=True, max_length=120)),
                ("heartbeat_at", models.DateTimeField(blank=True, null=True)),
                ("asked_at", models.DateTimeField(auto_now_add=True)),
                ("ended_at", models.DateTimeField(blank=True, null=True)),
                ("problem", models.TextField(blank=True)),
                ("result", models.JSONField(default=dict)),
                (
                    "asked_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.SET_NULL,
                        related_name="jobs",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "studio",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="jobs",
                        to="sites.studio",
                    ),
                ),
            ],
        ),
        migrations.CreateModel(
            name="DocumentNumber",
            fields=[
                (
                    "id",
                    models.UUIDField(
                        default=sites.keys.uuid7, editable=False, primary_key=True, serialize=False
                    ),
                ),
                (
                    "kind",
                    models.CharField(
                        choices=[("CR", "Condition report"), ("RQ", "Repair quote")], max_length=2
                    ),
                ),
                ("year", models.PositiveSmallIntegerField()),
                ("serial", models.PositiveIntegerField()),
                ("version", models.PositiveSmallIntegerField(default=1)),
                (
                    "subject",
                    models.UUIDField(help_text="The survey or estimate it is issued from."),
                ),
                ("dated", models.DateField()),
                ("issued", models.BooleanField(default=False)),
                (
                    "asked_by",
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
                        related_name="document_numbers",
                        to="sites.studio",
                    ),
                ),
            ],
        ),
        migrations.AddField(
            model_name="building",
            name="studio",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT,
                related_name="buildings",
                to="sites.studio",
            ),
        ),
        migrations.CreateModel(
            name="VisitFolder",
            fields=[
                (
                    "id",
                    models.UUIDField(
                        default=sites.keys.uuid7, editable=False, primary_key=True, serialize=False
                    ),
                ),
                ("digest", models.CharField(max_length=64)),
                ("counts", models.JSONField(default=dict)),
                (
                    "keys",
                    models.JSONField(
                        default=dict,
                        help_text="The folder's own keys, and the rows that they became.",
                    ),
                ),
                ("taken_in_at", models.DateTimeField(auto_now_add=True)),
                (
                    "building",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="visit_folders",
                        to="sites.building",
                    ),
                ),
                (
                    "studio",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="visit_folders",
                        to="sites.studio",
                    ),
                ),
                (
                    "taken_in_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
        ),
        migrations.AddConstraint(
            model_name="user",
            constraint=models.CheckConstraint(
                condition=models.Q(("name", ""), _negated=True),
                name="user_name_not_blank",
                violation_error_message="The name must not be empty.",
            ),
        ),
        migrations.AddConstraint(
            model_name="user",
            constraint=models.CheckConstraint(
                condition=models.Q(("units__in", ["metric", "inch"])), name="user_units_is_a_choice"
            ),
        ),
        migrations.AddConstraint(
            model_name="buildingperson",
            constraint=models.UniqueConstraint(
                fields=("building", "name", "role"), name="person_once_a_role"
            ),
        ),
        migrations.AddConstraint(
            model_name="buildingperson",
            constraint=models.CheckConstraint(
                condition=models.Q(("name", ""), _negated=True),
                name="buildingperson_name_not_blank",
                violation_error_message="The name must not be empty.",
            ),
        ),
        migrations.AddConstraint(
            model_name="buildingperson",
            constraint=models.CheckConstraint(
                condition=models.Q(("role", ""), _negated=True),
                name="buildingperson_role_not_blank",
                violation_error_message="The role must not be empty.",
            ),
        ),
        migrations.AddConstraint(
            model_name="fixing",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    (
                        "kind__in",
                        ["soldered tab", "strap", "silicone bead", "screw", "wire", "other"],
                    )
                ),
                name="fixing_kind_is_a_choice",
            ),
        ),
        migrations.AddConstraint(
            model_name="fixing",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("state__in", ["sound", "failed", "new and curing", "not seen"])
                ),
                name="fixing_state_is_a_choice",
            ),
        ),
        migrations.AddConstraint(
            model_name="fixing",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    (
                        "holds_on_to__in",
                        ["lead", "saddle bar", "frame", "stone", "timber", "unknown"],
                    )
                ),
                name="fixing_holds_on_to_is_a_choice",
            ),
        ),
        migrations.AddConstraint(
            model_name="fixing",
            constraint=models.CheckConstraint(
                condition=models.Q(("host_state__in", ["sound", "weak", "failed", "not seen"])),
                name="fixing_host_state_is_a_choice",
            ),
        ),
        migrations.AddConstraint(
            model_name="fixing",
            constraint=models.CheckConstraint(
                condition=models.Q(("count__gte", 1), ("count__lte", 500)),
                name="fixing_count_1_to_500",
            ),
        ),
        migrations.AddConstraint(
            model_name="opening",
            constraint=models.UniqueConstraint(
                fields=("building", "number"),
                name="opening_number_once_a_building",
                violation_error_message="Another opening here has this number.",
            ),
        ),
        migrations.AddConstraint(
            model_name="opening",
            constraint=models.CheckConstraint(
                condition=models.Q(("number", ""), _negated=True),
                name="opening_number_not_blank",
                violation_error_message="The number must not be empty.",
            ),
        ),
        migrations.AddConstraint(
            model_name="opening",
            constraint=models.CheckConstraint(
                condition=models.Q(("wall__in", ["east", "north", "south", "west", "other"])),
                name="opening_wall_is_a_choice",
            ),
        ),
        migrations.AddConstraint(
            model_name="opening",
            constraint=models.CheckConstraint(
                condition=models.Q(("level__in", ["ground", "triforium", "clerestory", "other"])),
                name="opening_level_is_a_choice",
            ),
        ),
        migrations.AddConstraint(
            model_name="opening",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    (
                        "head__in",
                        [
                            "rectangle",
                            "semicircular",
                            "segmental",
                            "two-centred",
                            "four-centred",
                            "roundel",
                            "other",
                        ],
                    )
                ),
                name="opening_head_is_a_choice",
            ),
        ),
        migrations.AddConstraint(
            model_name="opening",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("protective_glazing__in", ["unknown", "none", "vented", "unvented"])
                ),
                name="opening_protective_glazing_is_a_choice",
            ),
        ),
        migrations.AddConstraint(
            model_name="opening",
            constraint=models.CheckConstraint(
                condition=models.Q(("lights__gte", 1), ("lights__lte", 40)),
                name="opening_lights_1_to_40",
            ),
        ),
        migrations.AddConstraint(
            model_name="opening",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(
                        ("width_mm__gt", 0),
                        ("width_mm__isnull", False),
                        models.Q(("width_typed", ""), _negated=True),
                    ),
                    models.Q(("width_mm__isnull", True), ("width_typed", "")),
                    _connector="OR",
                ),
                name="opening_width_positive_and_typed",
                violation_error_message="The width must be a length above zero, or left empty.",
            ),
        ),
        migrations.AddConstraint(
            model_name="opening",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(
                        ("height_mm__gt", 0),
                        ("height_mm__isnull", False),
                        models.Q(("height_typed", ""), _negated=True),
                    ),
                    models.Q(("height_mm__isnull", True), ("height_typed", "")),
                    _connector="OR",
                ),
                name="opening_height_positive_and_typed",
                violation_error_message="The height must be a length above zero, or left empty.",
            ),
        ),
        migrations.AddConstraint(
            model_name="opening",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(
                        ("sill_height_mm__gt", 0),
                        ("sill_height_mm__isnull", False),
                        models.Q(("sill_height_typed", ""), _negated=True),
                    ),
                    models.Q(("sill_height_mm__isnull", True), ("sill_height_typed", "")),
                    _connector="OR",
                ),
                name="opening_sill_height_positive_and_typed",
                violation_error_message="The sill_height must be a length above zero, or left empty.",
            ),
        ),
        migrations.AddConstraint(
            model_name="oldernumber",
            constraint=models.UniqueConstraint(
                fields=("opening", "number", "system"), name="older_number_once"
            ),
        ),
        migrations.AddConstraint(
            model_name="oldernumber",
            constraint=models.CheckConstraint(
                condition=models.Q(("number", ""), _negated=True),
                name="oldernumber_number_not_blank",
                violation_error_message="The number must not be empty.",
            ),
        ),
        migrations.AddConstraint(
            model_name="oldernumber",
            constraint=models.CheckConstraint(
                condition=models.Q(("system", ""), _negated=True),
                name="oldernumber_system_not_blank",
                violation_error_message="The system must not be empty.",
            ),
        ),
        migrations.AddConstraint(
            model_name="panel",
            constraint=models.UniqueConstraint(
                fields=("opening", "number"),
                name="panel_number_once_an_opening",
                violation_error_message="Another panel of this opening has this number.",
            ),
        ),
        migrations.AddConstraint(
            model_name="panel",
            constraint=models.CheckConstraint(
                condition=models.Q(("number", ""), _negated=True),
                name="panel_number_not_blank",
                violation_error_message="The number must not be empty.",
            ),
        ),
        migrations.AddConstraint(
            model_name="panel",
            constraint=models.CheckConstraint(
                condition=models.Q(("pieces__isnull", True), ("pieces__gte", 1), _connector="OR"),
                name="panel_pieces_positive",
            ),
        ),
        migrations.AddConstraint(
            model_name="panel",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(
                        ("width_mm__gt", 0),
                        ("width_mm__isnull", False),
                        models.Q(("width_typed", ""), _negated=True),
                    ),
                    models.Q(("width_mm__isnull", True), ("width_typed", "")),
                    _connector="OR",
                ),
                name="panel_width_positive_and_typed",
                violation_error_message="The width must be a length above zero, or left empty.",
            ),
        ),
        migrations.AddConstraint(
            model_name="panel",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(
                        ("height_mm__gt", 0),
                        ("height_mm__isnull", False),
                        models.Q(("height_typed", ""), _negated=True),
                    ),
                    models.Q(("height_mm__isnull", True), ("height_typed", "")),
                    _connector="OR",
                ),
                name="panel_height_positive_and_typed",
                violation_error_message="The height must be a length above zero, or left empty.",
            ),
        ),
        migrations.AddConstraint(
            model_name="attacheditem",
            constraint=models.UniqueConstraint(
                fields=("opening", "number"),
                name="item_number_once_an_opening",
                violation_error_message="Another item of this opening has this number.",
            ),
        ),
        migrations.AddConstraint(
            model_name="attacheditem",
            constraint=models.CheckConstraint(
                condition=models.Q(("number", ""), _negated=True),
                name="attacheditem_number_not_blank",
                violation_error_message="The number must not be empty.",
            ),
        ),
        migrations.AddConstraint(
            model_name="attacheditem",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("kind__in", ["plaque", "ventilator", "guard", "lamp", "sensor", "other"])
                ),
                name="attacheditem_kind_is_a_choice",
            ),
        ),
        migrations.AddConstraint(
            model_name="attacheditem",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    (
                        "material__in",
                        [
                            "unknown",
                            "brass",
                            "bronze",
                            "copper",
                            "aluminium",
                            "stainless steel",
                            "magnesium",
                            "zinc",
                            "enamelled steel",
                            "other",
                        ],
                    )
                ),
                name="attacheditem_material_is_a_choice",
            ),
        ),
        migrations.AddConstraint(
            model_name="attacheditem",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(
                        ("width_mm__gt", 0),
                        ("width_mm__isnull", False),
                        models.Q(("width_typed", ""), _negated=True),
                    ),
                    models.Q(("width_mm__isnull", True), ("width_typed", "")),
                    _connector="OR",
                ),
                name="attacheditem_width_positive_and_typed",
                violation_error_message="The width must be a length above zero, or left empty.",
            ),
        ),
        migrations.AddConstraint(
            model_name="attacheditem",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(
                        ("height_mm__gt", 0),
                        ("height_mm__isnull", False),
                        models.Q(("height_typed", ""), _negated=True),
                    ),
                    models.Q(("height_mm__isnull", True), ("height_typed", "")),
                    _connector="OR",
                ),
                name="attacheditem_height_positive_and_typed",
                violation_error_message="The height must be a length above zero, or left empty.",
            ),
        ),
        migrations.AddConstraint(
            model_name="attacheditem",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(
                        ("thickness_mm__gt", 0),
                        ("thickness_mm__isnull", False),
                        models.Q(("thickness_typed", ""), _negated=True),
                    ),
                    models.Q(("thickness_mm__isnull", True), ("thickness_typed", "")),
                    _connector="OR",
                ),
                name="attacheditem_thickness_positive_and_typed",
                violation_error_message="The thickness must be a length above zero, or left empty.",
            ),
        ),
        migrations.AddConstraint(
            model_name="membership",
            constraint=models.UniqueConstraint(
                condition=models.Q(("building__isnull", False)),
                fields=("user", "building"),
                name="membership_once_a_building",
            ),
        ),
        migrations.AddConstraint(
            model_name="membership",
            constraint=models.UniqueConstraint(
                condition=models.Q(("building__isnull", True)),
                fields=("user", "studio"),
                name="membership_once_a_studio",
            ),
        ),
        migrations.AddConstraint(
            model_name="membership",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("role__in", ["bench", "committee", "estimator", "owner", "reader", "surveyor"])
                ),
                name="membership_role_is_a_choice",
            ),
        ),
        migrations.AddConstraint(
            model_name="membership",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("role", "committee"), _negated=True),
                    ("building__isnull", False),
                    _connector="OR",
                ),
                name="membership_committee_is_of_one_building",
                violation_error_message="A committee member sees one building: name it.",
            ),
        ),
        migrations.AddIndex(
            model_name="job",
            index=models.Index(
                condition=models.Q(("state__in", ["waiting", "running"])),
                fields=["id"],
                name="job_open",
            ),
        ),
        migrations.AddConstraint(
            model_name="job",
            constraint=models.CheckConstraint(
                condition=models.Q(("task", ""), _negated=True),
                name="job_task_not_blank",
                violation_error_message="The task must not be empty.",
            ),
        ),
        migrations.AddConstraint(
            model_name="job",
            constraint=models.CheckConstraint(
                condition=models.Q(("state__in", ["waiting", "running", "done", "failed"])),
                name="job_state_is_a_choice",
            ),
        ),
        migrations.AddConstraint(
            model_name="job",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("heartbeat_at__isnull", False), ("state", "running")),
                    models.Q(("state", "running"), _negated=True),
                    _connector="OR",
                ),
                name="job_running_has_a_heartbeat",
            ),
        ),
        migrations.AddConstraint(
            model_name="documentnumber",
            constraint=models.CheckConstraint(
                condition=models.Q(("kind__in", ["CR", "RQ"])),
                name="documentnumber_kind_is_a_choice",
            ),
        ),
        migrations.AddConstraint(
            model_name="documentnumber",
            constraint=models.UniqueConstraint(
                fields=("studio", "kind", "year", "serial", "version"), name="document_number_once"
            ),
        ),
        migrations.AddConstraint(
            model_name="documentnumber",
            constraint=models.UniqueConstraint(
                condition=models.Q(("issued", False)),
                fields=("kind", "subject"),
                name="document_one_in_print",
            ),
        ),
        migrations.AddConstraint(
            model_name="documentnumber",
            constraint=models.CheckConstraint(
                condition=models.Q(("serial__gte", 1), ("version__gte", 1)),
                name="document_number_positive",
            ),
        ),
        migrations.AddConstraint(
            model_name="building",
            constraint=models.UniqueConstraint(
                fields=("studio", "name", "place"),
                name="building_once_a_studio",
                violation_error_message="A building of this name and place is registered.",
            ),
        ),
        migrations.AddConstraint(
            model_name="building",
            constraint=models.CheckConstraint(
                condition=models.Q(("name", ""), _negated=True),
                name="building_name_not_blank",
                violation_error_message="The name must not be empty.",
            ),
        ),
        migrations.AddConstraint(
            model_name="building",
            constraint=models.CheckConstraint(
                condition=models.Q(("place", ""), _negated=True),
                name="building_place_not_blank",
                violation_error_message="The place must not be empty.",
            ),
        ),
        migrations.AddConstraint(
            model_name="building",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("kind__in", ["church", "chapel", "memorial hall", "synagogue", "other"])
                ),
                name="building_kind_is_a_choice",
            ),
        ),
        migrations.AddConstraint(
            model_name="building",
            constraint=models.CheckConstraint(
                condition=models.Q(("paper__in", ["A4", "Letter"])),
                name="building_paper_is_a_choice",
            ),
        ),
        migrations.AddConstraint(
            model_name="building",
            constraint=models.CheckConstraint(
                condition=models.Q(("units__in", ["metric", "inch"])),
                name="building_units_is_a_choice",
            ),
        ),
        migrations.AddConstraint(
            model_name="building",
            constraint=models.CheckConstraint(
                condition=django.db.models.lookups.Exact(
                    django.db.models.functions.text.Length(models.F("currency")), 3
                ),
                name="building_currency_has_3_letters",
            ),
        ),
        migrations.AddConstraint(
            model_name="visitfolder",
            constraint=models.UniqueConstraint(
                fields=("studio", "digest"), name="visit_folder_once"
            ),
        ),
    ]
