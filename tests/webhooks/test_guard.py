"""Where webhooks must not go: the networks around the service, by whatever way they are written."""

from __future__ import annotations

import ipaddress
import socket
from typing import Any

import pytest

from service.machines.webhooks.guard import ALLOW_VARIABLE, RefusedError, allowed_networks, resolve, target_of
from tests.each import each

PUBLIC = "93.184.215.14"
# IANA special-purpose address registries (RFC 6890 and its updates), from memory.
NOT_PUBLIC = [
    "192.88.99.1",
    "3fff::1",
    "0.0.0.0", "0.1.2.3", "10.0.0.1", "10.255.255.255", "100.64.0.1", "127.0.0.1", "127.1.2.3", "169.254.169.254",
    "169.254.0.1", "172.16.0.1", "172.31.255.255", "192.0.0.1", "192.0.2.1", "192.168.0.1", "192.168.255.255",
    "198.18.0.1", "198.51.100.7", "203.0.113.7", "224.0.0.1", "239.255.255.250", "240.0.0.1", "255.255.255.255",
    "::", "::1", "fe80::1", "fc00::1", "fd12:3456::1", "ff02::1", "2001:db8::1", "100::1",
    "::ffff:127.0.0.1", "::ffff:10.0.0.1", "::ffff:169.254.169.254", "::127.0.0.1", "::10.0.0.1",
    "64:ff9b::7f00:1", "64:ff9b::a00:1", "2002:7f00:1::", "2002:c0a8:1::1", "2001:0:4136:e378:8000:63bf:80ff:fffe",
    "fe80::1%eth0", "fec0::1",
]  # fmt: skip
LITERALS = [
    "https://127.0.0.1/", "https://localhost/", "https://LOCALHOST./", "https://[::1]/", "https://[::ffff:127.0.0.1]/",
    "https://2130706433/", "https://0x7f000001/", "https://0177.0.0.1/", "https://127.1/", "https://0/",
]  # fmt: skip
MALFORMED = [
    "https://example.org:0/x",
    "https://example.org/" + "x" * 181,
    "", "heap", "ftp://example.org/", "file:///etc/passwd", "gopher://example.org/", "https://", "https:///path",
    "https://example.org:99999/", "https://user:pw@example.org/", "https://user@example.org/", "//example.org/",
    "https://exa mple.org/", "https://example.org\\@127.0.0.1/", "https://example.org/\r\nX: y", "https://[::1/",
    "https://bücher.example/", "https://example.org/" + "a" * 500, "javascript:alert(1)",
]  # fmt: skip


def at(*addresses: str) -> Any:
    return lambda host, port: list(addresses)


@each(NOT_PUBLIC)
def test_a_name_that_leads_inside_is_refused(address: str) -> None:
    with pytest.raises(RefusedError, match="not a public address"):
        target_of("https://hook.example/", (), at(address))
    with pytest.raises(RefusedError, match="not a public address"):
        target_of("https://hook.example/", (), at(PUBLIC, address))


@each(LITERALS)
def test_loopback_is_refused_however_it_is_written(url: str) -> None:
    """Names and numbers go through the system's own resolver, which reads old ways of writing an address."""
    with pytest.raises(RefusedError):
        target_of(url, ())


@each(MALFORMED)
def test_what_is_no_web_address_is_refused(url: str) -> None:
    with pytest.raises(RefusedError):
        target_of(url, (), at(PUBLIC))


@each([PUBLIC, "8.8.8.8", "2606:4700::1111", "64:ff9b::808:808"])
def test_public_addresses_are_taken_by_https_only(address: str) -> None:
    target = target_of("https://hook.example:8443/a/b?c=d", (), at(address))
    assert target.addresses == (address,) and (target.host, target.port) == ("hook.example", 8443)
    assert target.path == "/a/b?c=d" and target.is_tls
    with pytest.raises(RefusedError, match="https is wanted"):
        target_of("http://hook.example/", (), at(address))


@pytest.mark.parametrize(
    ("allow", "address", "taken"),
    [
        ("192.168.1.0/24", "192.168.1.20", True),
        ("192.168.1.0/24", "192.168.2.20", False),
        ("192.168.1.7", "192.168.1.7", True),
        ("10.0.0.0/8, fd00::/8", "fd00::1", True),
        ("10.0.0.0/8", "::ffff:10.1.2.3", True),
        ("10.0.0.0/8", "169.254.169.254", False),
    ],
)
def test_the_owner_may_allow_local_networks(
    monkeypatch: pytest.MonkeyPatch, allow: str, address: str, taken: bool
) -> None:
    monkeypatch.setenv(ALLOW_VARIABLE, allow)
    if taken:
        assert not target_of("http://hub.lan/", allowed_networks(), at(address)).is_tls
    else:
        with pytest.raises(RefusedError):
            target_of("http://hub.lan/", allowed_networks(), at(address))


def test_a_wrong_setting_allows_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(ALLOW_VARIABLE, "192.168.1.0/33")
    with pytest.raises(RefusedError, match=ALLOW_VARIABLE):
        allowed_networks()


def test_a_name_that_cannot_be_found() -> None:
    def nowhere(host: str, port: int) -> list[str]:
        raise socket.gaierror(-2, "not known")

    with pytest.raises(RefusedError, match="cannot be found"):
        target_of("https://hook.example/", (), nowhere)
    assert ipaddress.ip_address(resolve("127.0.0.1", 80)[0]).is_loopback
