"""Put right what a hand told wrong, and everything that follows from it.

A correction is worked out from the entries of the parts it concerns: what was told,
what hands said of it since, and where the program took each field from. Nothing is
deleted and nothing signed is changed. Pure; who calls brings the entries.
"""
