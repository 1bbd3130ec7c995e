"""Behind a real proxy that keeps its connections, nobody is shown another person's page."""

import getpass
import os
import shutil
import socket
import subprocess

import psutil
import pytest

from tests.faults.raw_http import Connection
from tests.faults.server import wait_for

pytestmark = pytest.mark.faults

TIMES = 60
# Debian keeps it where only the administrator's PATH looks.
NGINX = shutil.which("nginx", path=f"{os.environ['PATH']}:/usr/sbin")

CONFIGURATION = """
user {user};
worker_processes 1;
daemon off;
pid {folder}/pid;
error_log {folder}/error.log;
events {{ worker_connections 64; }}
http {{
  access_log off;
  client_body_temp_path {folder}/body;
  proxy_temp_path {folder}/proxy;
  fastcgi_temp_path {folder}/fastcgi;
  uwsgi_temp_path {folder}/uwsgi;
  scgi_temp_path {folder}/scgi;
  upstream saddlebar {{ server 127.0.0.1:{server_port}; keepalive 1; }}
  server {{
    listen 127.0.0.1:{port};
    location / {{
      proxy_pass http://saddlebar;
      proxy_http_version 1.1;
      proxy_set_header Connection "";
      proxy_set_header Host localhost;
    }}
  }}
}}
"""


@pytest.fixture
def nginx(served, tmp_path):
    """A proxy with one kept connection to the server: its process, and the port it listens at."""
    assert NGINX, "nginx is missing: run `.ci/system proxy`"
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    file = tmp_path / "nginx.conf"
    file.write_text(
        CONFIGURATION.format(
            user=getpass.getuser(), folder=tmp_path, server_port=served.server.port, port=port
        )
    )
    command = [NGINX, "-c", str(file), "-e", str(tmp_path / "error.log")]
    process = psutil.Popen(command, stderr=subprocess.DEVNULL)
    try:
        wait_for(lambda: listens(port), "nginx to listen")
        yield process, port
    finally:
        process.terminate()
        process.wait()


def listens(port: int) -> bool:
    with socket.socket() as trial:
        return trial.connect_ex(("127.0.0.1", port)) == 0


def kept_connections(process: psutil.Process, port: int) -> set[int]:
    """Our ends of the proxy's connections to the server."""
    (worker,) = process.children()
    return {
        connection.laddr.port
        for connection in worker.net_connections("tcp")
        if connection.raddr and connection.raddr.port == port
    }


def test_after_a_head_request_a_stranger_still_gets_the_page_they_asked_for(served, nginx):
    process, port = nginx
    quote = served.pages["restoration:quote"]
    shown, connections = [], set()
    with (
        Connection(port, served.session) as owner,
        Connection(port, served.their_session) as stranger,
    ):
        answer, page = owner.get(quote)
        assert answer.status == 200
        assert b"1,234.50" in page
        for _ in range(TIMES):
            assert owner.head(quote).status == 200
            connections |= kept_connections(process, served.server.port)
            try:
                answer, page = stranger.get(served.their_page)
                shown.append((answer.status, served.their_words.encode() in page))
            except (AssertionError, OSError):
                shown.append((0, False))
                break
    assert shown == [(200, True)] * TIMES
    # It was one and the same connection all the time: else nothing would have been shown.
    assert len(connections) == 1
