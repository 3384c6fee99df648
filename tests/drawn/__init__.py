"""What heaps can be drawn for, held against truths of three kinds and against heaps that are published or told.

`python -m tests.drawn --seeds N` prints both tables. A seed that was judged is spent.
"""
