"""A worker process: `python -m api.jobs`, speaking on its standard input and output."""

from api.jobs.tasks import TASKS
from api.jobs.worker import serve

serve(TASKS)
