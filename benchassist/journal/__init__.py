"""What did happen, kept on disk for ever; knows no Qt and decides nothing."""
