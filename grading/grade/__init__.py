"""The grade: everything that one size request comes to, and its document."""

from grading.grade.grade import Grade, make_grade
from grading.grade.tables import cut_list_table
from grading.grade.writing import write_grade

__all__ = ["Grade", "cut_list_table", "make_grade", "write_grade"]
