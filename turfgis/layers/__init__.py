"""Any file of drawn shapes becomes a clean table of areas, named by surface and mended, with findings on the way."""
