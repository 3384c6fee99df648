"""A season of a simulated heap, logged and looked back on: what it gave is what was drawn, as far as it was told."""

from __future__ import annotations

import numpy as np
import pytest
from starlette.testclient import TestClient

from service.logbook.shapes.season_page import SeasonPage
from tests.shapes import shaped
from tests.winters.grower import Seen, growers_of, status
from tests.winters.heaps import build
from tests.winters.truths.kin import Kin
from tests.winters.weather import hour_of, winter_of

SEED, HEAP = 1301, 3
DRAWN_FROM, EVERY, DAYS, DUTY = 14, 3, 50, 0.1
KEPT = ("temperatures", "moisture_feel", "moisture_feel_at", "smell", "draw", "weather")


@pytest.mark.slow
def test_what_a_season_gave_is_what_was_drawn(client: TestClient) -> None:
    heaps = build(SEED, 1, first=HEAP)
    winter, truth, grower = winter_of(heaps, DAYS), Kin(heaps), growers_of(heaps)[0]
    pile, drawn_j, minutes = "", 0.0, 0.0
    for day in range(DAYS):
        if day % EVERY == 0 and day:
            body = status(grower, day, Seen.of(truth, np.array([minutes])), winter)
            if not pile:
                about = {key: body[key] for key in ("pile", "equipment")}
                about["pile"] = {k: v for k, v in about["pile"].items() if k != "age"} | {
                    "built_on": grower.at(0).date().isoformat()
                }
                made = {"name": "lived", "units": "metric", "zone": "UTC", "about": about}
                pile = client.post("/piles", json=made).json()["id"]
                entry_about = about
            else:
                entry_about = {}
            entry = {"at": body["as_of"], **{key: body[key] for key in KEPT if key in body}, **entry_about}
            reply = client.post(f"/piles/{pile}/readings", json={"readings": [entry]})
            assert reply.status_code < 300, reply.text
            moment = grower.at(day).strftime("%Y-%m-%dT%H:%M:%SZ")
            reply = client.get(f"/piles/{pile}/advice?as_of={moment}")
            assert reply.status_code == 200, reply.text
        minutes = 60.0 * DUTY if day >= DRAWN_FROM else 0.0
        for hour in range(24):
            duty = np.array([minutes / 60.0])
            drawn_j += float(truth.hour(hour_of(winter, heaps, day, (7 + hour) % 24), duty)[0])
    end = grower.at(DAYS).strftime("%Y-%m-%dT%H:%M:%SZ")
    page = shaped(SeasonPage, client.get(f"/piles/{pile}/season?to={end}").json())
    assert page["gave"]["heat"] is not None
    gave_j = page["gave"]["heat"]["value"] * {"MJ": 1e6, "GJ": 1e9, "kWh": 3.6e6}[page["gave"]["heat"]["unit"]]
    assert gave_j == pytest.approx(drawn_j, rel=0.25)
    assert page["gave"]["heat"]["low"] <= page["gave"]["heat"]["value"] <= page["gave"]["heat"]["high"]
    assert page["gave"]["days_known"] > 40
    seven = next(each for each in page["forecasts"] if each["days_ahead"] == 7)
    assert seven["checked"] == 0 or (seven["mean_error_k"] is not None and seven["mean_error_k"] < 15.0)
    assert page["next_heap"]
