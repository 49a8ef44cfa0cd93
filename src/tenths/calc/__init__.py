"""Pure engineering: floats in SI in, plain results out. Knows no engine record, file, unit text or web."""
