"""Every answer held to itself: random plausible statuses and named laws that no answer to them may break."""
