"""Mutated files from a fixed seed: each is imported with a full account or refused with a reason.

`python -m tests.fuzz` tries 2,000 of them; one of the ordinary tests tries 100.
"""
