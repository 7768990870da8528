"""Trust: explanations of every figure; later, spread and calibration."""
