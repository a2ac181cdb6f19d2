"""ISO 11783-10 task data, versions 2 to 4: a tolerant reader that names what it could not read."""

from balewright.readers.task_data.bale_rows import job_words, task_bales
from balewright.readers.task_data.opening import open_task_data
from balewright.readers.task_data.result import TaskData

__all__ = ["TaskData", "job_words", "open_task_data", "task_bales"]
