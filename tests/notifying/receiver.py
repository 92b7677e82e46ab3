"""A shop's end of notifications: a server on loopback that answers as it is told and keeps what it was sent."""

from __future__ import annotations

import ssl
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import NameOID

PATIENCE = 20.0


@dataclass(frozen=True)
class Had:
    """One request as it came in."""

    path: str
    headers: dict[str, str]
    body: bytes


@dataclass
class Receiver:
    """What came in, and how it is answered: `answers` one after the other, the last one for ever."""

    port: int = 0
    answers: list[tuple[int, dict[str, str], bytes]] = field(default_factory=lambda: [(204, {}, b"")])
    had: list[Had] = field(default_factory=list)
    hold: float = 0.0
    names: list[str | None] = field(default_factory=list)
    """The names that were asked for in TLS."""

    def answer(self, *statuses: int, **headers: str) -> None:
        """Answers with these statuses from now on."""
        sent = {name.replace("_", "-"): value for name, value in headers.items()}
        self.answers = [(status, sent, b"") for status in statuses]

    def wait_for(self, count: int) -> list[Had]:
        """What came in, once that is as many."""
        until = time.monotonic() + PATIENCE
        while len(self.had) < count and time.monotonic() < until:
            time.sleep(0.02)
        assert len(self.had) >= count, f"{len(self.had)} of {count} came in"
        return self.had


@contextmanager
def receiving(trust: ssl.SSLContext | None = None) -> Iterator[Receiver]:
    """A receiver that listens, over TLS with such a context."""
    receiver = Receiver()

    class Handler(BaseHTTPRequestHandler):
        def do_POST(self) -> None:
            body = self.rfile.read(int(self.headers["Content-Length"]))
            receiver.had.append(Had(self.path, {name.lower(): text for name, text in self.headers.items()}, body))
            time.sleep(receiver.hold)
            status, headers, content = receiver.answers.pop(0) if len(receiver.answers) > 1 else receiver.answers[0]
            self.send_response(status)
            for name, text in {"Content-Length": str(len(content)), **headers}.items():
                self.send_header(name, text)
            self.end_headers()
            self.wfile.write(content)

        do_GET = do_POST  # noqa: N815

        def log_message(self, format: str, *args: object) -> None:  # noqa: A002
            pass

        def handle(self) -> None:
            # Whoever asks may hang up when it has read enough.
            with suppress(OSError):
                super().handle()

    class Server(ThreadingHTTPServer):
        def handle_error(self, request: object, client_address: object) -> None:
            pass

    with Server(("127.0.0.1", 0), Handler) as server:
        if trust is not None:
            trust.sni_callback = lambda _, name, __: receiver.names.append(name)
            server.socket = trust.wrap_socket(server.socket, server_side=True)
        receiver.port = server.server_port
        thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.02})
        thread.start()
        try:
            yield receiver
        finally:
            server.shutdown()
            thread.join()


def certified(folder: Path, name: str) -> tuple[ssl.SSLContext, ssl.SSLContext]:
    """The context of a server with a certificate for this name, and that of a client that trusts its issuer."""
    key = ec.generate_private_key(ec.SECP256R1())
    own = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "An issuer of the tests")])
    now = datetime.now(UTC)
    certificate = (
        x509.CertificateBuilder()
        .subject_name(own)
        .issuer_name(own)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - timedelta(days=1))
        .not_valid_after(now + timedelta(days=1))
        .add_extension(x509.SubjectAlternativeName([x509.DNSName(name)]), critical=False)
        .add_extension(x509.BasicConstraints(ca=True, path_length=None), critical=True)
        .sign(key, hashes.SHA256())
    )
    secret = key.private_bytes(
        serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    )
    public = certificate.public_bytes(serialization.Encoding.PEM)
    (folder / "chain.pem").write_bytes(secret + public)
    server = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    server.load_cert_chain(folder / "chain.pem")
    return server, ssl.create_default_context(cadata=public.decode())
