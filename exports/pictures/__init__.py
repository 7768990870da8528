"""Pictures in SVG for print and screen, each from the estimate document only; black and white loses nothing."""
