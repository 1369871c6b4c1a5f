"""Light, cure and heat as functions of numbers; knows no file, clock, Qt or state."""
