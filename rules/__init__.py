"""What the trade knows about heaps that warm: facts, findings, rules, actions and materials. No web, no store."""
