"""Ten people log findings at once while the worker prints: no lock error, no finding lost."""

import threading

import pytest

from tests.faults.person import Person
from tests.faults.server import Server
from tests.properties import LONG

pytestmark = pytest.mark.faults

PEOPLE, EACH = 10, 12 if LONG else 6
PASSWORD = "a long password for tests"

SET_UP = f"""
from datetime import date
from condition.models import Survey
from restoration.services.studios import open_studio
from sites.models import Building, Membership, Opening, User
studio = open_studio('Ten hands')
building = Building.objects.create(studio=studio, name='Church', place='Testham')
openings = [Opening.objects.create(building=building, number=f'n{{n}}') for n in range({PEOPLE})]
survey = Survey.objects.create(building=building, day=date(2026, 5, 12), surveyors='Ten people')
for n in range({PEOPLE}):
    user = User.objects.create_user(f'p{{n}}@studio.example', {PASSWORD!r}, name=f'P {{n}}')
    Membership.objects.create(studio=studio, user=user, role='surveyor')
answer = {{
    'survey': str(survey.pk),
    'openings': [str(opening.pk) for opening in openings],
    'kind': str(studio.finding_kinds.get(code='failed-solder-joint').pk),
}}
"""
COUNT = """
from condition.models import Finding
numbers = list(Finding.objects.values_list('number', flat=True))
answer = [len(numbers), len(set(numbers))]
"""


# A server, ten who sign in and sixty pages posted: nothing smaller is ten people at once.
@pytest.mark.budget(40)
def test_ten_people_writing_at_once_meet_no_lock(tmp_path, database_url, capsys):
    server = Server(tmp_path, database_url)
    try:
        church = server.run(SET_UP)
        server.start()
        answers = write_all_at_once(server, church)
        kept = server.run(COUNT)
        log = server.log.read_text()
    finally:
        server.kill()
    locked = log.count("database is locked")
    with capsys.disabled():
        print(f"\n  {PEOPLE} people, {len(answers)} findings, {locked} lock errors", end="")
    assert answers == [302] * (PEOPLE * EACH)
    assert kept == [PEOPLE * EACH, PEOPLE * EACH]
    assert locked == 0
    assert "Traceback" not in log


def write_all_at_once(server: Server, church: dict) -> list[int]:
    people = [Person(server, f"p{n}@studio.example", PASSWORD) for n in range(PEOPLE)]
    answers: list[int] = []
    together = threading.Barrier(PEOPLE)

    def work(number: int) -> None:
        together.wait()
        for _ in range(EACH):
            status, _address = people[number].post(
                f"/surveys/{church['survey']}/findings/add/",
                follow=False,
                opening=church["openings"][number],
                kind=church["kind"],
                side="inside",
                extent="isolated",
                note=f"by {number}",
            )
            answers.append(status)

    threads = [threading.Thread(target=work, args=(number,)) for number in range(PEOPLE)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return answers
