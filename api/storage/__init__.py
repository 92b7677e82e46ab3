"""Where patterns, revisions and grades are kept: tables, migrations, and the stores that read and write them."""
