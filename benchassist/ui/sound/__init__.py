"""Sound and voice: made here, played and spoken by whatever the machine has."""
