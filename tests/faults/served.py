"""A real server with a record of every kind, and the address of every page."""

from dataclasses import dataclass

from tests.faults.server import Server

SET_UP = """
from django.conf import settings
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.contrib.staticfiles.storage import staticfiles_storage
from django.test import Client
from django.urls import NoReverseMatch, reverse
from condition.photo_urls import signed_url
from tests.factories import BuildingFactory, MembershipFactory
from tests.world import records_at
from tests.addresses import SIGNED, TABLE, address, names, view_of

def session(user):
    client = Client()
    client.force_login(user)
    return client.cookies[settings.SESSION_COOKIE_NAME].value

def open_address(name):
    for arguments in ([], ['x'], ['1', 'x']):
        try:
            return reverse(name, args=arguments)
        except NoReverseMatch:
            continue
    raise LookupError(name)

church, chapel = BuildingFactory(), BuildingFactory(name='The chapel of somebody else')
owner = MembershipFactory(building=None, studio=church.studio).user
records = records_at(church, owner)
pages = {view_of(name): address(name, records) for name in TABLE}
photograph = records['photograph']
picture = signed_url(photograph.pk, 400, church.studio_id)
default_storage.save(f'{church.studio_id}/photographs/{photograph.pk}/400.jpg', ContentFile(b'x'))
pages |= {name: picture for name in SIGNED}
pages |= {name: open_address(name) for name in names() if name not in pages}
answer = {
    'pages': pages,
    'session': session(owner),
    'their_session': session(MembershipFactory(building=chapel).user),
    'their_page': reverse('sites:building', args=[chapel.pk]),
    'their_words': chapel.name,
    'static_file': staticfiles_storage.url('css/app.css'),
}
"""


@dataclass(frozen=True)
class Served:
    """The server, a session of an owner who may see every page, and one of a stranger."""

    server: Server
    pages: dict[str, str]
    session: str
    their_session: str
    their_page: str
    their_words: str
    static_file: str


def set_up(server: Server) -> Served:
    return Served(server, **server.run(SET_UP))
