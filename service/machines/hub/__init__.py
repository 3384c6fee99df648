"""What machines poll or are told of a pile: numbers of now, calendar dates, and the bridge to a home-automation hub."""
