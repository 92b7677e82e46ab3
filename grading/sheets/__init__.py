"""Sheets: templates and layouts on paper at true scale, as PDF, SVG and DXF."""
