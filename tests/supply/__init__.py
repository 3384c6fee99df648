"""What the application is made of: the versions it is locked to, their licences, and one wheel from one source."""
