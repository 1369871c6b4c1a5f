"""From a command to events or a refusal, one module per area of the bench."""
