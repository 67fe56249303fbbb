"""The file: an append-only log with a hash chain, records with undo, search, verified backups. SQLite stays in here."""

import arsenal.ledger.light_import  # noqa: F401  # isort: skip  # before anything that imports sqlite-utils

from arsenal.ledger.act import Act, Changed
from arsenal.ledger.backup import NO_BACKUPS, Backup, BackupPolicy, before_load, list_backups, newest_good
from arsenal.ledger.codec import CodecError, decode_payload, encode_payload, from_plain, text_of, to_plain
from arsenal.ledger.errors import (
    AlreadyOpen,
    Busy,
    CannotKeep,
    CannotUndo,
    Damaged,
    Moved,
    Newer,
    NoRoom,
    NotOurs,
    OnNetwork,
    ReadOnly,
    Refused,
    StillNeeded,
)
from arsenal.ledger.handing import HandedOver, Handing, Looked, Relation, Role, TakenOver
from arsenal.ledger.ledger import Ledger
from arsenal.ledger.records import Record
from arsenal.ledger.results import NowBall, NowDue, Result
from arsenal.ledger.search import Found
from arsenal.ledger.undo import ActRow
from arsenal.ledger.verify import Verification, verify_file
from arsenal.ledger.whole import Again, Row

__all__ = [
    "NO_BACKUPS",
    "Act",
    "ActRow",
    "Again",
    "AlreadyOpen",
    "Backup",
    "BackupPolicy",
    "Busy",
    "CannotKeep",
    "CannotUndo",
    "Changed",
    "CodecError",
    "Damaged",
    "Found",
    "HandedOver",
    "Handing",
    "Ledger",
    "Looked",
    "Moved",
    "Newer",
    "NoRoom",
    "NotOurs",
    "NowBall",
    "NowDue",
    "OnNetwork",
    "ReadOnly",
    "Record",
    "Refused",
    "Relation",
    "Result",
    "Role",
    "Row",
    "StillNeeded",
    "TakenOver",
    "Verification",
    "before_load",
    "decode_payload",
    "encode_payload",
    "from_plain",
    "list_backups",
    "newest_good",
    "text_of",
    "to_plain",
    "verify_file",
]  # fmt: skip
