"""All that is known of one heap, joined: facts, estimates, heat account and draw plan."""
