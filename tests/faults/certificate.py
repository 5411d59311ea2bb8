"""An invented authority and a server's certificate by it, for a server of the tests."""

from __future__ import annotations

import datetime as dt
import ipaddress

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import NameOID


def authority_and_server() -> tuple[bytes, bytes, bytes]:
    """The authority's certificate, the server's key and the server's certificate, as PEM."""
    authority_key, server_key = (
        ec.generate_private_key(ec.SECP256R1()),
        ec.generate_private_key(ec.SECP256R1()),
    )
    authority, server = _name("Invented authority"), _name("127.0.0.1")
    top = _builder(authority, authority, authority_key.public_key()).add_extension(
        x509.BasicConstraints(ca=True, path_length=0), critical=True
    )
    address = x509.SubjectAlternativeName([x509.IPAddress(ipaddress.ip_address("127.0.0.1"))])
    leaf = _builder(server, authority, server_key.public_key()).add_extension(address, critical=False)
    key = server_key.private_bytes(
        serialization.Encoding.PEM,
        serialization.PrivateFormat.TraditionalOpenSSL,
        serialization.NoEncryption(),
    )
    return _pem(top, authority_key), key, _pem(leaf, authority_key)


def _name(text: str) -> x509.Name:
    return x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, text)])


def _builder(
    subject: x509.Name, issuer: x509.Name, key: ec.EllipticCurvePublicKey
) -> x509.CertificateBuilder:
    now = dt.datetime.now(dt.UTC)
    return x509.CertificateBuilder(
        issuer_name=issuer,
        subject_name=subject,
        public_key=key,
        serial_number=x509.random_serial_number(),
        not_valid_before=now - dt.timedelta(days=1),
        not_valid_after=now + dt.timedelta(days=2),
    )


def _pem(builder: x509.CertificateBuilder, key: ec.EllipticCurvePrivateKey) -> bytes:
    return builder.sign(key, hashes.SHA256()).public_bytes(serialization.Encoding.PEM)
