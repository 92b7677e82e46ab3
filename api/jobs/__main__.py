"""A worker process: `python -m api.jobs`, speaking on its standard input and output."""

from api.jobs.tasks import LONG_TASKS, TASKS
from api.jobs.worker import serve

serve(TASKS, LONG_TASKS)
