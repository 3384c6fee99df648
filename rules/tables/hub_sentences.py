"""What machines are sent for a person to read: dates of the calendar, names in the hub, what became of a message."""

from __future__ import annotations

from typing import Final

HUB: Final[dict[str, str]] = {
    "hub.look": "Look at {name} again",
    "hub.watch-for": "Watch for: {watch_for}",
    "hub.next-heap": "Start the next heap after {name}",
    "hub.next-heap-why": "Begun on this day, a new heap is warm when this one is too cool to draw.",
    "hub.entity.action": "Advice",
    "hub.entity.urgency": "Urgency",
    "hub.entity.phase": "Phase",
    "hub.entity.fire_risk": "Fire risk",
    "hub.entity.pause_draw": "Pause the draw",
    "hub.entity.core_c": "Core",
    "hub.entity.thermal_made_w": "Thermal power made",
    "hub.entity.thermal_season_draw_w": "Thermal season draw",
    "hub.entity.thermal_usable_left_kwh": "Thermal heat left",
    "hub.entity.start_at_c": "Draw from",
    "hub.entity.stop_at_c": "Draw down to",
    "hub.entity.air_minutes_per_hour": "Fan minutes an hour",
    "hub.entity.water_minutes_per_hour": "Pump minutes an hour",
    "hub.entity.draw_by_night_only": "Night only",
    "hub.no-value": "no value; nothing is logged",
    "hub.same-again": "{name} was logged in the last {minutes} minutes; nothing is logged",
    "hub.logged": "logged",
    "webhook.too-slow": "no answer within {seconds} s",
    "webhook.refused": "refused: {why}",
    "webhook.answered": "the receiver answered {status}",
    "webhook.gone": "the receiver answered 410 Gone",
    "webhook.tls": "TLS failed: {why}",
    "webhook.no-connection": "no connection: {why}",
    "webhook.broken-off": "broken off",
    "webhook.no-sense": "no sensible answer ({what})",
    "webhook.secret-damaged": "the secret is damaged in the log book",
    "webhook.not-taken": "not taken",
}
