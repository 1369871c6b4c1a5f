"""What people ask of the journal; knows no Qt and writes no event."""
