"""The heat model: small modules by physical subject, pure functions of arrays, SI units.

Arrays end in the pile axis: members of an ensemble, what-ifs and heaps are all columns, and one heap is one column.

- `members.members(estimate)` gives piles, state and weights of an ensemble, `members.weather_now` its weather;
- `kernel.simulate(piles, state, weather, days)` runs them, `piles.tile` and `piles.joined` set what-ifs side by side;
- `flows.flows(piles, state, weather)` and `balance.balance_now(estimate)` give the flows of the moment;
- `ledger.energy(...)` gives total, usable, season and burst, and `ledger.judge_claim(...)` judges a rating.
"""
