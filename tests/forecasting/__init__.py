"""Forecasts judged on simulated heaps: a finer model than the service's own, made-up growers' logs, and scores."""
