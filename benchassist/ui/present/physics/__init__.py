"""What the pages about light, coats and glycerine show: plain values, no Qt."""
