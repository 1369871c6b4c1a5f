"""What turns a bench into a question to the physics; without Qt, without a journal.

A sum that a gate judges by lies in ``domain`` and ``physics``; here are those that
pages, calculators and records ask for besides.
"""
