"""What the operator sees, hears and steps on; decides nothing."""
