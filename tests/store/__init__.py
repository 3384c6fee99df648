"""Tests of the log book."""
