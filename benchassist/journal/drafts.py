"""What is about to be written, and the rows it becomes; touches no file."""

from __future__ import annotations

import os
import uuid
from collections.abc import Sequence

from benchassist.clock import Instant
from benchassist.domain.events import Channel, Event, StoreCreated
from benchassist.journal.chain import Head, Row, link, text_digest
from benchassist.journal.codec import Codec
from benchassist.journal.errors import UnwritableEventError
from benchassist.value import value

_SALT_BYTES = 16


@value
class Draft:
    """An event that is about to be written: when, by whom, by what channel."""

    at: Instant
    operator: str
    channel: Channel
    event: Event


def rows_of(drafts: Sequence[Draft], head: Head, codec: Codec) -> list[Row]:
    """Return the rows of one command's drafts, linked on to ``head``.

    Raises
    ------
    UnwritableEventError
        If an event could not be read back, or may not stand here.
    """
    rows: list[Row] = []
    seq, previous = head.seq, head.hash
    for draft in drafts:
        if isinstance(draft.event, StoreCreated) != (seq == 0):
            message = "The first entry, and no other, says which store this is."
            raise UnwritableEventError(message)
        encoded = codec.encode(draft.event)
        salt, digest = None, None
        if encoded.text is not None:
            salt = os.urandom(_SALT_BYTES)
            digest = text_digest(salt, encoded.text)
        seq += 1
        row = Row(
            seq=seq,
            batch=head.seq + 1,
            id=str(uuid.uuid4()),
            wall_ms=draft.at.wall_ms,
            offset_min=draft.at.offset_min,
            mono_ms=draft.at.mono_ms,
            boot=draft.at.boot,
            operator=draft.operator,
            channel=draft.channel,
            kind=encoded.kind,
            version=encoded.version,
            payload=encoded.payload,
            text_digest=digest,
            hash=b"",
            body=encoded.text,
            salt=salt,
        )
        previous = link(previous, row)
        rows.append(row._replace(hash=previous))
    return rows
