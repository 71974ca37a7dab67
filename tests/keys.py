"""Keys to seal with, made on the spot."""

from __future__ import annotations

import datetime
from pathlib import Path

FIRM = "Oddny Tarn Poured Floors"
DAY = datetime.timedelta(days=1)


def made_key(path: Path, *, name=FIRM, begins=-DAY, ends=365 * DAY, passphrase=b"kelp",
             signs=True):  # fmt: skip
    """A key with a certificate that it signed itself, as a PKCS #12 file."""
    from cryptography import x509
    from cryptography.hazmat.primitives import hashes, serialization
    from cryptography.hazmat.primitives.asymmetric import ec
    from cryptography.hazmat.primitives.serialization import pkcs12
    from cryptography.x509.oid import NameOID

    key = ec.generate_private_key(ec.SECP256R1())
    owner = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, name)])
    now = datetime.datetime.now(datetime.UTC)
    uses = ("digital_signature", "content_commitment", "key_encipherment",
            "data_encipherment", "key_agreement", "key_cert_sign", "crl_sign",
            "encipher_only", "decipher_only")  # fmt: skip
    allowed = {*uses[:2], "key_cert_sign"} if signs else {"key_cert_sign"}
    certificate = (
        x509.CertificateBuilder()
        .subject_name(owner)
        .issuer_name(owner)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now + begins)
        .not_valid_after(now + ends)
        .add_extension(x509.BasicConstraints(ca=True, path_length=None), critical=True)
        .add_extension(x509.KeyUsage(**{u: u in allowed for u in uses}), critical=True)
        .sign(key, hashes.SHA256())
    )
    how = serialization.BestAvailableEncryption(passphrase)
    content = pkcs12.serialize_key_and_certificates(b"seal", key, certificate, None, how)
    path.write_bytes(content)
    return path
