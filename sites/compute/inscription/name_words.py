"""Words of dedications that are no names, in the languages plaques are often written in."""

from typing import Final

# Left out of the list of names only: nothing is left out of the plate. A word missing here is
# listed as a name too many, which costs one tick; so words that are also given names (May,
# Faith, Joy) are not here.
_ENGLISH = """
a about above all almighty also always amen an and anniversary are as at beloved be bear below
blessed born both brother brothers buried by called child children church clergy committee
congregation daughter daughters day dear dearly dedicated departed devoted died donated donor
donors erected eternal ever everlasting faithful faithfully faileth fail fallen families
family father fell fellow fond for forever forget former friend friends from fund gave generosity
gift gifts given giving glad glory god grant grandchildren grandparents grandson grateful
gratefully gratitude great had hallelujah has have he heart her here him his holy honor honour
honoured humble husband in into installed is it its kingdom know late lest life light live
lived lives lord love loved loving made many members memorial memory mercy mother much my
never not of on one only or organist others our parents parish parishioners passed patience peace
perpetual placed praise pray prayers preserved presented rector remember remembered remembrance
repaired rest restored saint saints sacred sanctuary served service shall she shine sister sisters
son sons soul souls strength temple thank thankful thankfulness thanks thanksgiving that the their
them these they this those through to together unto until upon us vicar was we well were who whom
whose widow wife window windows with work world worship years you
"""
_LATIN = """
ad ac amor anima animae anno beatae christi cum dei deo deus dominus dona domine domini ecclesiae
eius eis ejus et ex gloria gloriam hanc hoc in lux laus maiorem majorem memoria memoriae memoriam
nomine obiit orate pace pax perpetua piae pro qui quae requiem requiescat requiescant sanctus
sancta sit vixit
"""
_OTHERS = """
à al alla am amour an au auf aux das de dei del della den der des dem di die do dos el em en
eglise église ehre ehren em erinnerung et fille fils für gedächtnis gedenken geschenk gestiftet
gott gottes herr herrn honneur in ihre ihrer il im la las le les liebe los mémoire memória memoria
mère mutter nel notre nuestra nuestro od offert ofrecido ofrenda our par para paris passé père por
pour ricordo seine seiner sohn son souvenir sua su sur tochter und und unser vater vom von zu zum
zur y
"""
DEDICATION: Final = (
    frozenset(_ENGLISH.split()) | frozenset(_LATIN.split()) | frozenset(_OTHERS.split())
)

# Small words that join the parts of one name.
JOINING: Final = frozenset(
    {"of", "the", "de", "da", "do", "dos", "das", "del", "della", "der", "den", "di", "du"}
    | {"la", "le", "les", "van", "von", "ten", "ter", "y", "e", "zu", "af", "av"}
)

MONTHS: Final = (
    *("january", "february", "march", "april", "may", "june", "july", "august", "september"),
    *("october", "november", "december"),
)
MONTHS_SHORT: Final = (
    *("jan", "feb", "mar", "apr", "jun", "jul", "aug", "sep", "sept", "oct", "nov", "dec"),
)
