"""Everything that is stored, as plain files, and back: between databases of both kinds.

An archive is a folder, or the same as a ZIP file:

    index.json                              what belongs to it: tables' version, workshops, each file's length and hash
    WORKSHOP/workshop.json                  a workshop
    WORKSHOP/TABLE/ROW.json                 a row of a table
    WORKSHOP/TABLE/ROW/row.json             a row with texts beside it, each in a file of its own:
    WORKSHOP/TABLE/ROW/document.json        a document exactly as it is stored

The same rows make the same bytes, whichever database they come from.
"""
