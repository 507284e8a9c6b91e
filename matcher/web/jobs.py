"""Work that takes longer than she waits at a blank page: it goes on beside, says how far it is, and can be stopped."""

from __future__ import annotations

import secrets
import threading
from collections import OrderedDict
from collections.abc import Callable, Hashable
from dataclasses import dataclass, field
from typing import Any

from matcher.errors import BadInput, MatcherError
from matcher.reasons.reason import Words, reason

_KEPT = 24  # results that are kept, a choice
_AT_ONCE = 2  # jobs that run at once: as many as a small machine has cores
_MOST = 40  # jobs that run or wait for their turn, a choice: each is a thread, and keeps what it works on
_PATIENCE_S = 0.35  # what is quicker than this is shown at once, without a page that says how far it is


class Stopped(BaseException):
    """She stopped it. Not an Exception: no rule below may take it for a fault of its own."""


@dataclass
class Job:
    """One piece of work. share: 0 to 1, None while nobody knows; stage: what is being done now."""

    key: Hashable
    title: Words
    name: str = field(default_factory=lambda: secrets.token_urlsafe(9))
    share: float | None = None
    stage: Words = ""
    result: Any = None
    error: MatcherError | None = None
    fault: BaseException | None = None
    stopped: bool = False
    ended: threading.Event = field(default_factory=threading.Event)
    asked_to_stop: threading.Event = field(default_factory=threading.Event)

    def progress(self, done: int, of: int) -> None:
        """To be given to an action as its `progress`."""
        self._go_on()
        self.share = done / of if of else None

    def begin(self, stage: Words) -> None:
        """To be given to an action as its `stage`."""
        self._go_on()
        self.stage, self.share = stage, None

    def _go_on(self) -> None:
        if self.asked_to_stop.is_set():
            raise Stopped

    @property
    def done(self) -> bool:
        return self.ended.is_set()


class Jobs:
    """All of them. What was worked out for a key stays until others need its place; the key holds the bin's state."""

    def __init__(self) -> None:
        self._jobs: OrderedDict[Hashable, Job] = OrderedDict()
        self._lock = threading.Lock()
        self._room = threading.Semaphore(_AT_ONCE)

    def of(self, key: Hashable, title: Words, work: Callable[[Job], Any], patience_s: float = _PATIENCE_S) -> Job:
        """The job of that key, begun if nobody did; given back when it has ended, or after a moment.

        Raises BadInput where too much waits already.
        """
        with self._lock:
            job = self._jobs.get(key)
            if job is None or (job.done and (job.stopped or job.fault is not None)):
                if sum(not one.done for one in self._jobs.values()) >= _MOST:
                    todo = reason("wait until some of it is done")
                    raise BadInput(reason("too much is being worked on at once"), "", todo)
                job = Job(key, title)
                self._jobs[key] = job
                threading.Thread(target=self._run, args=(job, work), daemon=True, name="work").start()
            self._jobs.move_to_end(key)
            for other in [one for one in self._jobs.values() if one.done][: max(0, len(self._jobs) - _KEPT)]:
                if other is not job:
                    del self._jobs[other.key]
        job.ended.wait(patience_s)
        return job

    def named(self, name: str) -> Job | None:
        """The job with that name."""
        with self._lock:
            return next((one for one in self._jobs.values() if one.name == name), None)

    def stop(self, name: str) -> None:
        """Ask it to stop; it does where it next says how far it is."""
        job = self.named(name)
        if job is not None:
            job.asked_to_stop.set()

    def _run(self, job: Job, work: Callable[[Job], Any]) -> None:
        with self._room:
            try:
                job.result = work(job)
            except Stopped:
                job.stopped = True
            except MatcherError as error:
                job.error = error
            except BaseException as fault:
                job.fault = fault
            finally:
                job.ended.set()


def result_of(job: Job) -> Any:
    """What came out of a job that has ended. Raises what it raised, and BadInput where she stopped it."""
    if job.error is not None:
        raise job.error
    if job.fault is not None:
        raise job.fault
    if job.stopped:
        raise BadInput(reason("stopped"), "", reason("nothing was changed"))
    return job.result
