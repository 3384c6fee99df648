"""Tests of the heat model, one module each."""
