"""What whoever runs the service sets and sees: settings, counts, logs, processes."""
