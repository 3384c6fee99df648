"""Facts to fired rules: the engine, its plain check, and why a rule fired or not."""
