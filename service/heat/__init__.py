"""What the heat of a heap says beyond its account: what lies just ahead, and which members fit its log."""
