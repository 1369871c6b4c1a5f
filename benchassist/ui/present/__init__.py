"""From state and time to what one look shows; plain values, no Qt, no decisions."""
