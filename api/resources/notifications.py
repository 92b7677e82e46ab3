"""Notifications on their way to a shop."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import TYPE_CHECKING, Annotated

from litestar import Controller, get, post
from litestar.params import PathParameter, QueryParameter

from api.access.scopes import ORDER, asks
from api.operations import notifications
from api.problems import documented
from api.query import WHOLE, Parameter
from api.resources.dependencies import AtBench
from api.resources.parameters import Limit
from api.schemas.base import UUID_PATTERN
from api.schemas.notifications import Notification, NotificationList, Told
from api.storage.notifications import WAITING

if TYPE_CHECKING:
    from api.storage.notifications import NotificationRecord

STATE_PATTERN = r"^(waiting|sent|dead)$"
NotificationPath = Annotated[str, PathParameter(pattern=UUID_PATTERN, description="The notification's id.")]
After = Annotated[
    str | None,
    QueryParameter(name="after", pattern=UUID_PATTERN, description="The last one of the part before, its `next`."),
]
InState = Annotated[
    str | None,
    QueryParameter(name="state", pattern=STATE_PATTERN, description="The state of those that are wanted."),
]
QUERY = {
    "limit": WHOLE,
    "after": Parameter(UUID_PATTERN, "This is no id of a notification.", "Write what `next` of the part before says."),
    "state": Parameter(STATE_PATTERN, "This is no state of a notification.", "Write waiting, sent or dead."),
}


class NotificationController(Controller):
    """What shops were told, or could not be told."""

    path = "/notifications"
    tags = ("Notifications",)
    opt = asks(ORDER)

    @get(
        operation_id="listNotifications",
        summary="List notifications",
        responses=documented("faults"),
        opt={**asks(ORDER), "query": QUERY},
    )
    async def list_all(
        self, bench: AtBench, limit: Limit = 20, after: After = None, in_state: InState = None
    ) -> NotificationList:
        """Lists notifications, the newest first; those in the state `dead` have had all their tries.

        What was sent is kept for 30 days, what is dead as long as its endpoint.
        """
        found = await notifications.notifications(bench, limit + 1, after, in_state)
        items = [_notification(each) for each in found[:limit]]
        return NotificationList(items=items, next=items[-1].id if len(found) > limit else None)

    @get(
        "/{notification_id:str}",
        operation_id="readNotification",
        summary="Read a notification",
        responses=documented(),
    )
    async def read(self, bench: AtBench, notification_id: NotificationPath) -> Notification:
        """Gives a notification as it stands: how often it was sent, and what came of it."""
        return _notification(await notifications.read(bench, notification_id))

    @post(
        "/{notification_id:str}/replay",
        operation_id="replayNotification",
        summary="Send a notification again",
        responses=documented("unreadable-body", "body-too-large", "unsupported-body", "faults"),
        status_code=202,
    )
    async def replay(self, bench: AtBench, notification_id: NotificationPath) -> Notification:
        """Sends a notification again under its own id, whether it was taken before or not, with all tries anew."""
        return _notification(await notifications.replay(bench, notification_id, datetime.now(UTC)))


def _notification(record: NotificationRecord) -> Notification:
    return Notification(
        id=record.id,
        endpoint=record.endpoint,
        state=record.state,  # type: ignore[arg-type]
        tries=record.tries,
        next_try=record.due_at if record.state == WAITING else None,
        status=record.status,
        says=record.says,
        body=Told.model_validate_json(record.body),
        created_at=record.created_at,
        ended_at=record.ended_at,
    )
