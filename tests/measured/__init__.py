"""The service held against heaps that others measured: open data with its licences, a reader, and a report.

`python -m tests.measured` prints every heap: what was told, what was forecast from each origin, and how that came out.
"""
