"""Signatures of webhooks: Standard Webhooks 1.0.0, symmetric scheme `v1` (HMAC-SHA256 over id.timestamp.body)."""

from __future__ import annotations

import base64
import hashlib
import hmac
import secrets
from datetime import datetime
from typing import Final

PREFIX: Final = "whsec_"
_SECRET_BYTES: Final = 32
"""The specification asks for 24 to 64 bytes."""


def new_secret() -> str:
    """A secret as it is shown to the user."""
    return PREFIX + base64.b64encode(secrets.token_bytes(_SECRET_BYTES)).decode()


def signature(secret: str, message_id: str, timestamp: int, body: bytes) -> str:
    """The value of `webhook-signature`."""
    key = base64.b64decode(secret.removeprefix(PREFIX))
    signed = f"{message_id}.{timestamp}.".encode() + body
    return "v1," + base64.b64encode(hmac.new(key, signed, hashlib.sha256).digest()).decode()


def headers_for(secret: str, message_id: str, at: datetime, body: bytes) -> dict[str, str]:
    """The headers of one attempt; the id stays the same over all attempts, the timestamp is that of this one."""
    timestamp = int(at.timestamp())
    return {
        "content-type": "application/json",
        "user-agent": "warmheap",
        "webhook-id": message_id,
        "webhook-timestamp": str(timestamp),
        "webhook-signature": signature(secret, message_id, timestamp, body),
    }
