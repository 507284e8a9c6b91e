"""The store: one SQLite file that holds the bin, and every action on it as one transaction."""

from __future__ import annotations

import os
import sqlite3
import sys
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from pathlib import Path
from types import TracebackType

from matcher.errors import BadInput
from matcher.reasons.reason import Action, Field, Words, counted, reason
from matcher.reasons.style import PLAIN
from matcher.store.changes import changing
from matcher.store.database.act import Act
from matcher.store.database.faults import (
    APPLICATION_ID,
    changed_elsewhere,
    damaged,
    header_of,
    is_marked_read_only,
    read_only,
    refuse,
    system_words,
    told,
)
from matcher.store.database.journal import BadImage, done_actions, record, take_back
from matcher.store.database.rows import KEYS, LARGEST, Rows
from matcher.store.database.schema import Migration, migrate, migrations, strange_objects, version_of
from matcher.store.places import expanded, own_folder
from matcher.store.under_way import begin_file, sweep

# A reader, too, needs a small file beside the store, which a full disk does not hold.
_NO_ROOM = (
    sqlite3.SQLITE_IOERR_SHMOPEN,
    sqlite3.SQLITE_IOERR_SHMSIZE,
    sqlite3.SQLITE_IOERR_SHMMAP,
    sqlite3.SQLITE_FULL,
)
_OF_DAMAGE = (TypeError, ValueError, AttributeError, LookupError, ArithmeticError, AssertionError, RecursionError)
BUSY_S = 20.0  # how long to wait while another program writes; an action takes milliseconds


def store_path(given: Path | None = None) -> Path:
    """Where the store lies: the file given, else the one that MATCHER_BIN names, else in the user's data folder."""
    if given is not None:
        return expanded(given)
    if os.environ.get("MATCHER_BIN"):
        return expanded(os.environ["MATCHER_BIN"])
    return own_folder() / "bin.sqlite"


def is_store(path: Path) -> bool:
    """Whether a file is a store, by its header and application id."""
    head = header_of(path)
    return head is not None and head[0] == APPLICATION_ID


def open_store(
    path: Path, *, create: bool = False, busy_s: float = BUSY_S, steps: tuple[Migration, ...] | None = None
) -> Store:
    """Open a store; close it again, or use it in a `with`.

    create: begin one where there is no file. A store of an earlier schema version is copied, then migrated.
    Raises NotFound when there is none; BadInput for a file of another program, a newer schema version, damage, tables
    that are not as this program makes them, a file in use: each with its own sentence.
    """
    path, steps = Path(path), migrations() if steps is None else steps
    if create and not path.exists():
        _begin(path, steps)
    refuse(path, steps[-1].version)
    with told(path):
        try:
            db = _connect(path, busy_s)
        except sqlite3.OperationalError as error:
            if error.sqlite_errorcode not in _NO_ROOM:
                raise
            db = _connect(path, busy_s, alone=True)
        try:
            version = version_of(db)
            strange = strange_objects(db, [step for step in steps if step.version <= version])
            if strange:
                raise changed_elsewhere(path, strange)
            if version < steps[-1].version:
                _bring_up_to_date(db, path, steps)
            return Store(path, db)
        except BaseException:
            db.close()
            raise


def _connect(path: Path, busy_s: float, alone: bool = False) -> sqlite3.Connection:
    """alone: what readers share is kept in memory, for a disk that is full; nobody else can use the store meanwhile."""
    mode = ""
    if is_marked_read_only(path):
        # Without a journal beside it the file is all there is, and can be read from a disk that nothing is written to.
        journal = path.with_name(f"{path.name}-wal")
        mode = "?mode=ro" if journal.exists() and journal.stat().st_size else "?immutable=1"
    db = sqlite3.connect(
        path.absolute().as_uri() + mode, uri=True, timeout=busy_s, isolation_level=None, cached_statements=512
    )
    try:
        _trust_nothing(db)
        db.row_factory = sqlite3.Row
        if alone:
            db.execute("PRAGMA locking_mode = EXCLUSIVE")
        db.execute("PRAGMA foreign_keys = ON")
        # Full: what an action has said is done stays done, also when the power fails.
        db.execute("PRAGMA synchronous = FULL")
        version_of(db)  # the first look into the file itself
    except BaseException:
        db.close()
        raise
    return db


def _trust_nothing(db: sqlite3.Connection) -> None:
    """What stands in the file is data, whoever wrote it: nothing of it runs."""
    db.execute("PRAGMA trusted_schema = OFF")
    db.execute("PRAGMA cell_size_check = ON")
    db.setlimit(sqlite3.SQLITE_LIMIT_TRIGGER_DEPTH, 0)
    if sys.version_info >= (3, 12):
        db.setconfig(sqlite3.SQLITE_DBCONFIG_DEFENSIVE, True)
        db.setconfig(sqlite3.SQLITE_DBCONFIG_ENABLE_TRIGGER, False)
        db.setconfig(sqlite3.SQLITE_DBCONFIG_ENABLE_VIEW, False)


def _begin(path: Path, steps: tuple[Migration, ...]) -> None:
    """Make a new file under another name first, so that there is never half a store."""
    try:
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        if not os.access(path.parent, os.W_OK):
            raise PermissionError(13, "no permission to write")
        under_way = f".{path.name}-under-way-"
        sweep(path.parent, under_way)
        unfinished = begin_file(path.parent, under_way)
    except OSError as error:
        todo = reason("{why}: name another file ({field})", why=system_words(error), field=Field("store"))
        raise BadInput(reason("a store can't be begun there"), str(path), todo) from None
    with told(path):
        try:
            with closing(sqlite3.connect(unfinished, isolation_level=None)) as db:
                migrate(db, steps)
                db.execute("PRAGMA journal_mode = WAL")
            with suppress(FileExistsError):  # another program was quicker: its file is the store
                os.link(unfinished, path)
        except OSError:
            if not path.exists():  # a disk without links
                os.replace(unfinished, path)
        finally:
            for end in ("", "-journal", "-wal", "-shm"):
                Path(f"{unfinished}{end}").unlink(missing_ok=True)


def _bring_up_to_date(db: sqlite3.Connection, path: Path, steps: tuple[Migration, ...]) -> None:
    from matcher.store.database.backups import back_up

    if is_marked_read_only(path):
        raise read_only(path)
    back_up(db, path, f"schema {steps[-1].version}")
    migrate(db, steps)


class Store(Rows):
    """An open store. Reading is free; changing goes through `action`."""

    def __enter__(self) -> Store:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        """Close the file. What went wrong over damage is told as damage: no reader asks of each cell what it may be."""
        try:
            if isinstance(error, _OF_DAMAGE):
                from matcher.store.database.verify import faults_of

                for fault in faults_of(self)[:1]:
                    how = reason("{where}: {what}", where=fault.where, what=fault.what)
                    raise damaged(self.path, how) from None
        finally:
            self.close()

    def close(self) -> None:
        """Close the file; what was done is in it already."""
        with suppress(sqlite3.Error):
            self._db.close()

    @contextmanager
    def action(self, words: Words, goes_on: Words = "") -> Iterator[Act]:
        """One thing that she does: one transaction, all or nothing, written down for undo.

        goes_on: words of the action that it goes on with where that was the last one; undo takes back both as one.
        words: the action in a few words; `Act.words` may be set to better ones before it ends. They are kept as plain
        English in metric units. Whatever is raised inside, Ctrl-C too, leaves the store as it was.
        """
        if is_marked_read_only(self.path):
            raise read_only(self.path)
        with told(self.path), transaction(self._db, self.path):
            act = Act(self, self._db, words)
            yield act
            record(self._db, PLAIN.say(act.words), act.images, act.now, PLAIN.say(goes_on))

    def undo(self, number: int = 1) -> list[tuple[int, str, str]]:
        """Take back the last actions in one transaction; returns number, time and words of each, the last one first.

        Raises BadInput when there are not so many.
        """
        if is_marked_read_only(self.path):
            raise read_only(self.path)
        with told(self.path), transaction(self._db, self.path):
            last = done_actions(self._db, min(number, LARGEST))
            if len(last) < number:
                few = counted(len(last), "only {n} action can be undone", "only {n} actions can be undone")
                raise BadInput(
                    few if last else reason("there is nothing to undo"),
                    str(self.path),
                    reason("nothing was changed; {listed} shows them", listed=Action("undo", (Field("list"),))),
                )
            for action, _, _ in last:
                try:
                    take_back(self._db, action, {table: self.columns(table) for table in KEYS})
                except BadImage as fault:
                    raise damaged(
                        self.path, reason("the journal of action {n}: {why}", n=action, why=fault.why)
                    ) from None
            return last

    def back_up(self, before: str) -> Path:
        """A dated copy of the whole store, in the folder beside it."""
        from matcher.store.database.backups import back_up

        return back_up(self._db, self.path, before)


@contextmanager
def transaction(db: sqlite3.Connection, path: Path) -> Iterator[None]:
    """Begin at once, so that nobody else writes between reading and writing; commit, or roll all of it back."""
    db.execute("BEGIN IMMEDIATE")
    try:
        yield
        with changing(path):
            db.execute("COMMIT")
    except BaseException:
        if db.in_transaction:
            db.execute("ROLLBACK")
        raise
