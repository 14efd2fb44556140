"""Survey and shop book in, sizes and conflicts out: pure functions in millimetres, newtons and degrees."""
