"""What did happen, kept on disk for ever; knows no Qt and decides nothing.

``writing.Journal`` is the one writer of a folder, ``reading.ReadOnlyJournal`` any
reader of it.
"""
