"""What an event makes of the state, a module for each corner of the bench."""
