"""What a visit folder may hold: its headings, and the words allowed under them."""

# The headings of a visit folder. A heading that the import does not know is an error there.
REGISTER_HEADINGS = {
    "Building": "name|place|address|country|kind|built|dedication|protection|consent body|access"
    "|currency|time zone|language|paper|units|ritual east",
    "People": "name|role|email|phone",
    "Walls": "name|x1|y1|x2|y2|bulge",
    "Openings": "number|title|wall|level|width|height|sill height|head|springing|small radius"
    "|lights|mullion|light head|light springing|rows|made|maker|protective glazing|people below"
    "|significance|access|older numbers|plan wall|plan along",
    "Bars": "opening|kind|light|height|ties|section|width|depth|material",
    "Panels": "opening|number|width|height|pieces|shape|x in mm|y in mm|foils|pattern|subject",
    "Attached items": "opening|number|panel|kind|material|width|height|thickness|inscription"
    "|memorial of|donors|installed|letter height",
    "Fixings": "opening|item|kind|count|state|holds on to|host state|width|length|product",
}
FINDINGS_HEADINGS = {
    "Surveys": "survey|date|surveyors|purpose|client|method|access|weather|limits|distribution",
    "Findings": "finding|survey|opening|panel|item|kind|side|extent|amount|unit|of|position|part"
    "|water|span|within|measured from|diagnosis|note"
    "|hazard|made safe|condition class|urgency class|recommendation class|why otherwise|continues"
    "|place changed|from",
    "Looked at": "survey|opening|panel|item|side|outcome|from|reason",
    "Photographs": "file|finding|survey|opening|caption",
    "Actions": "finding|kind|quantity|option|phase|scope|difficulty|lump sum|lump sum reason",
    "Shared costs": "kind|description|amount|phase",
}
ALLOWED = {
    ("openings", "wall"): "north|south|east|west|other",
    ("openings", "level"): "ground|clerestory|triforium|other",
    ("openings", "head"): "rectangle|semicircular|segmental|two-centred|four-centred|roundel",
    ("openings", "protective glazing"): "none|vented|unvented|unknown",
    ("items", "kind"): "plaque|ventilator|guard|lamp|sensor|other",
    ("items", "material"): "brass|bronze|copper|aluminium|stainless steel|magnesium|zinc"
    "|enamelled steel|other",
    ("fixings", "kind"): "soldered tab|strap|silicone bead|screw|wire|other",
    ("fixings", "state"): "sound|failed|new and curing|not seen",
    ("fixings", "holds on to"): "lead|saddle bar|frame|stone|timber|unknown",
    ("fixings", "host state"): "sound|weak|failed|not seen",
    ("bars", "section"): "round|flat|square",
    ("bars", "material"): "steel|wrought iron|stainless steel|bronze|brass",
    ("openings", "significance"): "ordinary|notable|outstanding",
    ("findings", "part"): "background|border|figure|head or hand|inscription",
    ("findings", "side"): "inside|outside|both",
    ("findings", "extent"): "isolated|grouped|along one line|throughout",
    ("looked_at", "side"): "inside|outside|both",
    ("looked_at", "outcome"): "nothing found|not inspected",
    ("looked_at", "from"): "floor|ladder|tower|lift|other",
    ("actions", "option"): "must|advised|if funds allow",
    ("shared_costs", "kind"): "access|preliminaries|travel|making safe|other",
    ("photographs", "picture"): "overall|close|wide",
}
