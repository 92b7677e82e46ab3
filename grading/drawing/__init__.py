"""What is drawn, without a format: lines and words in mm, fonts and papers; and how PDF and SVG draw them."""
