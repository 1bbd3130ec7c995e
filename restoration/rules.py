"""The one list of what the database holds to beyond constraints; see `sites.rules`."""

from sites.rules.definitions import Frozen, Refusal, Rules, Tracked

FROZEN = (
    Frozen("condition_conditionreport", "a condition report"),
    Frozen("condition_makesafenotice", "a make-safe notice"),
    Frozen("condition_dangeract", "what was said or done about a danger"),
    Frozen("condition_areaclosure", "the closing of an area"),
    Frozen("condition_closureend", "the opening of a closed area"),
    Frozen("restoration_quote", "a repair quote"),
    Frozen("restoration_quoteevent", "a decision"),
    Frozen("sites_inscriptionproof", "an inscription proof"),
    Frozen("sites_proofapproval", "an approval"),
    Frozen("sites_change", "history"),
)

TRACKED = (
    Tracked("sites_studio"),
    Tracked("sites_membership"),
    Tracked("sites_building"),
    Tracked("sites_buildingperson", private=("name", "email", "phone")),
    Tracked("sites_opening"),
    Tracked("sites_oldernumber"),
    Tracked("sites_bar"),
    Tracked("sites_panel"),
    Tracked("sites_planwall"),
    Tracked("sites_planpicture"),
    Tracked("sites_cameprofile"),
    Tracked("sites_camerun"),
    Tracked("sites_studiofigure"),
    Tracked("sites_attacheditem"),
    Tracked("sites_fixing"),
    Tracked("condition_findingkind"),
    Tracked("condition_actionkind"),
    Tracked("condition_usualaction"),
    Tracked("condition_actioncaution"),
    Tracked("condition_survey"),
    Tracked("condition_inspection"),
    Tracked("condition_finding"),
    Tracked("condition_dangerrow"),
    Tracked("condition_danger"),
    Tracked("condition_area"),
    Tracked("condition_incident", private=("seen_by", "hurt", "must_be_told")),
    Tracked("condition_findingsource"),
    Tracked("condition_photograph"),
    Tracked("condition_photographfinding"),
    Tracked("condition_classrule"),
    Tracked("condition_subjectassessment"),
    Tracked("condition_findingmark"),
    Tracked("condition_photographscale"),
    Tracked("condition_windsite"),
    Tracked("condition_safetysheet"),
    Tracked("condition_reportterms"),
    Tracked("restoration_ratebook"),
    Tracked("restoration_labourrate"),
    Tracked("restoration_material"),
    Tracked("restoration_norm"),
    Tracked("restoration_normmaterial"),
    Tracked("restoration_estimate"),
    Tracked("restoration_sharedcost"),
    Tracked("restoration_repairaction"),
    Tracked("restoration_actionfinding"),
)


def belongs(table: str, name: str, column: str, target: str, match: str, message: str) -> Refusal:
    """Refuse a row whose `column` points to a row of `target` for which `match` does not hold."""
    return Refusal(
        table,
        name,
        f"NEW.{column} IS NOT NULL AND NOT EXISTS "
        f"(SELECT 1 FROM {target} t WHERE t.id = NEW.{column} AND {match})",
        message,
    )


def subject_rules(table: str) -> tuple[Refusal, ...]:
    """The panel or item of a subject row stands in the opening the row names."""
    return tuple(
        belongs(
            table,
            f"{column.split('_')[0]}_place",
            column,
            target,
            "t.opening_id = NEW.opening_id",
            f"the {what} is not in this opening",
        )
        for column, target, what in (
            ("panel_id", "sites_panel", "panel"),
            ("attached_item_id", "sites_attacheditem", "item"),
        )
    )


SAME_BUILDING = (
    "t.building_id = (SELECT o.building_id FROM sites_opening o WHERE o.id = NEW.opening_id)"
)
OWN_BUILDING = "t.building_id = NEW.building_id"
SAME_BOOK = "t.rate_book_id = NEW.rate_book_id"

EARLIER_DAY = (
    "(SELECT s.day FROM condition_survey s WHERE s.id = t.survey_id) "
    "< (SELECT s.day FROM condition_survey s WHERE s.id = {later})"
)


def out_of_order(links: str, later: str, earlier: str) -> str:
    """Whether moving the day of survey NEW would put a finding before the one it comes from.

    links: a table whose rows name a later finding in `later` and an earlier one in `earlier`.
    """
    pairs = (
        f"SELECT 1 FROM {links} l JOIN condition_finding f ON f.id = l.{later} "
        f"JOIN condition_finding e ON e.id = l.{earlier} JOIN condition_survey o ON o.id = "
    )
    return (
        f"EXISTS ({pairs} e.survey_id WHERE f.survey_id = NEW.id AND o.day >= NEW.day) "
        f"OR EXISTS ({pairs} f.survey_id WHERE e.survey_id = NEW.id AND o.day <= NEW.day)"
    )


CONTINUING = (
    belongs(
        "condition_finding",
        "continues",
        "continues_id",
        "condition_finding",
        f"t.opening_id = NEW.opening_id AND {EARLIER_DAY.format(later='NEW.survey_id')}",
        "a finding continues one of an earlier survey at the same opening",
    ),
    Refusal(
        "condition_finding",
        "continued",
        "EXISTS (SELECT 1 FROM condition_finding f WHERE f.continues_id = NEW.id "
        "AND f.opening_id <> NEW.opening_id) OR EXISTS (SELECT 1 FROM condition_findingsource l "
        "JOIN condition_finding f ON f.id IN (l.finding_id, l.earlier_id) "
        "WHERE NEW.id IN (l.finding_id, l.earlier_id) AND f.id <> NEW.id "
        "AND f.opening_id <> NEW.opening_id)",
        "a later finding continues this one at the same opening",
    ),
    Refusal(
        "condition_finding",
        "main_line",
        "EXISTS (SELECT 1 FROM condition_findingsource l WHERE l.finding_id = NEW.id "
        "AND (NEW.continues_id IS NULL OR l.earlier_id = NEW.continues_id))",
        "what a finding also comes from stands beside the one it continues",
    ),
    belongs(
        "condition_findingsource",
        "earlier",
        "earlier_id",
        "condition_finding",
        "EXISTS (SELECT 1 FROM condition_finding f WHERE f.id = NEW.finding_id "
        f"AND f.opening_id = t.opening_id AND {EARLIER_DAY.format(later='f.survey_id')})",
        "a finding comes from one of an earlier survey at the same opening",
    ),
    belongs(
        "condition_findingsource",
        "main_line",
        "finding_id",
        "condition_finding",
        "t.continues_id IS NOT NULL AND t.continues_id <> NEW.earlier_id",
        "what a finding also comes from stands beside the one it continues",
    ),
    Refusal(
        "condition_survey",
        "days",
        f"{out_of_order('condition_finding', 'id', 'continues_id')} "
        f"OR {out_of_order('condition_findingsource', 'finding_id', 'earlier_id')}",
        "a finding would come before the one it continues",
    ),
)

REFUSALS = (
    *subject_rules("condition_inspection"),
    *subject_rules("condition_finding"),
    *subject_rules("condition_danger"),
    *subject_rules("condition_subjectassessment"),
    *subject_rules("restoration_repairaction"),
    belongs(
        "sites_attacheditem",
        "panel_place",
        "panel_id",
        "sites_panel",
        "t.opening_id = NEW.opening_id",
        "the panel is not in this opening",
    ),
    *[
        belongs(
            table,
            "building",
            column,
            target,
            SAME_BUILDING,
            "the opening is of another building",
        )
        for table, column, target in (
            ("condition_inspection", "survey_id", "condition_survey"),
            ("condition_finding", "survey_id", "condition_survey"),
            ("condition_subjectassessment", "survey_id", "condition_survey"),
            ("restoration_repairaction", "estimate_id", "restoration_estimate"),
        )
    ],
    *[
        belongs(table, name, column, target, OWN_BUILDING, "it is of another building")
        for table, name, column, target in (
            ("condition_danger", "opening", "opening_id", "sites_opening"),
            ("condition_incident", "danger", "danger_id", "condition_danger"),
            ("condition_makesafenotice", "danger", "danger_id", "condition_danger"),
            ("condition_photograph", "survey", "survey_id", "condition_survey"),
            ("condition_photograph", "opening", "opening_id", "sites_opening"),
            ("condition_conditionreport", "survey", "survey_id", "condition_survey"),
            ("condition_safetysheet", "survey", "survey_id", "condition_survey"),
            ("restoration_estimate", "survey", "survey_id", "condition_survey"),
            ("restoration_quote", "estimate", "estimate_id", "restoration_estimate"),
        )
    ],
    *[
        belongs(table, name, column, target, SAME_BOOK, "it is of another rate book")
        for table, name, column, target in (
            ("restoration_norm", "labour_rate", "labour_rate_id", "restoration_labourrate"),
            ("restoration_normmaterial", "material", "material_id", "restoration_material"),
        )
    ],
    belongs(
        "sites_opening",
        "plan_wall",
        "plan_wall_id",
        "sites_planwall",
        OWN_BUILDING,
        "the wall is of another building",
    ),
    belongs(
        "sites_inscriptionproof",
        "item",
        "item_id",
        "sites_attacheditem",
        "EXISTS (SELECT 1 FROM sites_opening o WHERE o.id = t.opening_id "
        "AND o.building_id = NEW.building_id)",
        "the item is of another building",
    ),
    belongs(
        "condition_makesafenotice",
        "finding",
        "finding_id",
        "condition_finding",
        "EXISTS (SELECT 1 FROM sites_opening o WHERE o.id = t.opening_id "
        "AND o.building_id = NEW.building_id)",
        "the finding is of another building",
    ),
    belongs(
        "condition_findingmark",
        "photograph",
        "photograph_id",
        "condition_photograph",
        "t.building_id = (SELECT o.building_id FROM condition_finding f "
        "JOIN sites_opening o ON o.id = f.opening_id WHERE f.id = NEW.finding_id)",
        "the photograph is of another building",
    ),
    belongs(
        "condition_photographscale",
        "panel",
        "panel_id",
        "sites_panel",
        "EXISTS (SELECT 1 FROM sites_opening o JOIN condition_photograph p "
        "ON p.building_id = o.building_id WHERE o.id = t.opening_id AND p.id = NEW.photograph_id)",
        "the panel is of another building",
    ),
    belongs(
        "condition_photographfinding",
        "place",
        "photograph_id",
        "condition_photograph",
        "EXISTS (SELECT 1 FROM condition_finding f WHERE f.id = NEW.finding_id "
        "AND f.survey_id = t.survey_id AND f.opening_id = t.opening_id)",
        "the finding is of another survey or opening",
    ),
    Refusal(
        "condition_photograph",
        "findings",
        "EXISTS (SELECT 1 FROM condition_photographfinding l JOIN condition_finding f "
        "ON f.id = l.finding_id WHERE l.photograph_id = NEW.id AND (NEW.survey_id IS NULL "
        "OR NEW.opening_id IS NULL OR f.survey_id <> NEW.survey_id "
        "OR f.opening_id <> NEW.opening_id))",
        "the finding is of another survey or opening",
    ),
    *CONTINUING,
    belongs(
        "condition_finding",
        "danger",
        "danger_id",
        "condition_danger",
        "t.building_id = (SELECT o.building_id FROM sites_opening o WHERE o.id = NEW.opening_id)",
        "the danger is of another building",
    ),
    belongs(
        "condition_dangeract",
        "of",
        "of_id",
        "condition_dangeract",
        "t.danger_id = NEW.danger_id",
        "what was looked at or taken back is of another danger",
    ),
    belongs(
        "condition_areaclosure",
        "area",
        "area_id",
        "condition_area",
        "t.building_id = (SELECT d.building_id FROM condition_danger d WHERE d.id = NEW.danger_id)",
        "the area is of another building",
    ),
)

RULES = Rules(FROZEN, TRACKED, REFUSALS)
