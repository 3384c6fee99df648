"""How to draw a heap so that the house has most of its heat: candidate plans run on the heap's own members.

- `ahead.ahead_of(...)` is the time ahead: steps, weather and what the house wants in each;
- `candidates.candidates_of(...)` are the ways to draw that are worth a try;
- `trial.tried(...)` runs the members under each of them, side by side;
- `choice.plan_for(...)` takes the one that brings most at the accepted risk;
- `shown.plan_shown(...)` puts it in the reader's words and units.
"""
