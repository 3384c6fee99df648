"""Advice for many heaps at once: lines of JSON in, lines of JSON out, by worker processes or on a cluster."""
