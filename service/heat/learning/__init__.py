"""What a heap's own log teaches: members that fit its readings, what they leave open, and what holds the heap back.

- `learned.learned(estimate)` gives the members that fit, and carries them on past today;
- `limits.limit_shares(...)` tells which want holds back what share of them.
"""
