"""deploy/nginx.conf before a real house, with a certificate made for this test."""

import contextlib
import http.client
import shutil
import ssl
import subprocess
from pathlib import Path

import pytest

from tests.deploy.house import TOP, free_port, running, until

pytestmark = pytest.mark.service

# What stands around the file on a server: one process, everything in one folder.
AROUND = """
daemon off;
master_process off;
pid {folder}/pid;
error_log {folder}/error.log;
events {{ worker_connections 64; }}
http {{
    access_log off;
    client_body_temp_path {folder}/body;
    proxy_temp_path {folder}/proxy;
    fastcgi_temp_path {folder}/f; uwsgi_temp_path {folder}/u; scgi_temp_path {folder}/s;
    include {folder}/plumbrow.conf;
}}
"""


def certificate(folder: Path) -> tuple[Path, Path]:
    full, key = folder / "full.pem", folder / "key.pem"
    subprocess.run(
        [
            *("openssl", "req", "-x509", "-newkey", "rsa:2048", "-nodes", "-days", "1"),
            *("-subj", "/CN=localhost", "-addext", "subjectAltName=DNS:localhost"),
            *("-keyout", str(key), "-out", str(full)),
        ],
        check=True,
        capture_output=True,
    )
    return full, key


@contextlib.contextmanager
def proxy(folder: Path, upstream: int, https: int, plain: int):
    folder.mkdir()
    full, key = certificate(folder)
    text = (TOP / "deploy" / "nginx.conf").read_text()
    for word, value in {
        "SERVER_NAME": "localhost",
        "CERTIFICATE": str(full),
        "PRIVATE_KEY": str(key),
        "HTTPS_PORT": f"127.0.0.1:{https}",
        "HTTP_PORT": f"127.0.0.1:{plain}",
        "UPSTREAM": f"127.0.0.1:{upstream}",
        "LOG_FOLDER": str(folder),
    }.items():
        text = text.replace(word, value)
    (folder / "plumbrow.conf").write_text(text)
    (folder / "nginx.conf").write_text(AROUND.format(folder=folder))
    program = shutil.which("nginx", path="/usr/sbin:/usr/bin:/usr/local/sbin")
    assert program, "nginx is missing: install the package nginx-light"
    server = subprocess.Popen(
        [program, "-p", str(folder), "-c", str(folder / "nginx.conf")],
        stderr=subprocess.DEVNULL,
    )
    try:
        yield ssl.create_default_context(cafile=str(full))
    finally:
        server.terminate()
        server.wait(20)


def ask(port, path, *, trust=None, method="GET", body=None, headers=None):
    """(status, headers, body) of one request; by TLS when `trust` is given."""
    if trust:
        asked = http.client.HTTPSConnection("localhost", port, context=trust)
    else:
        asked = http.client.HTTPConnection("localhost", port)
    with contextlib.closing(asked):
        # It may be refused before it is all sent; the answer is there then.
        with contextlib.suppress(BrokenPipeError, ConnectionResetError):
            asked.request(method, path, body=body, headers=headers or {})
        answer = asked.getresponse()
        return answer.status, answer.headers, answer.read()


def test_the_tls_proxy_serves_redirects_limits_and_keeps_us_safe(prepared, tmp_path):
    https, plain = free_port(), free_port()
    public = f"https://localhost:{https}"
    with (
        running(prepared, "--empty", PUBLIC_URL=public) as house,
        proxy(tmp_path / "nginx", house.port, https, plain) as trust,
    ):
        until(lambda: (tmp_path / "nginx" / "pid").exists())

        status, headers, body = ask(https, "/healthz", trust=trust)
        assert (status, body) == (200, b"ok\n")
        assert headers["Strict-Transport-Security"] == "max-age=31536000"
        assert headers["X-Content-Type-Options"] == "nosniff"
        assert headers["X-Frame-Options"] == "DENY"
        _, headers, _ = ask(https, "/sign-in/", trust=trust)
        assert headers["Content-Security-Policy"].startswith("default-src 'none'; ")

        # Not sent to https again: the proxy has said that it is.
        status, headers, _ = ask(https, "/", trust=trust)
        assert (status, headers["Location"]) == (302, "/sign-in/?next=/")

        status, headers, _ = ask(plain, "/street?lot=3")
        assert (status, headers["Location"]) == (301, "https://localhost/street?lot=3")

        # Asked directly, the house itself sends people to TLS.
        status, headers, _ = ask(house.port, "/street")
        assert (status, headers["Location"][:17]) == (301, "https://localhost")

        # A drawing sheet passes, and the answer to it comes back, read or not ...
        token = "0123456789abcdef" * 2
        form = {"Origin": public, "X-CSRFToken": token, "Cookie": f"csrftoken={token}"}
        status, headers, _ = ask(
            https,
            "/imports/",
            trust=trust,
            method="POST",
            body=b"x" * (12 * 1024 * 1024),
            headers={**form, "Content-Type": "application/pdf"},
        )
        assert (status, headers["Location"]) == (302, "/sign-in/?next=/imports/")
        # ... and what is too big never reaches us.
        huge = b"x" * (41 * 1024 * 1024)
        status, _, _ = ask(https, "/imports/", trust=trust, method="POST", body=huge)
        assert status == 413


def test_no_log_of_the_proxy_keeps_a_key(tmp_path):
    """Nobody answers behind it, so that the error log has something to say."""
    https, plain, nobody = free_port(), free_port(), free_port()
    with proxy(tmp_path / "nginx", nobody, https, plain) as trust:
        until(lambda: (tmp_path / "nginx" / "pid").exists())
        for path in ("/b/SECRETSECRET/lots/3/?lang=es", "/calendars/SECRETSECRET.ics"):
            assert ask(https, path, trust=trust)[0] == 502
            assert ask(plain, path)[0] == 301
        ask(https, "/streets/?q=3", trust=trust)

    logs = list((tmp_path / "nginx").glob("*.log"))
    text = "\n".join(log.read_text() for log in logs)
    assert len(logs) >= 2
    assert '"GET /b/-/lots/3/?lang=es" 502' in text
    assert '"GET /calendars/-" 301' in text
    assert '"GET /streets/?q=3" 502' in text
    assert "SECRET" not in text


def test_a_client_cannot_make_up_its_own_address(tmp_path):
    """What arrives behind the proxy is the address that the proxy saw, alone."""
    import socketserver
    from http.server import BaseHTTPRequestHandler
    from threading import Thread

    class Echo(BaseHTTPRequestHandler):
        def do_GET(self):
            self.send_response(200)
            self.end_headers()
            told = self.headers["X-Forwarded-For"], self.headers["X-Forwarded-Proto"]
            self.wfile.write(repr(told).encode())

        def log_message(self, *_):
            pass

    https, plain = free_port(), free_port()
    with socketserver.TCPServer(("127.0.0.1", 0), Echo) as server:
        Thread(target=server.serve_forever, daemon=True).start()
        port = server.server_address[1]
        with proxy(tmp_path / "nginx", port, https, plain) as trust:
            until(lambda: (tmp_path / "nginx" / "pid").exists())
            _, _, body = ask(
                https,
                "/",
                trust=trust,
                headers={"X-Forwarded-For": "10.9.9.9", "X-Forwarded-Proto": "http"},
            )
        server.shutdown()

    assert body == b"('127.0.0.1', 'https')"
